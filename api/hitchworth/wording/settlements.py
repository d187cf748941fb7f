"""The words of settlements: the label of each step and cause, what was assumed, and what rests on an answer."""

from datetime import date

from msgspec.structs import replace

from hitchworth.model.note import Note
from hitchworth.model.settlement import GapPart, Settlement, Settlements, Step
from hitchworth.wording.notes import worded_note
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice


def worded_settlements(answer: Settlements, voice: Voice) -> Settlements:
    """Every policy against every loss, with words."""
    return replace(answer, settlements=tuple(worded_settlement(each, voice) for each in answer.settlements))


def worded_settlement(settlement: Settlement, voice: Voice) -> Settlement:
    """The settlement with its labels and notes in the voice's language."""
    return replace(
        settlement,
        steps=tuple(_step(step, voice) for step in settlement.steps),
        waterfall=tuple(_part(part, voice) for part in settlement.waterfall),
        assumed=tuple(worded_note(note, voice) for note in settlement.assumed),
        answered=tuple(_answered(note, voice) for note in settlement.answered),
        notes=tuple(worded_note(note, voice) for note in settlement.notes),
    )


def _step(step: Step, voice: Voice) -> Step:
    return replace(step, label=voice.say(texts().steps[step.code], **step.particulars))


def _part(part: GapPart, voice: Voice) -> GapPart:
    return replace(part, label=voice.translated(texts().causes[part.cause]))


def _answered(note: Note, voice: Voice) -> Note:
    """What was answered, and as far as it is on record by whom, when and where."""
    worded = worded_note(note, voice)
    said_on = note.particulars.get("said_on")
    day = voice.formats.day(date.fromisoformat(said_on)) if said_on else ""
    parts = (note.particulars.get("said_by"), day, note.particulars.get("reference"))
    origin = ", ".join(part for part in parts if part)
    if not origin:
        return worded
    return replace(worded, text=f"{worded.text} {voice.say(texts().gap['on_record'], origin=origin)}")
