"""A quote as tables for a terminal of at least 80 columns."""

from rich.console import Group, RenderableType
from rich.styled import Styled
from rich.table import Table

from hitchworth.cli.layout import add_amount_columns, bullet_list, stacked, titled_table
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.quote import Quote


def quote_report(quote: Quote, localizer: Localizer) -> Group:
    """Lay out a quote: its lines, how the total comes about, options, payments, and what is to be settled."""
    tables = [_lines(quote, localizer), _totals(quote, localizer)]
    if quote.alternatives:
        tables.append(_options(quote, localizer))
    if quote.payments:
        tables.append(_payments(quote, localizer))
    items = (*(question.text for question in quote.questions), *(note.text for note in quote.notes))
    listed = (bullet_list("", items),) if items else ()
    parts: tuple[RenderableType, ...] = (Styled(quote.statement, "bold"), *tables, *listed)
    return stacked(*parts)


def _lines(quote: Quote, localizer: Localizer) -> Table:
    table = titled_table(_text(localizer, "lines_caption"), _text(localizer, "item"))
    add_amount_columns(table, *(_text(localizer, key) for key in ("direct_cost", "overhead", "profit", "line_price")))
    for line in quote.lines:
        amounts = (line.direct_cost, line.overhead, line.profit, line.price)
        table.add_row(line.description, *map(localizer.money, amounts))
    table.add_section()
    totals = quote.totals
    sums = (totals.direct_cost, totals.overhead, totals.profit, totals.price)
    table.add_row(_text(localizer, "total"), *map(localizer.money, sums), style="bold")
    return table


def _totals(quote: Quote, localizer: Localizer) -> Table:
    totals = quote.totals
    table = titled_table(_text(localizer, "totals_caption"), "")
    add_amount_columns(table, _text(localizer, "amount"))
    rows = {
        "price": totals.price,
        "discount_short": -totals.discount,
        "contingency": totals.contingency,
        "before_tax": totals.before_tax,
        "tax": totals.tax,
    }
    for key, amount in rows.items():
        table.add_row(_text(localizer, key), localizer.money(amount))
    table.add_section()
    table.add_row(_text(localizer, "total"), localizer.money(totals.total), style="bold")
    return table


def _options(quote: Quote, localizer: Localizer) -> Table:
    table = titled_table(_text(localizer, "options_caption"), _text(localizer, "option"))
    add_amount_columns(table, *(_text(localizer, key) for key in ("difference", "total")))
    for each in quote.alternatives:
        none = localizer.format(texts().quote["without_option"], group=each.group)
        difference = _text(localizer, "in_total") if each.chosen else localizer.money(each.difference)
        table.add_row(f"{each.group}: {each.name}" if each.name else none, difference, localizer.money(each.total))
    return table


def _payments(quote: Quote, localizer: Localizer) -> Table:
    table = titled_table(_text(localizer, "payments_caption"), _text(localizer, "milestone"))
    add_amount_columns(table, *(_text(localizer, key) for key in ("amount", "retained", "due")))
    for payment in quote.payments:
        amounts = (payment.amount, payment.retained, payment.due)
        table.add_row(payment.milestone, *map(localizer.money, amounts))
    return table


def _text(localizer: Localizer, key: str) -> str:
    return localizer.format(texts().quote[key])
