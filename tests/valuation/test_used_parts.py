"""Parts that were bought used: wear before the purchase is taken once."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from hitchworth.model.entry import Component
from hitchworth.model.options import DayCount, Options
from hitchworth.model.schedule import Schedule
from valuation_parts import codes, part, valued, work

TEN_YEARS = Schedule(method="straight_line", life_years=Decimal(10))
YEARS = Options(day_count="complete_years")


def used(**terms: Any) -> Component:
    """A part of a ten-year life, in service since 2017, bought for 80 in 2024."""
    given: dict[str, Any] = {
        "acquired_on": date(2024, 6, 15),
        "in_service_on": date(2017, 6, 15),
        "schedule": TEN_YEARS,
    }
    return part("used", "80", **(given | terms))


def figures(component: Component, as_of: str, day_count: DayCount = "complete_years") -> tuple[str, str, list[str]]:
    """Its replacement cost, its actual cash value and the codes of the notes."""
    found = valued(component, as_of=date.fromisoformat(as_of), options=Options(day_count=day_count))
    return str(found.totals.replacement_cost), str(found.totals.actual_cash_value), codes(found)


NO_PRICE, NO_AGE = ["used_part_without_price_new"], ["used_part_without_age"]


# Of ten years 7 are gone at the purchase and 3 are left: the 80 falls by a third of it a year. By the rule of Utah
# Admin. Code R884-24P-33 (cost new = price paid / percent good) the price new is 80 / 0.3 = 266.67, and x 0.2 53.33,
# the same. Counted twice it was 80 x 0.2 = 16 after a year.
@pytest.mark.parametrize(
    ("as_of", "value"),
    [("2024-06-15", "80.00"), ("2025-06-15", "53.33"), ("2026-06-15", "26.67"), ("2027-06-15", "0.00")],
)
def test_the_price_paid_is_what_it_was_worth(as_of: str, value: str) -> None:
    assert figures(used(), as_of) == ("80.00", value, NO_PRICE)


# Utah Admin. Code R884-24P-33 as carried over: 80 at 40 percent good is 200 new, and its depreciated value stays 80.
def test_the_cost_new_by_the_price_paid_gives_the_same_value() -> None:
    six_years_old: dict[str, Any] = {"acquired_on": date(2023, 6, 15), "in_service_on": date(2017, 6, 15)}
    assert figures(used(**six_years_old), "2023-06-15")[1] == "80.00"
    new = used(**six_years_old, replacement_unit_cost=Decimal(200), quoted_on=date(2023, 6, 15))
    assert figures(new, "2023-06-15") == ("200.00", "80.00", [])
    assert figures(used(**six_years_old), "2025-06-15")[1] == figures(new, "2025-06-15")[1] == "40.00"


def test_with_a_price_new_and_an_age_it_depreciates_like_any_other_part() -> None:
    new: dict[str, Any] = {"replacement_unit_cost": Decimal(250), "quoted_on": date(2025, 6, 1)}
    assert figures(used(**new), "2025-06-15") == ("250.00", "50.00", [])
    judged = used(**new, bought_used=True, in_service_on=None, effective_age_years=Decimal(4))
    assert figures(judged, "2025-06-15") == ("250.00", "150.00", [])


# Bought for 80 of 200 new: 40 percent were left, whatever its age; a year on, 0.4 x 0.9 of 200 = 72. More than the
# price new is no more than good as new: 80 of 50 counts as 1.
@pytest.mark.parametrize(("new", "value"), [("200", "72.00"), ("50", "45.00"), ("0", "0.00")])
def test_with_a_price_new_and_no_age_the_share_that_was_paid_was_left(new: str, value: str) -> None:
    of_unknown_age = used(
        bought_used=True,
        in_service_on=None,
        replacement_unit_cost=Decimal(new),
        quoted_on=date(2025, 6, 1),
    )
    assert figures(of_unknown_age, "2025-06-15") == (f"{new}.00", value, NO_AGE)


def test_a_price_new_of_a_later_day_is_not_known_yet() -> None:
    later = used(replacement_unit_cost=Decimal(250), quoted_on=date(2025, 7, 1))
    assert figures(later, "2025-06-15") == ("80.00", "53.33", ["quote_not_yet_known", *NO_PRICE])
    assert figures(later, "2025-07-01") == ("250.00", "50.00", [])


def test_without_an_age_the_price_paid_wears_like_a_new_part() -> None:
    assert figures(used(bought_used=True, in_service_on=None), "2025-06-15") == ("80.00", "72.00", NO_PRICE)


def test_a_remaining_life_of_a_used_part_counts_from_its_purchase_too() -> None:
    """Eight years old with 3 of 11 left, 4 of 11 at the purchase: 80 x 3 / 4 = 60. New at 220: 220 x 3 / 11 = 60."""
    judged = used(remaining_life_years=Decimal(3))
    new: dict[str, Any] = {"replacement_unit_cost": Decimal(220), "quoted_on": date(2025, 6, 15)}
    assert figures(judged, "2025-06-15") == ("80.00", "60.00", NO_PRICE)
    assert figures(replace(judged, **new), "2025-06-15") == ("220.00", "60.00", [])
    options = Options(day_count="complete_years", workings=True)
    (line,) = valued(judged, as_of=date(2025, 6, 15), options=options).lines
    (good,) = (working for working in line.workings if working.figure == "percent_good")
    assert (good.rule, good.formula) == ("good_since_bought_used", "(1 - (1 - 0) x 8 / 11) / 0.363636363636 = 0.75")


def test_what_was_first_put_to_use_before_it_was_bought_is_used_unless_said_otherwise() -> None:
    assert figures(used(bought_used=False), "2025-06-15") == ("80.00", "16.00", [])
    assert figures(used(in_service_on=date(2024, 6, 15)), "2025-06-15") == ("80.00", "72.00", [])
    assert figures(used(in_service_on=None), "2025-06-15") == ("80.00", "72.00", [])


# An effective age of 5 years, judged on the purchase, a year before it (6 then), a year after it (4 then), or any day.
# A year after the purchase it is 6, 7, 5 and 5 years: 4/5, 3/4, 5/6 and all of what was left.
@pytest.mark.parametrize(
    ("judged_on", "value"),
    [("2024-06-15", "64.00"), ("2023-06-15", "60.00"), ("2025-06-15", "66.67"), (None, "80.00")],
)
def test_an_effective_age_counts_at_the_purchase_too(judged_on: str | None, value: str) -> None:
    judged = used(
        effective_age_years=Decimal(5), effective_age_on=None if judged_on is None else date.fromisoformat(judged_on)
    )
    assert figures(judged, "2025-06-15")[1] == value


def test_an_effective_age_is_not_taken_back_beyond_new() -> None:
    """Half a year when judged, a year after the purchase: new at the purchase, so 80 x 0.95."""
    judged = used(effective_age_years=Decimal("0.5"), effective_age_on=date(2025, 6, 15))
    assert figures(judged, "2025-06-15")[1] == "76.00"


def test_the_observed_condition_counts_besides() -> None:
    assert figures(used(condition=Decimal("0.5")), "2025-06-15")[1] == "26.67"


def test_what_is_worn_out_by_its_schedule_keeps_the_price_that_was_paid() -> None:
    old = used(in_service_on=date(2004, 1, 1))
    assert figures(old, "2025-06-15") == ("80.00", "80.00", NO_PRICE)
    assert figures(used(in_service_on=date(2004, 1, 1), condition=Decimal("0.5")), "2025-06-15")[1] == "40.00"


def test_at_its_residual_it_falls_no_further() -> None:
    low = Schedule(method="straight_line", life_years=Decimal(5), residual=Decimal("0.2"))
    assert figures(used(schedule=low), "2026-06-15")[1] == "80.00"


def test_a_convention_counts_on_both_days() -> None:
    """Full years: 7 begun at the purchase (exactly 7), 8 in the year after: 0.2 / 0.3 of 80."""
    full = Schedule(method="straight_line", life_years=Decimal(10), convention="full_year")
    assert figures(used(schedule=full), "2024-12-15", "complete_months")[1] == "53.33"


def test_labor_that_serves_a_used_part_wears_with_it() -> None:
    with_part = Options(day_count="complete_years", labor_depreciation="with_component")
    fitting = work(hours="10", rate="30", component_id="used", performed_on=date(2024, 6, 20))
    found = valued(used(), fitting, as_of=date(2025, 6, 15), options=with_part)
    assert [str(line.percent_good) for line in found.lines] == ["0.666667", "0.666667"]
    # Done before the part was bought: nothing of it has worn.
    early = work(hours="10", rate="30", component_id="used", performed_on=date(2023, 6, 20))
    (line,) = valued(used(), early, as_of=date(2023, 12, 15), options=with_part).lines
    assert str(line.percent_good) == "1.000000"


def test_the_workings_say_how_it_wears() -> None:
    shown = Options(day_count="complete_years", workings=True)

    def good(component: Component) -> tuple[str, str]:
        (line,) = valued(component, as_of=date(2025, 6, 15), options=shown).lines
        (found,) = [(working.rule, working.formula) for working in line.workings if working.figure == "percent_good"]
        return found

    assert good(used()) == ("good_since_bought_used", "(1 - (1 - 0) x 8 / 10) / 0.3 = 0.666666666667")
    new: dict[str, Any] = {"bought_used": True, "in_service_on": None, "replacement_unit_cost": Decimal(200)}
    assert good(used(**new)) == ("good_by_price_paid", "(1 - (1 - 0) x 1 / 10) x 0.4 = 0.36")
    assert good(used(**new, condition=Decimal("0.5")))[1] == "((1 - (1 - 0) x 1 / 10) x 0.4) x 0.5 = 0.18"
    assert good(used(in_service_on=date(2004, 1, 1))) == ("good_since_bought_used", "1 = 1")
