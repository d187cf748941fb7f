"""The texts of faults in a workbook: those that the code says, in every language, with what varies in them."""

import re
from pathlib import Path

import pytest

import hitchworth
from hitchworth.localization.faults import fault_in_a_line, faults_counted, localize_fault
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.build import Owner
from hitchworth.model.fault import Fault
from hitchworth.validation.errors import InvalidInputError
from hitchworth.validation.fault_texts import describe_type
from hitchworth.validation.type_inspection import record_fields
from hitchworth.workbooks.columns import RECORDS

SOURCES = "\n".join(file.read_text() for file in sorted(Path(hitchworth.__file__).parent.rglob("*.py")))
TYPES = {describe_type(field.type) for record in (*RECORDS.values(), Owner) for field in record_fields(record)}
SAID = "\n".join((SOURCES, *TYPES))
TEXTS = {**texts().fault_details, **texts().fault_expected}


@pytest.mark.parametrize("text", TEXTS)
def test_every_text_is_said_somewhere_in_the_code(text: str) -> None:
    """Each run of words between its gaps stands in the code; numbers and names are put in there."""
    for words in re.findall(r"[A-Za-z][A-Za-z' -]{6,}[a-z]", re.sub(r"\{\w+\}", "|", text)):
        assert words in SAID


def said(detail: str, expected: str, found: str = "", locale: str = "de-DE") -> tuple[str, str, str]:
    fault = localize_fault(Fault(pointer="", detail=detail, expected=expected, found=found), localizer_for(locale))
    return fault.detail, fault.expected, fault.found


def test_numbers_are_written_as_in_the_locale_and_years_stay_plain() -> None:
    assert said("Number is out of range", "a number from 0 to 1,000,000") == (
        *("Die Zahl ist zu klein oder zu groß", "eine Zahl von 0 bis 1.000.000", ""),
    )
    assert said("", "a whole number from 1900 to 2200 or null")[1] == (
        "eine ganze Zahl von 1900 bis 2200, oder eine leere Zelle"
    )
    assert said("", "a number from 0.5 to 0.999")[1] == "eine Zahl von 0,5 bis 0,999"


def test_the_longest_text_that_fits_counts() -> None:
    assert said("", "2026-11-28 or earlier")[1] == "2026-11-28 oder früher"
    assert said("", "one of a, b; similar: b")[1] == "eins von: a, b; ähnlich: b"
    assert said("", "yes or no")[1] == "yes oder no"


def test_what_has_no_text_stays_in_english_and_nothing_is_said_as_such() -> None:
    assert said("Something else", "whatever", "nothing") == ("Something else", "whatever", "nichts")
    assert said("", "", "nothing more")[2] == "nothing more"


def test_a_way_out_of_a_fault_is_said_around_what_is_expected() -> None:
    expected = "the day of purchase; or --fill-down acquired_on, where it is that of the row above"
    assert said(
        "Nothing stands here", f"{expected}; or leave the row out: --leave-out and its number", "an empty cell"
    ) == (
        "Hier steht nichts",
        "der Tag des Kaufs; oder --fill-down acquired_on, wenn es das der Zeile darüber ist; "
        "oder die Zeile weglassen: --leave-out und ihre Nummer",
        "eine leere Zelle",
    )


def test_of_many_ranges_of_rows_the_first_are_listed() -> None:
    """Every other row has the fault: 22 more ranges than the first row, of which 20 are listed."""
    fault = Fault(
        pointer="", cell="D2", detail="Nothing stands here", also_at=tuple(f"D{row}" for row in range(4, 48, 2))
    )
    told = fault_in_a_line(fault, localizer_for("de-DE"))
    assert told.startswith("D2: Hier steht nichts; dasselbe in 22 weiteren Zeilen: 4, 6, 8, ")
    assert told.endswith(", 42, und 2 weiteren")


def test_how_many_faults_there_are() -> None:
    def counted(count: int) -> str:
        faults = [Fault(pointer=f"/{at}", detail=str(at)) for at in range(count)]
        return faults_counted(InvalidInputError(faults), localizer_for("de-DE"))

    assert [counted(count) for count in (1, 100, 101, 10_000)] == [
        *("1 Fehler", "100 Fehler", "101 Fehler, davon 100 aufgeführt"),
        "mindestens 10.000 Fehler, davon 100 aufgeführt",
    ]
