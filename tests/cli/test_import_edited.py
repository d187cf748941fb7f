"""A file that was edited and is imported again: no purchase counts twice, and what is not clear is asked."""

from decimal import Decimal
from pathlib import Path

import msgspec
import pytest

from hitchworth.cli import main
from hitchworth.model.build import Build
from hitchworth.operations.documents import read_document

TABLE = (
    "Date,Store,Item,Amount,Receipt\n2026-03-04,Barn,Plywood sheet,80.00,R1\n"
    "2026-05-06,Barn,Insulation foam board,200.00,R2\n2026-07-08,Volt,Battery 100Ah AGM,300.00,R3\n"
)
LOG = "Date,Task,Hours\n2026-03-07,weld frame,4.5\n2026-03-15,walls,6\n2026-03-21,wiring,2\n"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    table = tmp_path / "r.csv"
    table.write_text(TABLE)
    return table


def run(file: Path, *arguments: object, into: str = "m.json") -> int:
    return main(["import", str(file), "--into", str(file.with_name(into)), *map(str, arguments)])


def build(file: Path) -> Build:
    return read_document(file.with_name("m.json").read_bytes()).build


def total(file: Path) -> Decimal:
    """What the components cost in all, as the document has it."""
    return sum(
        (part.quantity * part.unit_cost + (part.tax or 0) + part.freight for part in build(file).components), Decimal()
    )


def shown(capsys: pytest.CaptureFixture[str]) -> str:
    captured = capsys.readouterr()
    return " ".join((captured.out + captured.err).split())


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        ("2026-05-06", "2026-05-07", "acquired_on: 2026-05-06 → 2026-05-07: “Insulation foam board”"),
        ("R2", "R22", ""),  # the document does not hold the number
        ("06,Barn", "06,Hardware Barn", "supplier: Barn → Hardware Barn: “Insulation foam board”"),
        ("foam board", "foam sheets", "description: Insulation foam board → Insulation foam sheets"),
        ("200.00", "210.00", "unit_cost: 200 → 210: “Insulation foam board”"),
    ],
)
def test_a_corrected_cell_corrects_its_line(
    file: Path, capsys: pytest.CaptureFixture[str], before: str, after: str, told: str
) -> None:
    assert run(file) == 0
    ids = [part.id for part in build(file).components]
    file.write_text(TABLE.replace(before, after))
    capsys.readouterr()
    assert run(file) == 0
    assert "Added: 0" in (said := shown(capsys))
    assert told in said
    assert [part.id for part in build(file).components] == ids
    assert total(file) == (590 if after == "210.00" else 580)
    assert run(file) == 0  # and so it stays
    assert "Added: 0; there already: 3" in (said := shown(capsys))
    assert "Corrected" not in said


def test_a_receipt_number_that_was_missing_is_evidence_later(file: Path) -> None:
    file.write_text(TABLE.replace("R1", ""))
    assert run(file) == 0
    file.write_text(TABLE)
    assert run(file) == 0
    assert total(file) == 580
    assert [part.evidence_grade for part in build(file).components] == ["receipt"] * 3


def test_a_day_that_was_filled_from_above_is_corrected_when_it_is_entered(file: Path) -> None:
    file.write_text(TABLE.replace("2026-05-06", ""))
    assert run(file, "--fill-down", "acquired_on") == 0
    file.write_text(TABLE)
    assert run(file) == 0
    assert total(file) == 580
    assert [str(part.acquired_on) for part in build(file).components] == ["2026-03-04", "2026-05-06", "2026-07-08"]


def test_the_same_thing_bought_again_stays_another_purchase(file: Path) -> None:
    assert run(file) == 0
    more = "2026-03-04,Barn,Plywood sheet,80.00,R1\n2026-03-09,Barn,Plywood sheet,80.00,R4\n"
    file.write_text(TABLE + more)
    assert run(file) == 0
    assert total(file) == 740
    assert len(build(file).components) == 5


