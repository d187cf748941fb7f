"""The texts of notes: what the reader should know about a figure."""

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.terms import term_label, term_value
from hitchworth.localization.texts import texts
from hitchworth.model.note import Note


def localize_note(note: Note, localizer: Localizer) -> Note:
    """Return the note with its text. A code without a text is shown in words; a test checks that the core has none.

    What was assumed or answered about a term of a policy has one text for every term.
    """
    how = note.code.partition("_")[0]
    if how in ("assumed", "answered") and note.code not in texts().notes:
        value = term_value(localizer, term_of(note), _items(note.parameters.get("value")))
        label = term_label(localizer, term_of(note))
        return replace(note, text=localizer.format(texts().notes[how], about=note.about, term=label, value=value))
    text = texts().notes.get(note.code, note.code.replace("_", " "))
    return replace(note, text=localizer.format(text, about=note.about, **note.parameters))


def term_of(note: Note) -> str:
    """Return the term that a note is about, of those whose code is assumed_TERM or answered_TERM."""
    name, key = note.code.partition("_")[2], note.parameters.get("key")
    return f"{name}.{key}" if key else name


def _items(value: str | None) -> str | tuple[str, ...] | None:
    """Return the items of a list; a note holds them with commas between."""
    return tuple(value.split(", ")) if value and ", " in value else value
