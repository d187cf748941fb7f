"""What the reader of an estimate should know about its figures, gathered while it is computed."""

from hitchworth.model.note import Note


class Remarks:
    """Notes in the order in which they arose, each once."""

    __slots__ = ("_notes",)

    def __init__(self) -> None:
        self._notes: dict[tuple[str, ...], Note] = {}

    def add(self, code: str, about: str = "", **parameters: str) -> None:
        """Note something; the same remark about the same thing is noted once."""
        self._notes.setdefault((code, about, *parameters.values()), Note(code=code, about=about, parameters=parameters))

    def notes(self) -> tuple[Note, ...]:
        """All of them."""
        return tuple(self._notes.values())