def test_a_row_that_is_gone_leaves_its_line_and_is_told(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(file) == 0
    capsys.readouterr()
    file.write_text("".join(TABLE.splitlines(keepends=True)[:3]) + "2026-07-10,Volt,Lamp,20.00,R5\n")
    assert run(file) == 0
    assert (
        "No longer in the file, and still in the document: delete those that do not belong there - “Battery"
        in shown(capsys)
    )
    assert total(file) == 600


def test_two_lines_that_a_row_may_be_are_asked_about(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Of 80.00 on March 4 and on March 9, one moved to March 12 and one went: which of them, nobody can know."""
    again = "2026-03-09,Barn,Plywood sheet,80.00,R4\n"
    file.write_text(TABLE + again)
    assert run(file) == 0
    first, last = (part.id for part in build(file).components if part.unit_cost == 80)
    file.write_text(TABLE.replace("2026-03-04", "2026-03-12") + "2026-03-01,Barn,Screws,5.00,R9\n")
    capsys.readouterr()
    assert run(file) == 1
    assert (
        f"--line 2={first} or --line 2={last} or --line 2=new; or, where it is none of these: --leave-out 2"
        in shown(capsys)
    )
    assert total(file) == 660
    assert run(file, "--line", f"2={last}") == 0
    assert [str(part.acquired_on) for part in build(file).components if part.unit_cost == 80] == [
        "2026-03-04",
        "2026-03-12",
    ]
    assert run(file) == 0  # it is known from now on
    assert total(file) == 665


def test_a_row_may_be_said_to_be_new_and_a_wrong_answer_is_refused(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file that holds only what is new: the same thing at the same price may be an old row with another day."""
    assert run(file) == 0
    file.write_text("Date,Store,Item,Amount,Receipt\n2026-08-04,Barn,Plywood sheet,80.00,R7\n")
    assert run(file) == 1
    capsys.readouterr()
    assert run(file, "--line", "9=new") == 1
    assert "There is no such new row (expected the number of a new row: 2; found 9)" in shown(capsys)
    assert run(file, "--line", "2=sink") == 1
    assert "There is no such line" in shown(capsys)
    assert run(file, "--line", "2=new") == 0
    assert total(file) == 660
    assert run(file) == 0
    assert total(file) == 660


def test_hours_that_were_corrected_count_once(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text(LOG)
    assert run(file) == 0
    file.write_text(LOG.replace("4.5", "5.5").replace("2026-03-15", "2026-03-16"))
    capsys.readouterr()
    assert run(file) == 0
    assert [(str(each.performed_on), each.task, str(each.hours)) for each in build(file).labor] == [
        ("2026-03-07", "weld frame", "5.5"),
        ("2026-03-16", "walls", "6"),
        ("2026-03-21", "wiring", "2"),
    ]
    assert "hours: 4.5 → 5.5: “weld frame”" in shown(capsys)


def test_when_all_rows_were_edited_it_is_asked(file: Path) -> None:
    file.write_text(LOG)
    assert run(file) == 0
    edited = "Date,Task,Hours\n2026-03-07,weld frame,5.5\n2026-03-16,walls,6\n2026-03-22,wiring,2\n"
    file.write_text(edited)
    assert run(file) == 1
    assert run(file, "--line", "others=corrected") == 0
    assert [str(each.hours) for each in build(file).labor] == ["5.5", "6", "2"]


def test_a_file_is_known_by_what_stands_in_it_in_a_document_of_another_name(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    slashes = TABLE.replace("2026-03-04", "03/04/2026").replace("2026-05-06", "05/06/2026")
    file.write_text(slashes.replace("2026-07-08", "07/08/2026"))
    assert run(file, "--date-order", "day-first") == 0
    assert run(file, "--date-order", "month-first") == 0
    workbook = file.with_name("camper.xlsx")
    assert main(["workbook", str(file.with_name("m.json")), "-o", str(workbook)]) == 0
    capsys.readouterr()
    assert run(file, "--date-order", "month-first", into="camper.xlsx") == 0
    assert "Added: 0; there already: 3" in shown(capsys)


def test_a_corrected_order_of_dates_is_asked_about_in_a_document_of_another_name(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    slashes = TABLE.replace("2026-03-04", "03/04/2026").replace("2026-05-06", "05/06/2026")
    file.write_text(slashes.replace("2026-07-08", "07/08/2026"))
    assert run(file, "--date-order", "day-first") == 0
    file.with_name("n.json").write_bytes(file.with_name("m.json").read_bytes())
    assert run(file, "--date-order", "month-first", into="n.json") == 1
    capsys.readouterr()
    assert run(file, "--date-order", "month-first", "--line", "others=corrected", into="n.json") == 0
    assert "Added: 0; there already: 3" in shown(capsys)
    assert b'"2026-03-04"' in file.with_name("n.json").read_bytes()


def test_rows_that_were_left_out_are_asked_about_in_a_document_of_another_name(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(file, "--leave-out", 3) == 0
    (file.with_name("n.json")).write_bytes(file.with_name("m.json").read_bytes())
    capsys.readouterr()
    assert run(file, into="n.json") == 1
    said = shown(capsys)
    assert "these are not: 3 (“Insulation foam board”). Are they new, or were they left out before?" in said
    assert "--line others=new; or, where it is none of these: --leave-out 3" in said
    assert run(file, "--leave-out", 3, into="n.json") == 0
    assert run(file, into="n.json") == 0  # it is known from now on
    assert len(msgspec.json.decode(file.with_name("n.json").read_bytes())["build"]["components"]) == 2
    file.with_name("n.import.yaml").unlink()
    assert run(file, "--line", "others=new", into="n.json") == 0
    assert len(msgspec.json.decode(file.with_name("n.json").read_bytes())["build"]["components"]) == 3


FRIDGE = (
    "Item,Date,Amount,Receipt,Qty\nFridge,2026-05-09,400.00,K1,1\npartial refund fridge (dent),2026-05-16,-60.00,K1,1\n"
)


def test_a_part_of_the_price_that_came_back_lowers_the_price(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text(FRIDGE)
    assert run(file) == 1
    assert "--refund 3=2" in shown(capsys)
    assert run(file, "--refund", "3=2") == 0
    assert "Row 3: the price paid for “Fridge” is lowered by 60" in shown(capsys)
    (part,) = build(file).components
    assert (part.quantity, part.unit_cost) == (Decimal(1), Decimal(340))
    assert run(file) == 0  # the document says what it was
    assert build(file).components == (part,)


def test_a_part_of_the_price_that_comes_back_later_lowers_the_price_that_is_there(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With its tax: 389.00 + 34.62, of which 60.00 + 5.34 came back: 329.00 + 29.28."""
    head, fridge = "Date,Item,Price,Sales Tax,Total\n", "2026-05-09,Fridge,389.00,34.62,423.62\n"
    file.write_text(head + fridge)
    assert run(file) == 0
    file.write_text(head + fridge + "2026-05-16,fridge refund (dent),-60.00,-5.34,-65.34\n")
    assert run(file, "--refund", "3=2") == 0
    assert "unit_cost: 389 → 329: “Fridge”" in shown(capsys)
    (part,) = build(file).components
    assert (part.unit_cost, part.tax) == (Decimal(329), Decimal("29.28"))


def test_what_cannot_be_a_part_of_the_price_is_told_with_what_to_do(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file.write_text(FRIDGE.replace("-60.00", "-460.00"))
    assert run(file, "--refund", "3=2") == 1
    assert "The refund is more than was paid (expected at most 400.00, what was paid for Fridge" in shown(capsys)
    rows = FRIDGE.splitlines(keepends=True)
    file.write_text(rows[0] + rows[1])
    assert run(file) == 0
    (part,) = build(file).components
    file.write_text(rows[0] + rows[2] + "Lamp,2026-05-17,20.00,K2,1\n")
    assert run(file, "--refund", f"2={part.id}") == 1
    assert f"set unit_cost of {part.id} to 340.00 in the document, and leave the row out: --leave-out 2" in shown(
        capsys
    )


OWN = (
    "Date,Item,Total,Category,Receipt #\n2026-04-05,lunch w/ dave,25.48,Misc,1\n"
    "2026-05-23,foam mattress queen cut,238.49,Inside,2\n"
    "2026-05-30,Jigsaw,86.03,Tools,3\n2026-05-09,12V fridge 45qt,423.62,Galley,4\n2026-04-02,frobnicator,9.00,Build,5\n"
    "2026-04-02,XPS foam board,272.25,Insulation,6\n"
)


def test_words_of_a_column_of_categories_that_are_none_of_ours_do_not_count_as_sure(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file.write_text(OWN)
    assert run(file, "--category", "Galley=appliances") == 0
    said = shown(capsys)
    assert "(likely; the column says “Inside”)" in said
    assert "(not recognized; the column says “Build”)" in said
    assert "Food or drink, by the words: rows 2 (“lunch w/ dave”)" in said
    assert "Tools, by their words: rows 4 (“Jigsaw”)" in said
    assert "Lines whose category was not recognized; they follow the general schedule: 2" in said
    assert {part.description: part.category for part in build(file).components} == {
        "lunch w/ dave": "other",
        "foam mattress queen cut": "mattress",
        "Jigsaw": "tools",
        "12V fridge 45qt": "appliances",
        "frobnicator": "other",
        "XPS foam board": "insulation",
    }
