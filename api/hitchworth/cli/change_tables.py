"""The comparison of two documents as tables for a terminal."""

from collections.abc import Iterator
from decimal import Decimal

from rich.console import Group, RenderableType
from rich.styled import Styled
from rich.table import Table

from hitchworth.cli.layout import add_amount_columns, bullet_list, sheet_text, stacked, titled_table
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.document_changes import DocumentChange, DocumentComparison
from hitchworth.model.estimate_comparison import EstimateComparison


def comparison_report(comparison: DocumentComparison, localizer: Localizer) -> Group:
    """Lay out a comparison: what changed in words with its effect, then the change of the values by effect."""
    parts = (
        Styled(comparison.statement, "bold"),
        *((_changes(comparison, localizer),) if comparison.changes else ()),
        *(_values(comparison.estimates, localizer) if comparison.estimates else ()),
    )
    return stacked(*parts)


def _changes(comparison: DocumentComparison, localizer: Localizer) -> Table:
    words = texts().changes
    table = titled_table(localizer.translate(words["caption"]), localizer.translate(words["change"]))
    add_amount_columns(table, *(sheet_text(localizer, key) for key in ("replacement_cost", "actual_cash_value")))
    for change in comparison.changes:
        table.add_row(change.text, *_amounts(change, localizer))
    return table


def _amounts(change: DocumentChange, localizer: Localizer) -> Iterator[str]:
    """Yield what a line changes of the values; a dash for what is no line, or changes nothing."""
    for amount in (change.replacement_cost, change.actual_cash_value):
        yield localizer.money(amount) if amount else "–"


def _values(comparison: EstimateComparison, localizer: Localizer) -> Iterator[RenderableType]:
    """Yield the change of the values by effect, and the notes."""
    words = texts().estimate_comparison
    if comparison.effects:
        table = titled_table(localizer.format(words["effects_caption"]), localizer.format(words["effect"]))
        add_amount_columns(table, *(sheet_text(localizer, key) for key in ("replacement_cost", "actual_cash_value")))
        for effect in comparison.effects:
            table.add_row(effect.label, *_moved(effect.replacement_cost, effect.actual_cash_value, localizer))
        table.add_section()
        moved = _moved(comparison.replacement_cost, comparison.actual_cash_value, localizer)
        table.add_row(sheet_text(localizer, "total"), *moved, style="bold")
        yield table
    if comparison.notes:
        yield bullet_list("", (note.text for note in comparison.notes))


def _moved(replacement_cost: Decimal, actual_cash_value: Decimal, localizer: Localizer) -> tuple[str, str]:
    return localizer.money(replacement_cost), localizer.money(actual_cash_value)
