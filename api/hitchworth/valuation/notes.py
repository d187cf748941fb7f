"""Notes on an estimate: what a reader should know about its figures, collected while they are computed."""

from collections.abc import Iterable

from hitchworth.model.note import Note


class NoteCollector:
    """Collects notes in the order in which they come up, each only once."""

    __slots__ = ("_notes",)

    def __init__(self) -> None:
        self._notes: dict[tuple[str, ...], Note] = {}

    def add(self, code: str, about: str = "", **parameters: str) -> None:
        """Add a note, unless the same note about the same thing is there already."""
        self._notes.setdefault((code, about, *parameters.values()), Note(code=code, about=about, parameters=parameters))

    def collected(self) -> tuple[Note, ...]:
        """Return all notes so far."""
        return tuple(self._notes.values())


def without_left_out_entries(notes: Iterable[Note]) -> list[Note]:
    """Drop the count of entries that were left out: a report on several dates shows them as added or removed."""
    return [note for note in notes if note.code != "entries_left_out"]
