"""Value curves and sales comparisons as tables for a terminal of at least 80 columns."""

from collections.abc import Iterable

from rich.console import Group, RenderableType
from rich.styled import Styled
from rich.table import Table

from hitchworth.cli.layout import add_amount_columns, bullet_list, sheet_text, stacked, titled_table
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.note import Note
from hitchworth.model.sales_comparison import SalesComparison
from hitchworth.model.value_curve import ValueCurve


def curve_report(curve: ValueCurve, localizer: Localizer) -> Group:
    """Lay out a value curve: the values on each date, and the days when the limit stops covering or covers again."""
    table = titled_table(
        localizer.format(texts().curve["chart_title"], currency=curve.currency), sheet_text(localizer, "speak_date")
    )
    add_amount_columns(table, *(sheet_text(localizer, key) for key in ("replacement_cost", "actual_cash_value")))
    add_amount_columns(table, localizer.format(texts().curve["insurance_to_value"]))
    for point in curve.points:
        ratio = point.insurance_to_value
        table.add_row(
            localizer.formats.day(point.as_of),
            localizer.money(point.replacement_cost),
            localizer.money(point.actual_cash_value),
            "–" if ratio is None else localizer.formats.percent(ratio, 0),
        )
    labels = (crossing.label for crossing in curve.crossings)
    return _report(curve.statement, (table,), (*labels, *_texts(curve.notes)))


def sales_comparison_report(comparison: SalesComparison, localizer: Localizer) -> Group:
    """Lay out a sales comparison: the adjusted sales, and their reconciliation with the cost approach."""
    words = {key: localizer.translate(text) for key, text in texts().sales_comparison.items()}
    sales = titled_table(words["sales_caption"], words["comparable"])
    add_amount_columns(sales, *(words[key] for key in ("price", "net_adjustment", "indicated_value", "weight")))
    for sale in comparison.sales_comparison.comparables:
        amounts = (localizer.money(amount) for amount in (sale.price, sale.net_adjustment, sale.indicated_value))
        sales.add_row(sale.description, *amounts, localizer.formats.percent(sale.weight, 0))
    approaches = titled_table(words["approaches_caption"], words["approach"])
    add_amount_columns(approaches, *(words[key] for key in ("indicated_value", "weight", "contribution")))
    for part in comparison.reconciliation:
        weight = localizer.formats.percent(part.weight, 0)
        approaches.add_row(
            part.label, localizer.money(part.indicated_value), weight, localizer.money(part.contribution)
        )
    approaches.add_section()
    approaches.add_row(
        sheet_text(localizer, "total"), "", "", localizer.money(comparison.reconciled_value), style="bold"
    )
    return _report(comparison.statement, (sales, approaches), (*_texts(comparison.notes), comparison.caution))


def _report(statement: str, tables: Iterable[Table], items: Iterable[str]) -> Group:
    listed = tuple(items)
    last = (bullet_list("", listed),) if listed else ()
    parts: tuple[RenderableType, ...] = (Styled(statement, "bold"), *tables, *last)
    return stacked(*parts)


def _texts(notes: Iterable[Note]) -> tuple[str, ...]:
    return tuple(note.text for note in notes)
