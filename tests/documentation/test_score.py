"""The documentation score: shares and records worked by hand. Nothing is depreciated, so amounts are those paid."""

from datetime import date
from decimal import Decimal
from typing import Any

from hitchworth.documentation.score import RECORDS_TO_FIND, documentation_score
from hitchworth.model.build import Build, Component, Labor
from hitchworth.model.documentation import DocumentationScore
from hitchworth.model.evidence import Evidence
from hitchworth.model.options import Options
from hitchworth.valuation.estimate import estimate

DAY = date(2026, 6, 1)


def part(name: str, cost: int, category: str = "plywood", **fields: Any) -> Component:
    given = {"quantity": Decimal(1), "unit_cost": Decimal(cost), "acquired_on": date(2026, 1, 1)}
    return Component(id=name, description=f"The {name}", category=category, **(given | fields))


def work(name: str, cost: int, **fields: Any) -> Labor:
    hours = {"hours": Decimal(1), "rate": Decimal(cost), "performed_on": date(2026, 1, 1)}
    return Labor(id=name, task=f"The {name}", **hours, **fields)


def file(name: str, kind: Any, *subjects: str) -> Evidence:
    return Evidence(id=name, sha256=name[0] * 64, media_type="image/jpeg", size=1, kind=kind, subjects=subjects)


def scored(*entries: Component | Labor, evidence: tuple[Evidence, ...] = ()) -> DocumentationScore:
    components = tuple(each for each in entries if isinstance(each, Component))
    labor = tuple(each for each in entries if isinstance(each, Labor))
    build = Build(name="Camper", currency="USD", components=components, labor=labor)
    return documentation_score(build, evidence, estimate(build, DAY, Options()))


def shares(score: DocumentationScore) -> list[tuple[str, str, str, int]]:
    return [(each.record, str(each.replacement_cost), str(each.share), each.parts) for each in score.shares]


def records(score: DocumentationScore) -> list[tuple[str, str, tuple[str, ...]]]:
    return [(each.line, each.record, each.on_record) for each in score.records]


def test_the_shares_are_of_the_replacement_cost_of_the_parts() -> None:
    """Of 600: receipts for 100 as stated and for 200 as kept, a photo of 300, numbers on 200 and 300. Labor is out."""
    score = scored(
        part("a", 100, evidence_grade="receipt"),
        part("b", 200, serial_number="1"),
        part("c", 300, serial_number="2", evidence_grade="written_quote"),
        work("d", 1000),
        evidence=(file("1", "receipt", "b"), file("2", "photo", "number:c")),
    )
    assert (score.as_of, score.currency, score.replacement_cost, score.parts) == (DAY, "USD", 600, 3)
    assert shares(score) == [
        ("receipt", "300.00", "0.5000", 2),
        ("photo", "300.00", "0.5000", 1),
        ("serial_number", "500.00", "0.8333", 2),
    ]


def test_a_share_is_rounded_half_up_to_four_places() -> None:
    """1 of 32 is 0.03125."""
    assert shares(scored(part("a", 1, evidence_grade="receipt"), part("b", 31)))[0][2] == "0.0313"


def test_parts_that_cost_nothing_have_no_share_and_nothing_to_find() -> None:
    score = scored(part("a", 0))
    assert [each.share for each in score.shares] == [None, None, None]
    assert (score.records, score.missing, score.parts) == ((), 0, 1)
    assert scored().shares[0].share is None


def test_records_are_those_of_the_costliest_lines_first_receipts_before_photos_before_numbers() -> None:
    score = scored(part("cheap", 100), part("panel", 300, "solar"), part("wood", 200))
    assert records(score) == [
        ("panel", "receipt", ()),
        ("panel", "photo", ()),
        ("panel", "serial_number", ()),
        ("wood", "receipt", ()),
        ("wood", "photo", ()),
        ("cheap", "receipt", ()),
        ("cheap", "photo", ()),
    ]
    first = score.records[0]
    assert (first.kind, first.description, first.replacement_cost) == ("component", "The panel", 300)
    assert score.missing == 7


def test_a_photo_is_asked_for_where_nothing_shows_that_the_thing_was_there() -> None:
    score = scored(
        part("bought", 500, evidence_grade="receipt"),
        part("numbered", 400, serial_number="1"),
        part("seen", 300),
        part("panel", 200, "solar", evidence_grade="receipt"),
        evidence=(file("1", "photo", "seen"),),
    )
    assert records(score) == [
        ("numbered", "receipt", ("serial_number",)),
        ("seen", "receipt", ("photo",)),
        ("panel", "serial_number", ("receipt",)),
    ]


def test_of_labor_only_the_invoice_of_hired_work_is_asked_for() -> None:
    score = scored(
        work("own", 900, hired=False),
        work("unsaid", 800),
        work("hired", 700, hired=True),
        work("invoiced", 600, hired=True, evidence_grade="receipt"),
        work("kept", 500, hired=True),
        evidence=(file("1", "receipt", "kept"),),
    )
    assert records(score) == [("hired", "receipt", ())]
    assert (score.records[0].kind, score.records[0].description) == ("labor", "The hired")


def test_ten_records_are_named_and_all_are_counted() -> None:
    """Of 8 parts, receipt and photo are missing: 16."""
    score = scored(*(part(f"p{number}", number) for number in range(1, 9)))
    assert (len(score.records), score.missing, RECORDS_TO_FIND) == (10, 16, 10)
    assert score.records[-1].line == "p4"


def test_files_of_these_lines_whose_kind_nobody_stated_are_counted() -> None:
    """Those of a part, of its number and of work; not those of the whole, nor of a part that is not in the trailer."""
    score = scored(
        part("a", 100),
        part("later", 100, acquired_on=date(2026, 7, 1)),
        work("w", 1),
        evidence=(
            file("1", None, "a"),
            file("2", None, "number:a"),
            file("3", None, "w", "a"),
            file("4", None, "trailer"),
            file("5", None, "later"),
            file("6", "other", "a"),
            file("7", None),
        ),
    )
    assert score.kind_not_stated == 3
    assert score.shares[1].parts == 0
