"""What is not known yet of a document, as a table for a terminal."""

from collections.abc import Iterable

from msgspec import Struct
from rich.console import Group, RenderableType
from rich.styled import Styled

from hitchworth.cli.layout import add_amount_columns, bullet_list, sheet_text, stacked, titled_table
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.gap import GapStatement, Question
from hitchworth.model.note import Note
from hitchworth.operations.tables import ResultTable


class OpenPoints(Struct, frozen=True, kw_only=True):
    """What is not known yet of a document without faults."""

    not_known: tuple[Question, ...]
    """Those with the most money at stake first."""
    notes: tuple[Note, ...]
    """What was assumed, and what is missing before anything can be settled."""


TABLES = (
    ResultTable(
        name="not_known",
        description="what is not known yet, with the money at stake",
        record=Question,
        rows=lambda found: found.not_known,
    ),
)
"""What of the open points is a table, for CSV."""


def open_points(statement: GapStatement) -> OpenPoints:
    """Return what is not known yet of the document behind a gap statement."""
    return OpenPoints(not_known=statement.questions, notes=(*statement.notes, *statement.estimate.notes))


def check_report(found: OpenPoints, localizer: Localizer) -> Group:
    """Lay out what is not known: each question with its money, then what was assumed."""
    words = {key: localizer.translate(text) for key, text in texts().check.items()}
    parts: list[RenderableType] = [words["no_faults"]]
    if found.not_known:
        parts.append(_table(found.not_known, words, localizer))
    else:
        parts.append(words["nothing_open"])
    if found.notes:
        parts.append(bullet_list("", (note.text for note in found.notes)))
    return stacked(*parts)


def _table(questions: Iterable[Question], words: dict[str, str], localizer: Localizer) -> RenderableType:
    table = titled_table(words["caption"], sheet_text(localizer, "question"))
    table.leading = 1
    table.add_column(words["asks"])
    add_amount_columns(table, sheet_text(localizer, "money_at_stake"))
    for question in questions:
        high = question.money_at_stake.high
        facts = [Styled(f"- {fact.question}", "dim") for fact in question.checklist]
        to_see = [Styled(question.to_see_money, "dim")] if question.to_see_money else []
        text = Group(question.text, *facts, *to_see)
        stake = sheet_text(localizer, "up_to", high=high) if high else "–"
        table.add_row(text, localizer.label("addressee", question.to), stake)
    return table
