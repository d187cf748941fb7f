"""What is found while a table is read: faults, questions, guesses and notes, collected so that all are told at once."""

from hitchworth.model.fault import Fault
from hitchworth.model.note import Note
from hitchworth.model.receipt_import import ImportChoice, ImportGuess, ImportQuestion
from hitchworth.workbooks.cells import Cell, Unreadable, cell_name, cell_text

MAX_CELLS = 20
"""A question names at most this many cells."""

UNREADABLE = {
    "error": ("The formula in the cell has failed", "a value"),
    "no_value": (
        "The formula in the cell was never computed",
        "a value: open the file in a spreadsheet program and save it",
    ),
    "merged": ("The cell is merged with another one, which has the value", "a cell of its own, with a value"),
}
"""What is wrong with a cell without a value, and what is expected."""


class Findings:
    """The faults, questions, guesses and notes of one table."""

    def __init__(self, sheet: str = "") -> None:
        self.sheet = sheet
        self.faults: list[Fault] = []
        self.questions: list[ImportQuestion] = []
        self.guesses: list[ImportGuess] = []
        self.notes: list[Note] = []
        self._told: set[tuple[int, int]] = set()

    def is_told(self, row: int, column: int) -> bool:
        """Return whether a cell has a fault already."""
        return (row, column) in self._told

    def cell(self, row: int, column: int) -> str:
        """Return the name of a cell by its place, counted from 0."""
        return cell_name(row, column, self.sheet)

    def fault(self, row: int, column: int, detail: str, expected: str = "", found: str = "") -> None:
        """Add a fault of a cell; its first one only."""
        if self.is_told(row, column):
            return
        self._told.add((row, column))
        self.faults.append(
            Fault(pointer="", cell=self.cell(row, column), detail=detail, expected=expected, found=found[:60])
        )

    def declared(self, detail: str, expected: str, found: str) -> None:
        """Add a fault of what was declared about the table, which is in no cell of it."""
        self.faults.append(Fault(pointer="", detail=detail, expected=expected, found=found[:60]))

    def unreadable(self, row: int, column: int, cell: Unreadable) -> None:
        """Add the fault of a cell that has no value."""
        detail, expected = UNREADABLE[cell.reason]
        self.fault(row, column, detail, expected, cell.text)

    def wrong(self, row: int, column: int, cell: Cell, detail: str, expected: str) -> None:
        """Add the fault of a cell whose value is not what its column holds, or that has none."""
        if isinstance(cell, Unreadable):
            self.unreadable(row, column, cell)
        else:
            self.fault(row, column, detail, expected, cell_text(cell) or "an empty cell")

    def ask(
        self,
        code: str,
        setting: str,
        choices: tuple[ImportChoice, ...] = (),
        cells: tuple[tuple[int, int], ...] = (),
        **parameters: str,
    ) -> None:
        """Add a question."""
        names = tuple(self.cell(row, column) for row, column in cells[:MAX_CELLS])
        self.questions.append(
            ImportQuestion(code=code, setting=setting, choices=choices, cells=names, parameters=parameters)
        )

    def note(self, code: str, about: str = "", **parameters: str) -> None:
        """Add a note."""
        self.notes.append(Note(code=code, about=about, parameters=parameters))

    def guess(self, guess: ImportGuess) -> None:
        """Add a guess."""
        self.guesses.append(guess)
