"""A quote and a progress bill as tables for a terminal of at least 80 columns."""

from collections.abc import Mapping
from decimal import Decimal

from msgspec.structs import replace
from rich.console import Group, RenderableType
from rich.styled import Styled
from rich.table import Table

from hitchworth.cli.layout import add_amount_columns, bullet_list, stacked, titled_table
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.progress_bill import ProgressBill
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


def bill_report(bill: ProgressBill, localizer: Localizer) -> Group:
    """Lay out a progress bill: the schedule of values, and how what is to be paid comes about."""
    return stacked(Styled(bill.statement, "bold"), _schedule(bill, localizer), _bill(bill, localizer))


def _schedule(bill: ProgressBill, localizer: Localizer) -> Table:
    table = titled_table(_text(localizer, "schedule_caption"), _text(localizer, "item"))
    columns = ("scheduled", "earlier", "this_period", "stored", "balance")
    add_amount_columns(table, *(_text(localizer, key) for key in columns))
    total = replace(bill.totals, description=_text(localizer, "total"))
    for line in (*bill.lines, total):
        if line is total:
            table.add_section()
        amounts = (localizer.money(getattr(line, key)) for key in columns)
        table.add_row(line.description, *amounts, style="bold" if line is total else None)
    return table


def _bill(bill: ProgressBill, localizer: Localizer) -> Table:
    rows = {
        "completed": bill.totals.completed,
        "retained": -bill.totals.retained,
        "billed_before": -bill.earlier_certificates,
        "due_before_tax": bill.due,
        "tax_of_bill": bill.tax,
        "less_deposit": -bill.deposit_credit,
    }
    return _sum_of(localizer, "bill_caption", rows, ("to_pay", bill.to_pay))


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
    rows = {
        "price": totals.price,
        "discount_short": -totals.discount,
        "contingency": totals.contingency,
        "before_tax": totals.before_tax,
        "tax": totals.tax,
    }
    return _sum_of(localizer, "totals_caption", rows, ("total", totals.total))


def _sum_of(localizer: Localizer, title: str, rows: Mapping[str, Decimal], total: tuple[str, Decimal]) -> Table:
    """Return amounts below each other and what they come to; title and labels are keys of texts/quote.yaml."""
    table = titled_table(_text(localizer, title), "")
    add_amount_columns(table, _text(localizer, "amount"))
    for key, amount in rows.items():
        table.add_row(_text(localizer, key), localizer.money(amount))
    table.add_section()
    key, amount = total
    table.add_row(_text(localizer, key), localizer.money(amount), style="bold")
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
