"""Value curves, comparisons of estimates and second opinions, as tables for a terminal of 80 columns and more."""

from collections.abc import Iterable

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from hitchworth.cli.layout import BELOW, amount_columns, points, said, titled_table
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.estimate_comparison import EstimateComparison
from hitchworth.model.note import Note
from hitchworth.model.sales_comparison import SalesComparison
from hitchworth.model.value_curve import ValueCurve


def curve_report(curve: ValueCurve, localizer: Localizer) -> Group:
    """The values on each date, and the days on which the limit ceases to cover or covers again."""
    table = titled_table(
        localizer.format(texts().curve["chart_title"], currency=curve.currency), said(localizer, "speak_date")
    )
    amount_columns(table, *(said(localizer, key) for key in ("replacement_cost", "actual_cash_value")))
    amount_columns(table, localizer.format(texts().curve["insurance_to_value"]))
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


def comparison_report(comparison: EstimateComparison, localizer: Localizer) -> Group:
    """What moved the figures, by effect and by line."""
    effects = titled_table(
        localizer.format(texts().estimate_comparison["effects_caption"]),
        localizer.format(texts().estimate_comparison["effect"]),
    )
    lines = titled_table(localizer.format(texts().estimate_comparison["lines_caption"]), said(localizer, "item"))
    for table in (effects, lines):
        amount_columns(table, *(said(localizer, key) for key in ("replacement_cost", "actual_cash_value")))
    for effect in comparison.effects:
        effects.add_row(
            effect.label, localizer.money(effect.replacement_cost), localizer.money(effect.actual_cash_value)
        )
    for line in comparison.lines:
        lines.add_row(line.description, localizer.money(line.replacement_cost), localizer.money(line.actual_cash_value))
    for table in (effects, lines):
        table.add_section()
        moved = (localizer.money(comparison.replacement_cost), localizer.money(comparison.actual_cash_value))
        table.add_row(said(localizer, "total"), *moved, style="bold")
    return _report(comparison.statement, (effects, lines), _texts(comparison.notes))


def sales_comparison_report(comparison: SalesComparison, localizer: Localizer) -> Group:
    """Each sale adjusted, and what sales and cost come to together."""
    words = {key: localizer.translate(text) for key, text in texts().sales_comparison.items()}
    sales = titled_table(words["sales_caption"], words["comparable"])
    amount_columns(sales, *(words[key] for key in ("price", "net_adjustment", "indicated_value", "weight")))
    for sale in comparison.sales_comparison.comparables:
        amounts = (localizer.money(amount) for amount in (sale.price, sale.net_adjustment, sale.indicated_value))
        sales.add_row(sale.description, *amounts, localizer.formats.percent(sale.weight, 0))
    approaches = titled_table(words["approaches_caption"], words["approach"])
    amount_columns(approaches, *(words[key] for key in ("indicated_value", "weight", "contribution")))
    for part in comparison.reconciliation:
        weight = localizer.formats.percent(part.weight, 0)
        approaches.add_row(
            part.label, localizer.money(part.indicated_value), weight, localizer.money(part.contribution)
        )
    approaches.add_section()
    approaches.add_row(said(localizer, "total"), "", "", localizer.money(comparison.reconciled_value), style="bold")
    return _report(comparison.statement, (sales, approaches), (*_texts(comparison.notes), comparison.caution))


def _report(statement: str, tables: Iterable[Table], items: Iterable[str]) -> Group:
    listed = tuple(items)
    last = (points("", listed),) if listed else ()
    parts: tuple[RenderableType, ...] = (Text(statement, style="bold"), *tables, *last)
    return Group(*(Padding(part, BELOW) for part in parts))


def _texts(notes: Iterable[Note]) -> tuple[str, ...]:
    return tuple(note.text for note in notes)
