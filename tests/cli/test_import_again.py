"""A file that is imported again with corrections: they reach what is there, and what a person wrote stays."""

from pathlib import Path

import msgspec
import pytest
from msgspec.structs import replace

from hitchworth.cli import main
from hitchworth.model.document import Document

TABLE = (
    "Date,Store,Item,Total,Receipt #\n2026-02-14,Bits,gas struts 90 lb,49.00,4411\n"
    "2026-02-14,Bits,gift card,20.00,4411\n2026-02-14,Bits,Sales tax,6.90,4411\n"
)
LOG = "Day,What I did,Hrs\n2026-03-04,framing,2\n2026-03-05,wiring,3\n"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    table = tmp_path / "x.csv"
    table.write_text(TABLE)
    return table


def run(file: Path, *arguments: object) -> int:
    return main(["import", str(file), "--into", str(file.with_name("m.json")), *map(str, arguments)])


def document(file: Path) -> Document:
    return msgspec.json.decode(file.with_name("m.json").read_bytes(), type=Document)


def rewrite(file: Path, **changes: object) -> None:
    """Change the first component as a person does."""
    there = document(file)
    first, *others = there.build.components
    build = replace(there.build, components=(replace(first, **changes), *others))
    file.with_name("m.json").write_bytes(msgspec.json.encode(replace(there, build=build)))


def categories(file: Path) -> list[str]:
    return [part.category for part in document(file).build.components]


