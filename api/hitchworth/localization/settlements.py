"""The texts of settlements: the label of each step and cause, the assumptions, and the recorded answers."""

from datetime import date

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.notes import localize_note
from hitchworth.localization.texts import texts
from hitchworth.model.note import Note
from hitchworth.model.settlement import AvoidedCoverage, GapPart, Settlement, Settlements, Step


def localize_settlements(answer: Settlements, localizer: Localizer) -> Settlements:
    """Return all settlements with their texts, and the locale and the currency of these."""
    return replace(
        answer,
        locale=localizer.locale.formats,
        currency=localizer.currency or "",
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
    return replace(avoided, text=avoided_text(avoided, localizer))


def avoided_text(avoided: AvoidedCoverage, localizer: Localizer, mark: str = "") -> str:
    """Return what is left of an avoided policy in words: the amount, the law of the place, the premium.

    mark: says that the law was not read. Without one, words say it.
    """
    gap, rule = texts().gap, avoided.rule
    sentences = [localizer.format(gap["avoided"], payable=avoided.payable)]
    if rule is None:
        sentences.append(localizer.translate(gap["avoided_not_looked_up"]))
    elif rule.provenance == "published":
        sentences.append(localizer.format(gap["avoided_rule"], text=rule.text, source=rule.source))
    else:
        sentences.append(_not_read(rule.text, rule.source, localizer, mark))
    if rule is not None and rule.unverified_text:
        sentences.append(_not_read(rule.unverified_text, rule.unverified_source, localizer, mark))
    if avoided.premium_returned:
        sentences.append(localizer.format(gap["premium_returned"], premium=avoided.premium_returned))
    return " ".join(sentences)


def _not_read(text: str, source: str, localizer: Localizer, mark: str) -> str:
    """Return what a law says that was not read, with the mark, or with words that say so."""
    gap = texts().gap
    if mark:
        return localizer.format(gap["avoided_rule"], text=text, source=f"{localizer.translate(source)} {mark}")
    return localizer.format(gap["avoided_unverified"], text=text, source=source)
