"""The words of an estimate: its notes. Labels of categories are made where they are shown."""

from msgspec.structs import replace

from hitchworth.model.estimate import Estimate
from hitchworth.wording.notes import worded_note
from hitchworth.wording.voice import Voice


def worded_estimate(estimate: Estimate, voice: Voice) -> Estimate:
    """The estimate with the sentences of its notes."""
    return replace(estimate, notes=tuple(worded_note(note, voice) for note in estimate.notes))
