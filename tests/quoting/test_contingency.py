"""The contingency: a line of its own, drawn down by named events, warned of when little is left."""

from datetime import date

import pytest

from hitchworth.model.pricing import Contingency, ContingencyDraw, ContingencyMinimum, Discount
from hitchworth.quoting.priced_quote import QuoteFaultsError
from quotes import D, part, quoted, rates


def draw(event: str, amount: int, work_done: str | None = None) -> ContingencyDraw:
    done = None if work_done is None else D(work_done)
    return ContingencyDraw(event=event, amount=D(amount), drawn_on=date(2026, 7, 1), work_done=done)


MINIMUMS = (
    ContingencyMinimum(work_done=D("0.75"), rate=D("0.03")),
    ContingencyMinimum(work_done=D("0.5"), rate=D("0.05")),
)


def codes(found: object) -> list[tuple[str, str]]:
    return [(note.code, note.about) for note in found.notes if note.code.startswith("contingency")]  # type: ignore[attr-defined]


def test_it_is_a_share_of_the_price_or_an_amount_and_not_discounted() -> None:
    discount = Discount(reason="friend", rate=D("0.5"))
    rate = quoted(part("a", 1000), markup=rates("0.1"), contingency=Contingency(rate=D("0.1")), discount=discount)
    assert (str(rate.totals.price), str(rate.totals.discount), str(rate.totals.contingency)) == (
        "1100.00",
        "550.00",
        "110.00",
    )
    assert str(rate.totals.total) == "660.00"
    amount = quoted(part("a", 1000), contingency=Contingency(amount=D(75)))
    assert (str(amount.totals.contingency), amount.contingency and amount.contingency.rate) == ("75.00", None)
    assert sum(line.price for line in amount.lines) == amount.totals.price == 1000


def test_each_draw_leaves_less_and_is_compared_with_the_minimum_of_its_stage() -> None:
    # 10 % of 10,000. At half done 500 are to be left, from three quarters on 300.
    kept = Contingency(
        rate=D("0.1"),
        minimums=MINIMUMS,
        draws=(draw("rot", 200, "0.49"), draw("frame", 300, "0.5"), draw("axle", 201, "0.75"), draw("bolts", 1)),
    )
    found = quoted(part("a", 10_000), contingency=kept)
    assert found.contingency is not None
    assert [(str(each.remaining), str(each.minimum), each.below_minimum) for each in found.contingency.draws] == [
        ("800.00", "None", False),
        ("500.00", "500.00", False),
        ("299.00", "300.00", True),
        ("298.00", "None", False),
    ]
    assert (str(found.contingency.drawn), str(found.contingency.remaining)) == ("702.00", "298.00")
    assert codes(found) == [("contingency_below_minimum", "axle"), ("contingency_progress_not_known", "bolts")]
    note = next(note for note in found.notes if note.about == "axle")
    assert note.parameters == {"remaining": "299.00", "minimum": "300.00"}


@pytest.mark.parametrize(("rate", "noted"), [("0.04", True), ("0.05", False)])
def test_a_start_below_the_minimum_is_noted(rate: str, noted: bool) -> None:
    minimums = (ContingencyMinimum(work_done=D(0), rate=D("0.05")),)
    found = quoted(part("a", 1000), contingency=Contingency(rate=D(rate), minimums=minimums))
    assert codes(found) == ([("contingency_small", "")] if noted else [])


def test_without_minimums_progress_does_not_matter() -> None:
    assert codes(quoted(part("a", 100), contingency=Contingency(amount=D(10), draws=(draw("rot", 5),)))) == []


def test_each_draw_beyond_what_is_left_is_a_fault() -> None:
    kept = Contingency(rate=D("0.1"), draws=(draw("rot", 60), draw("frame", 41), draw("axle", 1)))
    with pytest.raises(QuoteFaultsError) as error:
        quoted(part("a", 1000), contingency=kept)
    assert [(fault.pointer, fault.expected.partition(";")[0], fault.found) for fault in error.value.faults] == [
        ("/pricing/contingency/draws/1/amount", "at most 40.00", "41"),
        ("/pricing/contingency/draws/2/amount", "at most 0.00", "1"),
    ]
    exact = Contingency(rate=D("0.1"), draws=(draw("rot", 60), draw("frame", 40)))
    found = quoted(part("a", 1000), contingency=exact).contingency
    assert found is not None
    assert found.remaining == 0


@pytest.mark.parametrize(("returned", "asked"), [(None, ["unused_contingency"]), (True, []), (False, [])])
def test_whether_the_rest_goes_back_is_agreed_or_asked(returned: bool | None, asked: list[str]) -> None:
    found = quoted(part("a", 100), contingency=Contingency(amount=D(10), unused_returned=returned))
    assert [question.code for question in found.questions] == asked
    assert found.contingency is not None
    assert found.contingency.unused_returned is returned
    assert [str(question.base) for question in found.questions] == (["10.00"] if asked else [])