def test_a_category_that_is_declared_later_reaches_the_line_that_is_there(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(file) == 0
    assert categories(file) == ["other", "other"]
    capsys.readouterr()
    assert run(file, "--category", "gas struts=fasteners") == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert categories(file) == ["fasteners", "other"]
    assert "Corrected in the document" in shown
    assert ": “gas struts 90 lb” " in shown
    assert "general schedule: 1" in shown
    assert "Updated" in shown
    assert run(file, "--category", "gas struts=stove") == 0  # and corrected once more
    assert categories(file) == ["stove", "other"]


def test_what_a_person_has_changed_stays_and_that_is_told(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(file) == 0
    rewrite(file, category="suspension")
    before = file.with_name("m.json").read_bytes()
    capsys.readouterr()
    assert run(file, "--category", "gas struts=fasteners") == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "Not changed, because the document has another value: 1" in shown
    assert "Updated" not in shown
    assert "is as it was." in shown
    assert file.with_name("m.json").read_bytes() == before


def test_a_rate_that_is_set_later_reaches_the_hours_that_are_there(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file.write_text(LOG)
    assert run(file) == 0
    assert "as market_rate" in capsys.readouterr().out
    assert run(file, "--set", "market_rate=95") == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert [str(entry.market_rate) for entry in document(file).build.labor] == ["95", "95"]
    assert "market_rate: – → 95: “framing”, “wiring”" in shown
    assert "as market_rate" not in shown  # it was said


def test_a_constant_of_a_name_does_not_make_a_row_another_one(file: Path) -> None:
    file.write_text(TABLE.replace("Store,", "").replace("Bits,", ""))
    assert run(file) == 0
    assert run(file, "--set", "supplier=Bits") == 0
    assert [part.supplier for part in document(file).build.components] == ["Bits", "Bits"]


def test_evidence_that_is_declared_later_counts(file: Path) -> None:
    assert run(file) == 0
    assert run(file, "--evidence", "written_quote") == 0
    assert [part.evidence_grade for part in document(file).build.components] == ["written_quote", "written_quote"]


def test_a_row_that_is_left_out_later_leaves_the_document(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # Tax of 6.90 on 49 and 20: 4.90 and 2.00. The gift card takes its share along when it goes.
    assert run(file) == 0
    assert [str(part.tax) for part in document(file).build.components] == ["4.90", "2.00"]
    assert run(file, "--leave-out", 3) == 0
    assert [(part.description, str(part.tax)) for part in document(file).build.components] == [
        ("gas struts 90 lb", "4.90")
    ]
    assert "Removed from the document" in capsys.readouterr().out


def test_a_row_that_is_left_out_stays_where_a_person_has_changed_it(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(file) == 0
    rewrite(file, note="in the garage")
    assert run(file, "--leave-out", 2) == 0
    assert len(document(file).build.components) == 2
    assert "delete the entries with these ids" in " ".join(capsys.readouterr().out.split())


def test_a_corrected_price_reaches_the_line_and_is_told(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(file) == 0
    (old, _) = document(file).build.components
    file.write_text(TABLE.replace("49.00", "59.00"))
    capsys.readouterr()
    assert run(file) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "unit_cost: 49 → 59: “gas struts 90 lb”" in shown
    # Tax of 6.90 on 59 and 20: 6.90 x 59 / 79 = 5.153; before, 4.90 of 49 and 2.00 of 20.
    assert "tax: 4.9 → 5.15: “gas struts 90 lb”" in shown
    assert "“gift card”: the document has other figures for it" in shown
    (new, _) = document(file).build.components
    assert (new.id, str(new.unit_cost), str(new.tax)) == (old.id, "59.00", "5.15")


SHOP = (
    "Date,Shop,Item,Ref,Total\n2026-02-14,Bits,gas struts,4411,49.00\n2026-02-14,Bits,lamp,4411,20.00\n"
    "2026-03-01,Bits,lamp,4412,-20.00\n"
)


def lines(file: Path) -> list[tuple[str, str]]:
    build = document(file).build
    return [(part.description, str(part.unit_cost * part.quantity)) for part in build.components]


@pytest.mark.parametrize("more", [(), ("--leave-out", 2)])
def test_a_corrected_column_updates_the_lines_that_are_there_and_doubles_none(
    file: Path, capsys: pytest.CaptureFixture[str], more: tuple[object, ...]
) -> None:
    # The header "Ref" is taken for something else at first, and is the receipt's number: the lines are the same ones.
    file.write_text(SHOP)
    assert run(file, "--map", "Ref=model_number", "--map", "Shop=supplier") == 0
    before = document(file).build.components
    rewrite(file, note="in the garage")
    capsys.readouterr()
    assert run(file, "--map", "Ref=receipt_number", "--map", "Shop=note", *more) == 0
    shown = " ".join(capsys.readouterr().out.split())
    after = document(file).build.components
    assert [part.id for part in after] == [part.id for part in before]
    assert [part.evidence_grade for part in after[1:]] == ["receipt", "receipt"]
    assert [part.note for part in after] == ["in the garage", "Bits", "Bits"]
    assert after[2].refund_of == before[1].id
    assert "Added: 0" in shown
    assert run(file) == 0  # without the options: what was kept knows the lines still
    assert "Added: 0" in capsys.readouterr().out
    assert document(file).build.components == after
    file.write_text(SHOP + "2026-03-02,Bits,sink,4413,35.00\n")
    assert run(file) == 0
    assert lines(file)[3:] == [("sink", "35.00")]


def test_a_corrected_order_of_dates_moves_the_lines_that_are_there(file: Path) -> None:
    file.write_text("Date,Item,Total\n03/04/2026,lamp,20.00\n05/06/2026,sink,35.00\n")
    assert run(file, "--date-order", "month-first") == 0
    assert run(file, "--date-order", "day-first") == 0
    assert [part.acquired_on.isoformat() for part in document(file).build.components] == ["2026-04-03", "2026-06-05"]


def test_a_corrected_column_of_hours_doubles_none(file: Path) -> None:
    file.write_text("Day,Job,Details,Hrs\n2026-03-04,framing,floor,2\n2026-03-05,wiring,lights,3\n")
    assert run(file, "--map", "Job=task") == 0
    before = document(file).build.labor
    assert run(file, "--map", "Details=task", "--map", "Job=") == 0
    after = document(file).build.labor
    assert [entry.task for entry in after] == ["floor", "lights"]
    assert [entry.id for entry in after] == [entry.id for entry in before]
    assert run(file) == 0
    assert document(file).build.labor == after


LEFT = (
    "Date,Item,Total\n2026-02-14,gas struts,49.00\n2026-02-15,lamp,20.00\n,whatever Feb,69.00\n"
    "2026-02-16,jigsaw,89.00\n"
)


def test_a_row_beside_an_undated_one_that_is_left_out_leaves_the_document(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file.write_text(LEFT)
    assert run(file, "--leave-out", 4) == 0
    assert len(lines(file)) == 3
    file.with_name("m.import.yaml").unlink()  # also where nothing is known of the run before
    assert run(file, "--leave-out", 4, "--leave-out", 5) == 0
    assert lines(file) == [("gas struts", "49.00"), ("lamp", "20.00")]
    assert "Removed from the document" in capsys.readouterr().out


def test_rows_that_were_left_out_stay_out_wherever_they_stand(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text(LEFT)
    assert run(file, "--leave-out", 4, "--leave-out", 5) == 0
    file.write_text(LEFT.replace("2026-02-14", "2026-01-02,sink,35.00\n2026-02-14"))
    assert run(file) == 0
    assert [name for name, _ in lines(file)] == ["gas struts", "lamp", "sink"]
    assert "jigsaw" in capsys.readouterr().out  # told as left out
    memory = file.with_name("m.import.yaml")
    text = memory.read_text()
    assert "2026-02-16 | jigsaw | 89.00" in text
    memory.write_text("\n".join(line for line in text.split("\n") if "jigsaw" not in line))
    assert run(file) == 0
    assert [name for name, _ in lines(file)] == ["gas struts", "lamp", "sink", "jigsaw"]


def test_what_a_refund_takes_back_is_asked_once(file: Path) -> None:
    # A lamp of 30 twice: which of them came back has to be said; the document knows it afterwards.
    file.write_text(
        "Date,Shop,Item,Ref,Qty,Price,Total\n2026-02-03,Bits,lamp,4411,2,30,60\n2026-02-14,Bits,LED lamp,4412,2,30,60\n"
        "2026-03-20,Bits,RETURN lamp,4411,1,-30,-30\n"
    )
    assert run(file, "--map", "Ref=model_number") == 1
    assert run(file, "--map", "Ref=model_number", "--refund", "4=3") == 0
    before = document(file).build.components
    assert before[2].refund_of == before[1].id
    assert run(file) == 0
    assert document(file).build.components == before
    assert run(file, "--map", "Ref=receipt_number", "--map", "Shop=note") == 0
    after = document(file).build.components
    assert [(part.id, part.refund_of) for part in after] == [(part.id, part.refund_of) for part in before]
    assert [part.evidence_grade for part in after] == ["receipt"] * 3
    assert run(file) == 0
    assert document(file).build.components == after
    assert run(file, "--refund", "4=2") == 0  # and corrected
    assert document(file).build.components[2].refund_of == before[0].id


LORRY = (
    "Date,Store,Item,Total,Receipt #\n2026-02-14,Bits,Stove,300.00,4411\n2026-02-14,Bits,Sink,100.00,4411\n"
    "2026-02-14,Bits,Lorry to the yard,50.01,4411\n2026-03-02,Yard,Plywood,62.00,90\n"
)


def freight(file: Path) -> dict[str, str]:
    return {part.description: f"{part.freight:.2f}" for part in document(file).build.components}


def test_a_row_that_is_freight_is_split_over_its_receipt_and_stays_so(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """50.01 over 300 and 100: 37.5075 and 12.5025; the cent that is left goes to the larger remainder."""
    file.write_text(LORRY)
    assert run(file) == 0
    assert list(freight(file)) == ["Stove", "Sink", "Lorry to the yard", "Plywood"]
    assert run(file, "--freight", 4) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "4: split over its receipt" in shown
    assert "or are freight - “Lorry to the yard”" in shown
    assert freight(file) == {"Stove": "37.51", "Sink": "12.50", "Plywood": "0.00"}
    file.write_text(LORRY.replace("2026-02-14,Bits,Stove", "2026-02-13,Bits,Awning,10.00,9\n2026-02-14,Bits,Stove"))
    assert run(file) == 0  # it is row 5 now, and known by what stands in it
    assert freight(file)["Stove"] == "37.51"
    assert "Lorry to the yard" not in freight(file)


def test_what_is_declared_of_a_row_last_counts(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text(LORRY)
    assert run(file, "--freight", 4) == 0
    assert run(file, "--leave-out", 4) == 0
    assert set(freight(file).values()) == {"0.00"}
    assert run(file) == 0
    assert set(freight(file).values()) == {"0.00"}
    assert run(file, "--freight", 4) == 0
    assert freight(file)["Stove"] == "37.51"
    assert run(file) == 0
    assert freight(file)["Stove"] == "37.51"
    capsys.readouterr()
    assert run(file, "--freight", 4, "--freight", 77) == 1
    assert "There is no such row (expected the number of a row from 2 to 5, as in the file; found 77)" in (
        capsys.readouterr().err
    )


def test_freight_without_an_amount_or_among_hours_is_a_fault(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text(LORRY.replace("2026-02-14,Bits,Lorry to the yard,50.01", ",Bits,Lorry to the yard,"))
    assert run(file, "--freight", 4) == 1
    assert "D4: No amount stands here" in capsys.readouterr().err
    file.write_text(LOG)
    assert run(file, "--freight", 2) == 1
    assert "Hours have no freight" in capsys.readouterr().err


def test_freight_that_looks_like_a_total_of_what_is_above_is_freight(file: Path) -> None:
    file.write_text("Date,Store,Item,Total\n2026-02-14,Bits,Stove,300.00\n,Bits,Total to the door,300.00\n")
    assert run(file, "--freight", 3, "--fill-down", "acquired_on") == 0
    assert freight(file) == {"Stove": "300.00"}


def test_a_field_may_be_named_in_the_words_of_a_header(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text("Date,Item,Ref / notes,Total\n2026-02-14,frame,4411,640\n")
    assert run(file, "--map", "Ref / notes=receipt", "--set", "shop=Bits", "--fill-down", "vendor") == 0
    (part,) = document(file).build.components
    assert (part.supplier, part.evidence_grade) == ("Bits", "receipt")
    kept = file.with_name("m.import.yaml").read_text()
    assert "Ref / notes: receipt_number" in kept
    assert "supplier: Bits" in kept
    assert "- supplier" in kept
    assert run(file, "--set", "shop=Pieces") == 0  # and it is the same field when it is corrected
    assert document(file).build.components[0].supplier == "Pieces"
    capsys.readouterr()
    assert run(file, "--map", "Date=date") == 0  # it is a table of purchases, as is known by now
    file.with_name("m.import.yaml").unlink()
    assert run(file, "--map", "Date=date") == 1  # of purchases or of work
    assert "There is no such field (expected acquired_on or performed_on; found date)" in capsys.readouterr().err
    assert run(file, "--as", "components", "--map", "Date=date") == 0


def test_a_refund_that_is_declared_for_another_row_is_a_fault(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(file, "--refund", "99=2") == 1
    assert "No refund stands in this row (expected the number of a row with a refund; found 99)" in (
        capsys.readouterr().err
    )


@pytest.mark.parametrize(
    ("locale", "lines"),
    [
        (
            "de-DE",
            (
                "C2: Hier steht nichts (erwartet: was gekauft wurde; gefunden: eine leere Zelle)\n",
                "D3: Kein Wert dieser Spalte (erwartet: eine Zahl; gefunden: x); dasselbe in 1 weiteren Zeile: 4\n",
                "\n3 Fehler\n",
            ),
        ),
        ("en-US", ("C2: Nothing stands here (expected what was bought;", "the same in 1 more row: 4", "\n3 faults\n")),
        ("fr-CA", ("C2: Il n’y a rien ici", "de même dans 1 autre ligne : 4", "\n3 erreurs\n")),
        ("es-US", ("C2: Aquí no hay nada", "lo mismo en 1 fila más: 4", "\n3 errores\n")),
    ],
)
def test_faults_of_a_table_are_told_in_the_language_of_the_document(
    locale: str, lines: tuple[str, ...], file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    paid = ("x", "y", "5.00", "6.00", "7.00", "8.00", "9.00")
    rows = "".join(f"2026-02-14,Bits,Stove,{each},1\n" for each in paid)
    file.write_text(f"Date,Store,Item,Total,Receipt #\n2026-02-14,Bits,,5.00,1\n{rows}")
    assert run(file, "--locale", locale) == 1
    told = capsys.readouterr().err
    assert all(line in told for line in lines), told


def test_what_was_done_is_told_in_the_language_of_the_document(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def said(*arguments: object) -> str:
        assert run(file, *arguments, "--locale", "de-DE") == 0
        return " ".join(capsys.readouterr().out.split())

    name = file.with_name("m.json")
    assert "Nichts wurde geschrieben (--dry-run)." in said("--dry-run")
    assert f"{name} angelegt. Weiter mit: hitchworth sheet {name} -o sheet.pdf" in said()
    assert f"{name} ist, wie es war." in said()
    file.write_text(TABLE + "2026-02-15,Bits,Lamp,20.00,4412\n")
    assert f"{name} ergänzt." in said()
    file.write_text("Date,Item,Total\n03/04/2025,Stove,1.00\n")
    assert run(file) == 1
    assert (
        "Ergänzen Sie den Befehl um: --date-order day-first oder --date-order month-first\n" in capsys.readouterr().err
    )


def test_what_a_person_corrected_in_the_same_way_is_no_contradiction(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(file) == 0
    rewrite(file, category="fasteners")
    capsys.readouterr()
    assert run(file, "--category", "gas struts=fasteners") == 0
    shown = capsys.readouterr().out
    assert "Corrected" not in shown
    assert "Not changed" not in shown
