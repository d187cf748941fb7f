"""What an import remarks: used things, things that are no part of a trailer, evidence, and slips of the pen."""

from typing import Any

import pytest
from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.receipt_import import ReceiptImport
from hitchworth.reference.receipt_words import extra_kind, used_phrase
from hitchworth.validation import InvalidInputError
from imported_tables import faults, imported, notes, part_named

HEAD = "Date,Store,Receipt,Item,Price\n"
MISC = (
    f"{HEAD}2025-03-14,Alder,1,used fridge,50\n2025-03-15,,,secondhand wood stove,80\n"
    "2025-03-16,Cedar,12,gift card for Ann,50\n2025-03-17,Cedar,13,lunch at hot dog stand,9\n"
    "2025-03-18,Cedar,14,table saw,450\n2025-03-19,Cedar,15,drill bits set,32\n2025-03-20,Cedar,16,plywood,120\n"
)


def noted(result: ReceiptImport, code: str) -> dict[str, str]:
    """The parameters of the only note of this code."""
    (found,) = (note.parameters for note in result.notes if note.code == code)
    return found


@pytest.mark.parametrize(
    "text",
    [
        "used fridge",
        "Fridge, used",
        "second-hand stove",
        "Kühlschrank gebraucht",
        "estufa de segunda mano",
        "nevera usada",
        "réfrigérateur d'occasion",
        "poêle usagé",
        "reclaimed oak",
    ],
)
def test_words_say_that_a_thing_was_bought_used(text: str) -> None:
    assert used_phrase(text)


@pytest.mark.parametrize(
    "text", ["screws used for the roof", "never used heater", "unused lamp", "glue", "occasional table"]
)
def test_other_words_do_not(text: str) -> None:
    assert used_phrase(text) is None


def test_a_used_thing_is_a_guess_that_is_listed() -> None:
    result = imported(MISC)
    guessed = [(guess.row, guess.value, guess.because) for guess in result.guesses if guess.field == "bought_used"]
    assert guessed == [(2, "true", "used"), (3, "true", "secondhand")]
    assert [part.bought_used for part in result.components] == [True, True, *[None] * 5]
    said = imported(MISC, constants={"bought_used": "false"})
    assert [part.bought_used for part in said.components] == [False] * 7


def test_a_drill_is_a_tool_and_a_bit_for_one_too() -> None:
    result = imported("Date,Item,Cost\n2025-05-09,cordless drill,79.99\n2025-05-10,drill bits,9.99\n")
    assert [part.category for part in result.components] == ["power_tools", "hand_tools"]
    assert noted(result, "extra_tools")["rows"] == "2, 3"


def test_what_is_no_part_of_a_trailer_is_named_and_counts_until_it_is_left_out() -> None:
    result = imported(MISC)
    assert noted(result, "extra_gifts") == {"rows": "4", "first": "gift card for Ann"}
    assert noted(result, "extra_food")["rows"] == "5"
    assert noted(result, "extra_tools") == {"rows": "6, 7", "first": "table saw"}
    assert len(result.components) == 7
    less = imported(MISC, leave_out=[4, 5, 6, 7])
    assert not [code for code in notes(less) if code.startswith("extra_")]
    declared = imported(MISC, categories={"table saw": "power_tools"})
    assert noted(declared, "extra_tools")["rows"] == "7"  # of the saw it was said


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("diesel", "fuel"),
        ("diesel heater", None),
        ("fuel can", None),
        ("Mittagessen", "food"),
        ("coffee maker", None),
        ("gasolina", "fuel"),
        ("carte-cadeau", "gifts"),
        ("tarjeta de regalo", "gifts"),
        ("dinette table", None),
    ],
)
def test_extras_are_known_by_their_words(text: str, kind: str | None) -> None:
    assert extra_kind(text) == kind


def test_rows_without_a_receipt_number_say_nothing_of_their_proof() -> None:
    result = imported(MISC)
    assert noted(result, "evidence_of_some") == {"numbered": "6", "rows": "3"}
    assert part_named(result, "secondhand wood stove").evidence_grade is None
    assert noted(imported(MISC.replace(",,,", ",,2,")), "evidence_of_all") == {"numbered": "7"}
    assert not {"evidence_of_some", "no_evidence"} & set(notes(imported(MISC, evidence_grade="written_quote")))


TWO = "Date,Item,Price,Currency\n2025-03-14,battery,450.00,USD\n2025-03-15,frame,1250.00,CAD\n"


def test_an_exchange_rate_for_all_rows_is_that_of_the_other_currency() -> None:
    with pytest.raises(InvalidInputError) as caught:
        imported(TWO)
    (fault,) = caught.value.faults
    assert fault.cell == "D3"  # the cell that says CAD
    assert "--set exchange_rate=RATE" in fault.expected
    result = imported(TWO, constants={"exchange_rate": "0.7"})
    assert [(part.currency, str(part.exchange_rate)) for part in result.components] == [(None, "None"), ("CAD", "0.7")]


def test_a_column_with_one_currency_says_that_of_the_build() -> None:
    assert imported(TWO.replace("USD", "CAD")).settings.currency == "CAD"


def expected(content: str, **settings: Any) -> list[str]:
    """Cell and expectation of each fault."""
    with pytest.raises(InvalidInputError) as caught:
        imported(content, **settings)
    return [f"{fault.cell}: {fault.expected}" for fault in caught.value.faults]


def test_faults_name_the_option_that_helps() -> None:
    assert expected("Date,Work,Hours\n2025-03-04,Framing,2\n2025-03-05,Brakes,\n") == [
        "C3: hours: 1.5, 1:30 or 90 min; or leave the row out: --leave-out and its number"
    ]
    (found,) = expected(f"{HEAD}2025-03-04,A,1,Stove,2\n,A,1,Sink,3\n")
    assert found.startswith("A3: the day of purchase; or --fill-down acquired_on")
    (found,) = expected(f"{HEAD}2025-03-04,A,1,Stove,2\n2025-03-05,A,1,Sink,\n")
    assert found == "E3: an amount; or leave the row out: --leave-out and its number"


def test_a_category_that_there_is_not_is_a_fault_with_near_names() -> None:
    (found,) = expected(MISC, categories={"fridge": "refridgerator"})
    assert "similar: refrigerator" in found
    (found,) = expected(MISC, categories={"fridge": "screws"})
    assert "such as fasteners" in found
    (found,) = expected(MISC, constants={"category": "stoove"})
    assert "similar: stove" in found
    part = replace(imported(MISC).components[0], id="mine", category="parlor stuff")
    build = Build(name="n", currency="USD", components=(part,))
    own = imported(MISC, build=build, categories={"fridge": "parlor stuff"})  # a name that the build has
    assert own.components[0].category == "parlor stuff"


def test_a_row_to_leave_out_is_there() -> None:
    assert faults(MISC, leave_out=[9]) == [("", "There is no such row")]
    assert faults(MISC, leave_out=[1]) == [("", "There is no such row")]  # the headers
    assert len(imported(MISC, leave_out=[8]).components) == 6


@pytest.mark.parametrize(
    ("year", "is_fault"), [("3027", True), ("1900", True), ("1949", True), ("1950", False), ("2100", False)]
)
def test_a_year_that_nobody_means_is_a_fault(year: str, is_fault: bool) -> None:
    for table in (f"{HEAD}{year}-03-14,A,1,table,20\n", f"Date,Work,Hours\n{year}-03-14,Framing,2\n"):
        if is_fault:
            assert faults(table) == [("A2", "Hardly the year that is meant")]
        else:
            assert imported(table).rows
