"""How many lines a row of cells needs, how wide its columns are, and which style a cell has. Worked by hand."""

from decimal import Decimal

import pytest

from hitchworth.workbooks.cells import Cell
from hitchworth.workbooks.look import Look, Style, lines_in, wide_enough

WORDS = "twelve chars five"


@pytest.mark.parametrize(
    ("text", "style", "lines"),
    [
        (WORDS, "text", 1),  # 17 characters in a column of 18
        (WORDS, "head", 2),  # of bold ones only 15 fit
        (WORDS, "label", 2),
        (WORDS, "required", 2),
        (WORDS, None, 1),  # not wrapped
        (f"{WORDS} and more", "text", 2),
        (f"{WORDS} and more", None, 1),
        ("one\n\nthree", "text", 3),
        ("", "text", 1),
        (Decimal(12345678901234567890), "text", 1),
    ],
)
def test_a_row_is_as_high_as_its_highest_cell(text: Cell, style: Style | None, lines: int) -> None:
    assert lines_in(["short", text, "short"], [18, 18, 18], ["text", style, "text"]) == lines


def test_a_column_is_as_wide_as_the_longest_word_of_its_headers() -> None:
    # A word of 10 characters and a space, bold: 11 / 0.85 = 12.94. After a hyphen a line may end: 8 / 0.85 = 9.41.
    assert wide_enough((4, 40, 4, 4), [["a longwords1 b", "wide", "long-words12", Decimal(5)]]) == (13, 40, 10, 4)
    assert wide_enough((4,), [["short", "not of a column"], ["longerword"]]) == (13,)


def test_a_cell_has_its_own_style_or_that_of_the_head_or_of_its_column() -> None:
    look = Look(head=2, columns={0: "money"}, styles={(2, 1): "required", (3, 0): "text", (0, 0): "title"})
    rows = [[look.style_of(row, column) for column in (0, 1)] for row in range(5)]
    assert rows == [["title", None], [None, None], ["head", "required"], ["text", None], ["money", None]]
