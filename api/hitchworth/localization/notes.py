"""The texts of notes: what the reader should know about a figure."""

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.note import Note


def localize_note(note: Note, localizer: Localizer) -> Note:
    """Return the note with its text. A code without a text is shown in words; a test checks that the core has none."""
    text = texts().notes.get(note.code, note.code.replace("_", " "))
    return replace(note, text=localizer.format(text, about=note.about, **note.parameters))
