"""The words of settlements: the label of each step and cause, and what was assumed."""

from msgspec.structs import replace

from hitchworth.model.settlement import GapPart, Settlement, Step
from hitchworth.wording.notes import worded_note
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice


def worded_settlement(settlement: Settlement, voice: Voice) -> Settlement:
    """The settlement with its labels and notes in the voice's language."""
    return replace(
        settlement,
        steps=tuple(_step(step, voice) for step in settlement.steps),
        waterfall=tuple(_part(part, voice) for part in settlement.waterfall),
        assumed=tuple(worded_note(note, voice) for note in settlement.assumed),
        notes=tuple(worded_note(note, voice) for note in settlement.notes),
    )


def _step(step: Step, voice: Voice) -> Step:
    return replace(step, label=voice.say(texts().steps[step.code], **step.particulars))


def _part(part: GapPart, voice: Voice) -> GapPart:
    return replace(part, label=voice.translated(texts().causes[part.cause]))
