"""Numbers compared as a person reads them off a label. The expected differences are worked by hand."""

import pytest

from hitchworth.documentation.number_matching import differences, is_comparable, numbers_in
from hitchworth.model.serial_numbers import Forgiven


@pytest.mark.parametrize(
    ("asked", "recorded", "forgiven"),
    [
        ("GS2-60418", "GS2-60418", ()),
        ("  GS2-60418 ", "GS2-60418", ()),
        ("GS260418", "GS2-60418", ("spacing",)),
        ("GS2 60418", "GS2-60418", ("spacing",)),
        ("GS2\u201360418", "GS2-60418", ("spacing",)),
        ("GS2\u221260418", "GS2\u200b60418", ("spacing",)),
        ("gs2-60418", "GS2-60418", ("letter_case",)),
        ("GS2-6O418", "GS2-60418", ("look_alikes",)),
        ("GS2-6o418", "GS2-60418", ("look_alikes",)),
        ("GS2-604I8", "GS2-60418", ("look_alikes",)),
        ("GS2-604l8", "GS2-60418", ("look_alikes",)),
        ("AIB", "AlB", ("look_alikes",)),
        ("AIB", "aib", ("letter_case",)),
        ("AL1", "al1", ("letter_case",)),
        ("OO", "oo", ("letter_case",)),
        ("gs2 6o4i8", "GS2-60418", ("spacing", "letter_case", "look_alikes")),
    ],
)
def test_numbers_that_are_alike(asked: str, recorded: str, forgiven: tuple[Forgiven, ...]) -> None:
    """Whichever of the two is asked for."""
    assert differences(asked, recorded) == forgiven
    assert differences(recorded, asked) == forgiven


@pytest.mark.parametrize(
    ("asked", "recorded"),
    [
        ("GS2-60418", "GS2-60419"),
        ("GS2-6041", "GS2-60418"),
        ("2-60418", "GS2-60418"),
        ("L1", "11"),
        ("L1", "I1"),
        ("Q0", "00"),
        ("D0", "00"),
        ("5", "S"),
        ("8", "B"),
        ("GS2/60418", "GS260418"),
        ("GS2.60418", "GS260418"),
        ("10", "01"),
        ("O1", "10"),
    ],
)
def test_numbers_that_are_not(asked: str, recorded: str) -> None:
    """A capital L looks like no other character, and slashes and points belong to a number."""
    assert differences(asked, recorded) is None
    assert differences(recorded, asked) is None


def test_several_numbers_in_one_field_are_compared_one_by_one() -> None:
    assert numbers_in("LF100-118204, LF100-118209") == ("LF100-118204, LF100-118209", "LF100-118204", "LF100-118209")
    assert numbers_in("A1;B2") == ("A1;B2", "A1", "B2")
    assert numbers_in("A1") == ("A1",)
    assert numbers_in("A1, -,, A1") == ("A1, -,, A1", "A1")


@pytest.mark.parametrize(
    ("number", "comparable"), [("A", True), ("7-", True), ("/", True), ("-", False), (" \u2013\u2212 ", False)]
)
def test_spaces_and_dashes_alone_are_no_number(number: str, comparable: bool) -> None:
    assert is_comparable(number) is comparable
