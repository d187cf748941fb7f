"""The sentences of notes: what the reader should know about a figure."""

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.note import Note


def localize_note(note: Note, localizer: Localizer) -> Note:
    """The note with its sentence. A code without a text speaks for itself; a test holds that the core has none."""
    text = texts().notes.get(note.code, note.code.replace("_", " "))
    return replace(note, text=localizer.format(text, about=note.about, **note.parameters))
