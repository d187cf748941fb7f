"""The texts of faults in a workbook: those that the code says, in every language, with what varies in them."""

import re
from pathlib import Path

import pytest

import hitchworth
from hitchworth.localization.faults import localize_fault
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.build import Owner
from hitchworth.model.fault import Fault
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
