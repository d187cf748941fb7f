"""The statutory tables of percent good, year by year as printed, and a worked example of each."""

from decimal import Decimal
from fractions import Fraction

import pytest

from hitchworth.money import Money
from hitchworth.reference.schedules import schedule_named
from hitchworth.valuation.percent_good import percent_good

PRINTED = {
    # California Revenue and Taxation Code section 10753.3(a), trailer coach moved under permit, year 1 to 18 and over
    "california_trailer_coach": "85 70 55 45 40 35 30 25 24 23 22 21 20 19 18 17 16 15 15",
    # California Revenue and Taxation Code section 10753.2(c), other vehicles; year 10 and later (from memory)
    "california_vehicle": "100 90 80 70 60 50 40 30 25 20 15 15",
    # Revised Code of Washington 82.50.425, travel trailers and campers, year of service 1 to 16 or older
    "washington_travel_trailer": "100 90 84 79 73 65 60 55 50 45 41 37 33 28 24 20 20",
    # Revised Code of Washington 82.44.035(1), trucks and trailers, year of service 1 to 16 or older
    "washington_trailer": "100 81 67 55 45 37 30 25 20 16 13 11 9 7 3 0 0",
    # Nevada Revised Statutes 371.060(1): new, then 1 to 9 years and over
    "nevada_vehicle": "100 95 85 75 65 55 45 35 25 15 15",
    # Nevada Revised Statutes 374.113(1), until 2005: new, then 1 to 11 years
    "nevada_vehicle_sale": "100 85 75 65 60 55 50 45 40 35 30 25",
    # Mississippi State Tax Commission, depreciation schedules of commercial facilities, columns of 3 to 11 years
    "mississippi_assessor_3": "100 74 46 20 20",
    "mississippi_assessor_6": "100 87 73 57 41 30 20 20",
    "mississippi_assessor_9": "100 91 82 72 61 51 41 33 26 20 20",
    "mississippi_assessor_10": "100 92 84 76 67 58 49 39 30 24 20 20",
    "mississippi_assessor_11": "100 93 86 78 70 62 54 45 37 30 25 20 20",
    # General Laws of Massachusetts chapter 60A section 1: year of manufacture, second to fifth and succeeding years
    "massachusetts_trailer": "90 60 40 25 10 10",
}


@pytest.mark.parametrize(("name", "column"), PRINTED.items())
def test_every_year_of_the_table(name: str, column: str) -> None:
    record = schedule_named(name)
    assert record is not None
    for year, percent in enumerate(column.split()):
        for within in (Fraction(0), Fraction(364, 365)):
            assert percent_good(record.schedule, year + within) == Fraction(int(percent), 100)


# California, section 10753.2: a cost price of 6,200 falls into the class of 6,200 to 6,399.99, midpoint 6,299.995
@pytest.mark.parametrize(
    ("year", "value"), [(1, "5355.00"), (3, "3465.00"), (5, "2520.00"), (8, "1575.00"), (18, "945.00")]
)
def test_a_trailer_coach_of_six_thousand(year: int, value: str) -> None:
    record = schedule_named("california_trailer_coach")
    assert record is not None
    midpoint, share = Fraction("6299.995"), percent_good(record.schedule, Fraction(year - 1))
    money, exact = Money("USD"), midpoint * share
    assert str(money.from_minor_units(money.to_minor_units(Decimal(exact.numerator) / exact.denominator))) == value


# Nevada Administrative Code 361.1375: lives of 3 to 30 years, declining balance, a residual of 5 percent. Computed from
# the rule: 0.05 to the power of age / life, in percent, to one decimal
@pytest.mark.parametrize(
    ("life", "column"), [(5, "54.9 30.2 16.6 9.1 5.0 5.0"), (10, "74.1 54.9 40.7 30.2 22.4 16.6 12.3 9.1 6.7 5.0 5.0")]
)
def test_declining_balance_to_five_percent(life: int, column: str) -> None:
    record = schedule_named(f"nevada_assessor_{life}")
    assert record is not None
    found = [percent_good(record.schedule, Fraction(year)) for year in range(1, len(column.split()) + 1)]
    assert [f"{float(100 * share):.1f}" for share in found] == column.split()


@pytest.mark.parametrize("life", [3, 5, 7, 10, 15, 20, 30])
def test_five_percent_are_left_at_the_end_of_each_life(life: int) -> None:
    record = schedule_named(f"nevada_assessor_{life}")
    assert record is not None
    assert percent_good(record.schedule, Fraction(life - 1)) > Fraction(5, 100)
    assert round(float(percent_good(record.schedule, Fraction(life))), 6) == 0.05


# Tennessee Comp. R. & Regs. 0600-05-.06: cost less straight line, or 20 percent of cost, whichever is greater
@pytest.mark.parametrize("life", [5, 10])
def test_straight_line_but_no_less_than_twenty_percent(life: int) -> None:
    record = schedule_named(f"tennessee_assessor_{life}")
    assert record is not None
    for year in range(life + 3):
        assert percent_good(record.schedule, Fraction(year)) == max(1 - Fraction(year, life), Fraction(1, 5))


# Published yearly percentages: US military Allowance List-Depreciation Guide, National Joint Council of Canada,
# Australian Taxation Office
@pytest.mark.parametrize(
    ("name", "years", "percent"),
    [
        ("air_conditioner", 5, 65),
        ("air_conditioner", 20, 25),
        ("electronics", 3, 70),
        ("electronics", 9, 25),
        ("refrigerator", 3, 70),
        ("bedding", 5, 75),
        ("linen", 2, 60),
        ("kitchenware", 10, 0),
        ("power_tools", 2, 60),
        ("fire_extinguisher", 5, 67),
        ("curtains", 3, 50),
    ],
)
def test_yearly_percentages(name: str, years: int, percent: int) -> None:
    record = schedule_named(name)
    assert record is not None
    assert record.provenance == "published"
    assert round(100 * percent_good(record.schedule, Fraction(years))) == percent


# IRS Publication 946, table A-1, 5-year property, half-year convention: percent of the cost, year by year
def test_tax_recovery_of_a_trailer_year_by_year() -> None:
    record = schedule_named("us_tax_recovery_trailer")
    assert record is not None
    left = Fraction(1)
    for year, percent in enumerate(["20.00", "32.00", "19.20", "11.52", "11.52", "5.76"], start=1):
        left -= Fraction(percent) / 100
        assert percent_good(record.schedule, Fraction(year)) == left
    assert left == 0
