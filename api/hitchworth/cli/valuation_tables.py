"""Value curves, comparisons of estimates and second opinions, as tables for a terminal of 80 columns and more."""

from collections.abc import Iterable

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from hitchworth.cli.layout import BELOW, amount_columns, points, said, titled_table
from hitchworth.model.comparison import EstimateComparison
from hitchworth.model.note import Note
from hitchworth.model.opinion import SecondOpinion
from hitchworth.model.value_curve import ValueCurve
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice


def curve_report(curve: ValueCurve, voice: Voice) -> Group:
    """The values on each date, and the days on which the limit ceases to cover or covers again."""
    table = titled_table(voice.say(texts().curve["chart_title"], currency=curve.currency), said(voice, "speak_date"))
    amount_columns(table, *(said(voice, key) for key in ("replacement_cost", "actual_cash_value")))
    amount_columns(table, voice.say(texts().curve["insurance_to_value"]))
    for point in curve.points:
        ratio = point.insurance_to_value
        table.add_row(
            voice.formats.day(point.as_of),
            voice.money(point.replacement_cost),
            voice.money(point.actual_cash_value),
            "–" if ratio is None else voice.formats.percent(ratio, 0),
        )
    labels = (crossing.label for crossing in curve.crossings)
    return _report(curve.statement, (table,), (*labels, *_texts(curve.notes)))


def comparison_report(comparison: EstimateComparison, voice: Voice) -> Group:
    """What moved the figures, by effect and by line."""
    effects = titled_table(voice.say(texts().comparison["effects_caption"]), voice.say(texts().comparison["effect"]))
    lines = titled_table(voice.say(texts().comparison["lines_caption"]), said(voice, "item"))
    for table in (effects, lines):
        amount_columns(table, *(said(voice, key) for key in ("replacement_cost", "actual_cash_value")))
    for effect in comparison.effects:
        effects.add_row(effect.label, voice.money(effect.replacement_cost), voice.money(effect.actual_cash_value))
    for line in comparison.lines:
        lines.add_row(line.description, voice.money(line.replacement_cost), voice.money(line.actual_cash_value))
    for table in (effects, lines):
        table.add_section()
        moved = (voice.money(comparison.replacement_cost), voice.money(comparison.actual_cash_value))
        table.add_row(said(voice, "total"), *moved, style="bold")
    return _report(comparison.statement, (effects, lines), _texts(comparison.notes))


def opinion_report(opinion: SecondOpinion, voice: Voice) -> Group:
    """Each sale adjusted, and what sales and cost come to together."""
    words = {key: voice.translated(text) for key, text in texts().opinion.items()}
    sales = titled_table(words["sales_caption"], words["comparable"])
    amount_columns(sales, *(words[key] for key in ("price", "net_adjustment", "indicated_value", "weight")))
    for sale in opinion.sales_comparison.comparables:
        amounts = (voice.money(amount) for amount in (sale.price, sale.net_adjustment, sale.indicated_value))
        sales.add_row(sale.description, *amounts, voice.formats.percent(sale.weight, 0))
    approaches = titled_table(words["approaches_caption"], words["approach"])
    amount_columns(approaches, *(words[key] for key in ("indicated_value", "weight", "contribution")))
    for part in opinion.reconciliation:
        weight = voice.formats.percent(part.weight, 0)
        approaches.add_row(part.label, voice.money(part.indicated_value), weight, voice.money(part.contribution))
    approaches.add_section()
    approaches.add_row(said(voice, "total"), "", "", voice.money(opinion.reconciled_value), style="bold")
    return _report(opinion.statement, (sales, approaches), (*_texts(opinion.notes), opinion.caution))


def _report(statement: str, tables: Iterable[Table], items: Iterable[str]) -> Group:
    listed = tuple(items)
    last = (points("", listed),) if listed else ()
    parts: tuple[RenderableType, ...] = (Text(statement, style="bold"), *tables, *last)
    return Group(*(Padding(part, BELOW) for part in parts))


def _texts(notes: Iterable[Note]) -> tuple[str, ...]:
    return tuple(note.text for note in notes)
