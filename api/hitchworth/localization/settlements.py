"""The texts of settlements: the label of each step and cause, the assumptions, and the recorded answers."""

from datetime import date

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.notes import localize_note
from hitchworth.localization.texts import texts
from hitchworth.model.note import Note
from hitchworth.model.settlement import AvoidedCoverage, GapPart, Settlement, Settlements, Step


def localize_settlements(answer: Settlements, localizer: Localizer) -> Settlements:
    """Return all settlements with their texts."""
    return replace(
        answer,
        settlements=tuple(localize_settlement(each, localizer) for each in answer.settlements),
        notes=tuple(localize_note(note, localizer) for note in answer.notes),
    )


def localize_settlement(settlement: Settlement, localizer: Localizer) -> Settlement:
    """Return the settlement with its labels and notes."""
    return replace(
        settlement,
        steps=tuple(_step(step, localizer) for step in settlement.steps),
        gap_breakdown=tuple(_part(part, localizer) for part in settlement.gap_breakdown),
        assumed=tuple(localize_note(note, localizer) for note in settlement.assumed),
        answered=tuple(_answered(note, localizer) for note in settlement.answered),
        notes=tuple(localize_note(note, localizer) for note in settlement.notes),
        if_avoided=None if settlement.if_avoided is None else _avoided(settlement.if_avoided, localizer),
    )


def _step(step: Step, localizer: Localizer) -> Step:
    return replace(step, label=localizer.format(texts().steps[step.code], **step.parameters))


def _part(part: GapPart, localizer: Localizer) -> GapPart:
    return replace(part, label=localizer.translate(texts().causes[part.cause]))


def _answered(note: Note, localizer: Localizer) -> Note:
    """Return the note with what was answered, and as far as recorded by whom, when and where."""
    localized = localize_note(note, localizer)
    said_on = note.parameters.get("said_on")
    day = localizer.formats.day(date.fromisoformat(said_on)) if said_on else ""
    parts = (note.parameters.get("said_by"), day, note.parameters.get("reference"))
    origin = ", ".join(part for part in parts if part)
    if not origin:
        return localized
    return replace(localized, text=f"{localized.text} {localizer.format(texts().gap['on_record'], origin=origin)}")


def _avoided(avoided: AvoidedCoverage, localizer: Localizer) -> AvoidedCoverage:
    """Return what is left of an avoided policy with its text: the amount, the law of the place, the premium."""
    gap, rule = texts().gap, avoided.rule
    if rule is None:
        law = localizer.translate(gap["avoided_not_looked_up"])
    else:
        text = gap["avoided_rule" if rule.provenance == "published" else "avoided_unverified"]
        law = localizer.format(text, text=rule.text, source=rule.source)
    sentences = [localizer.format(gap["avoided"], payable=avoided.payable), law]
    if avoided.premium_returned:
        sentences.append(localizer.format(gap["premium_returned"], premium=avoided.premium_returned))
    return replace(avoided, text=" ".join(sentences))
