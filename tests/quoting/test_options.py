"""Options: alternatives priced by their entries or by a price, one at a time and in every combination."""

from typing import Any

import pytest

from hitchworth.model.pricing import Alternative, Contingency, Discount, OptionGroup
from hitchworth.quoting.priced_quote import QuoteFaultsError
from quotes import D, part, quoted, rates, work


def group(name: str, *alternatives: Alternative, **more: Any) -> OptionGroup:
    return OptionGroup(name=name, alternatives=alternatives, **more)


HEATER = (Alternative(name="diesel", entries=("burner", "fit")), Alternative(name="electric", price=D(310)))
ROOF = (Alternative(name="fixed", price=D(0)), Alternative(name="pop-up", price=D(900)))
ENTRIES = (part("hull", 1000), part("burner", 600), work("fit", 2, 50))


def test_only_the_chosen_alternative_is_in_the_total() -> None:
    found = quoted(*ENTRIES, option_groups=(group("heater", *HEATER, chosen="diesel"),), markup=rates("0.1"))
    assert [(line.id, line.option) for line in found.lines] == [("hull", ""), ("burner", "heater"), ("fit", "heater")]
    # 1,100 for the hull; with diesel 1.1 x (600 + 100) more; with electric 310, which has everything in it.
    assert [(each.name, each.chosen, str(each.total), str(each.difference)) for each in found.alternatives] == [
        ("", False, "1100.00", "-770.00"),
        ("diesel", True, "1870.00", "0.00"),
        ("electric", False, "1410.00", "-460.00"),
    ]


def test_a_price_is_a_line_of_its_own() -> None:
    found = quoted(*ENTRIES, option_groups=(group("heater", *HEATER, chosen="electric"),), markup=rates("0.1"))
    line = found.lines[-1]
    assert (line.id, line.kind, line.category, str(line.price)) == (
        "heater: electric",
        "alternative",
        "option",
        "310.00",
    )
    assert (line.includes, line.option, line.cost, line.taxed_as) == (
        "overhead_and_profit",
        "heater",
        None,
        "materials",
    )


def test_every_combination_has_its_total() -> None:
    found = quoted(
        *ENTRIES, option_groups=(group("heater", *HEATER), group("roof", *ROOF, required=True, chosen="fixed"))
    )
    assert {each.chosen: str(each.total) for each in found.combinations} == {
        ("", "fixed"): "1000.00",
        ("", "pop-up"): "1900.00",
        ("diesel", "fixed"): "1700.00",
        ("diesel", "pop-up"): "2600.00",
        ("electric", "fixed"): "1310.00",
        ("electric", "pop-up"): "2210.00",
    }
    assert [each.name for each in found.alternatives] == ["", "diesel", "electric", "fixed", "pop-up"]
    assert str(found.totals.total) == "1000.00"


def test_what_must_be_chosen_and_is_not_is_asked() -> None:
    groups = (group("roof", *ROOF, required=True), group("heater", *HEATER))
    found = quoted(*ENTRIES, option_groups=groups)
    assert [(question.code, question.about) for question in found.questions] == [("option", "roof")]
    assert quoted(*ENTRIES, option_groups=(group("roof", *ROOF, required=True, chosen="fixed"),)).questions == ()


def test_without_options_there_are_no_combinations() -> None:
    found = quoted(*ENTRIES)
    assert (found.alternatives, found.combinations) == ((), ())


def test_an_alternative_may_have_entries_and_a_price() -> None:
    both = Alternative(name="diesel", entries=("burner",), price=D(40))
    found = quoted(*ENTRIES, option_groups=(group("heater", both, chosen="diesel"),))
    assert str(found.totals.total) == "1740.00"


def test_a_discount_of_more_than_the_price_is_refused() -> None:
    with pytest.raises(QuoteFaultsError) as error:
        quoted(part("a", 100), discount=Discount(reason="friend", amount=D("100.01")))
    (fault,) = error.value.faults
    assert (fault.pointer, fault.expected, fault.found) == ("/pricing/discount/amount", "at most 100.00", "100.01")
    assert quoted(part("a", 100), discount=Discount(reason="friend", amount=D(100))).totals.total == 0


def test_a_discount_is_split_over_the_lines_by_price() -> None:
    found = quoted(part("a", 100), part("b", 300), discount=Discount(reason="friend", rate=D("0.05")))
    assert [str(line.discount) for line in found.lines] == ["5.00", "15.00"]
    assert (str(found.totals.before_tax), str(found.totals.total)) == ("380.00", "380.00")


def test_a_discount_and_a_contingency_of_nothing_are_nothing() -> None:
    found = quoted(part("a", 100), discount=Discount(reason="x", rate=D(0)), contingency=Contingency(rate=D(0)))
    assert (found.totals.discount, found.totals.contingency, found.totals.total) == (D(0), D(0), D(100))
