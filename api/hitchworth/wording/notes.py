"""The sentences of notes: what the reader should know about a figure."""

from msgspec.structs import replace

from hitchworth.model.note import Note
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice


def worded_note(note: Note, voice: Voice) -> Note:
    """The note with its sentence. A code without a text speaks for itself; a test holds that the core has none."""
    text = texts().notes.get(note.code, note.code.replace("_", " "))
    return replace(note, text=voice.say(text, about=note.about, **note.particulars))
