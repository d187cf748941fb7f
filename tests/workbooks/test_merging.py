"""Importing again adds only what is new, and tells what looks like something that is there."""

from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.document import Document
from hitchworth.model.entry import Component
from hitchworth.workbooks.merging import Similar, with_imported
from imported_tables import imported

EMPTY = Document(build=Build(name="n", currency="USD"))
TABLE = "Date,Item,Amount\n2025-03-04,Stove,12.50\n2025-03-05,Sink,30.00\n"


def test_importing_twice_changes_nothing() -> None:
    first = with_imported(EMPTY, imported(TABLE))
    again = with_imported(first.document, imported(TABLE, build=first.document.build))
    assert (len(first.added), again.added, again.seen) == (2, (), first.added)
    assert again.document == first.document
    assert first.similar == again.similar == ()


def test_only_the_new_rows_of_a_longer_file_are_added_also_above_the_others() -> None:
    first = with_imported(EMPTY, imported(TABLE))
    longer = TABLE.replace("2025-03-04,Stove", "2024-01-01,Lamp,3.00\n2025-03-04,Stove")
    more = with_imported(first.document, imported(longer, build=first.document.build))
    assert [part.description for part in more.document.build.components] == ["Stove", "Sink", "Lamp"]
    assert len(more.seen) == 2


def test_what_was_corrected_in_the_document_stays() -> None:
    first = with_imported(EMPTY, imported(TABLE)).document
    stove, sink = first.build.components
    better = replace(stove, category="appliances", unit_cost=Decimal(13))
    corrected = replace(first, build=replace(first.build, components=(better, sink)))
    again = with_imported(corrected, imported(TABLE, build=corrected.build))
    assert again.document == corrected
    assert again.similar == (Similar(stove.id, stove.id, "other_figures"),)


def similar(day: str, description: str, amount: str) -> tuple[str, ...]:
    """How the only row of a table is like a stove of 12.50 bought on March 4."""
    stove = Component(
        id="stove",
        description="Stove",
        category="stove",
        quantity=Decimal(1),
        unit_cost=Decimal("12.50"),
        acquired_on=date(2025, 3, 4),
    )
    document = replace(EMPTY, build=replace(EMPTY.build, components=(stove,)))
    table = f"Date,Item,Amount\n{day},{description},{amount}\n"
    return tuple(each.likeness for each in with_imported(document, imported(table, build=document.build)).similar)


def test_what_looks_alike_is_told_and_added() -> None:
    assert similar("2025-03-07", "Cooker", "12.50") == ("same_amount",)
    assert similar("2025-03-01", "Cooker", "12.50") == ("same_amount",)
    assert similar("2025-03-08", "Cooker", "12.50") == ()
    assert similar("2025-03-04", "stove", "12.60") == ("same_words",)
    assert similar("2025-03-05", "stove", "12.60") == ()
    assert similar("2025-03-05", "Cooker", "12.60") == ()


def test_hours_are_added_once_too() -> None:
    log = "Date,Work,Hours\n2025-03-04,Framing,2\n"
    first = with_imported(EMPTY, imported(log))
    again = with_imported(first.document, imported(log, build=first.document.build))
    assert len(first.document.build.labor) == 1
    assert (again.added, again.seen) == ((), first.added)


def test_a_receipt_takes_the_place_of_a_quoted_price_line_by_line() -> None:
    quoted = Component(
        id="stove",
        description="Two-burner stove",
        category="appliances",
        quantity=Decimal(2),
        unit_cost=Decimal(300),
        tax=Decimal(36),
        acquired_on=date(2025, 1, 1),
        price_includes="overhead_and_profit",
        evidence_grade="written_quote",
        serial_number="S-1",
    )
    sink = replace(quoted, id="sink", description="Sink")
    document = replace(EMPTY, build=replace(EMPTY.build, components=(quoted, sink)))
    table = "ID,Date,Item,Quantity,Unit price\nstove,2025-03-04,Stove,1,250.00\n"
    columns = {"ID": "id", "Date": "acquired_on", "Item": "description", "Quantity": "quantity"}
    read = imported(
        table, columns=columns | {"Unit price": "unit_cost"}, evidence_grade="receipt", build=document.build
    )
    first = with_imported(document, read)
    stove, other = first.document.build.components
    assert (first.added, other) == ((), sink)
    assert (stove.quantity, stove.unit_cost, stove.tax) == (Decimal(1), Decimal(250), None)
    assert stove.acquired_on == date(2025, 3, 4)
    assert (stove.evidence_grade, stove.price_includes) == ("receipt", None)
    assert (stove.description, stove.category, stove.serial_number) == ("Two-burner stove", "appliances", "S-1")
    assert {each.field for each in first.corrected} == {
        *("quantity", "unit_cost", "tax", "acquired_on", "price_includes", "evidence_grade")
    }
    assert first.similar == ()
    again = with_imported(first.document, read)
    assert again.document == first.document
    # Another quote for it is no receipt: the line stays, and that is told.
    other_quote = replace(read, components=(replace(read.components[0], evidence_grade="written_quote"),))
    assert with_imported(document, other_quote).document == document
