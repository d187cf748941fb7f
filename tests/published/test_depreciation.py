"""The schedules compared with the functions of the standard, two spreadsheet programs, and published tables."""

import csv
from collections import Counter
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from hitchworth.model.schedule import PercentGoodPoint, Schedule
from hitchworth.valuation.depreciation_methods import annuity, present_worth
from hitchworth.valuation.percent_good import percent_good
from openformula import db, ddb, declining_balance, sln, syd, vdb
from valuation_parts import part, valued

TABLE = Path(__file__).with_name("depreciation_cases.csv").read_text()
CASES = list(csv.DictReader(row for row in TABLE.splitlines() if not row.startswith("#")))


def depreciation(case: dict[str, str]) -> Fraction:
    """The case reckoned by the textbook form of the function."""
    cost, salvage, life = Decimal(case["cost"]), Decimal(case["salvage"]), Decimal(case["life"])
    factor = Decimal(case["factor"] or 2)
    match case["function"]:
        case "SLN":
            return sln(cost, salvage, life)
        case "SYD":
            return syd(cost, salvage, life, Decimal(case["period/start"]))
        case "DB":
            return db(cost, salvage, int(life), int(case["period/start"]), int(case["month"] or 12))
        case "DDB":
            return ddb(cost, salvage, life, Decimal(case["period/start"]), factor)
        case _:
            start, end = Decimal(case["period/start"]), Decimal(case["end"])
            return vdb(cost, salvage, life, start, end, factor, no_switch=case["no_switch"] == "TRUE")


@pytest.mark.parametrize("case", CASES, ids=lambda case: ";".join(filter(None, list(case.values())[:-1])))
def test_agrees_with_the_spreadsheet_programs_to_the_printed_digits(case: dict[str, str]) -> None:
    expected = float(case["expected"])
    # 15 digits are printed, and what a program computes in binary is that exact about the cost, not about a small rest
    assert float(depreciation(case)) == pytest.approx(expected, rel=1e-12, abs=1e-14 * float(case["cost"]))


def test_every_case_is_read() -> None:
    assert len(CASES) == 119


def schedule_of(case: dict[str, str]) -> Schedule | None:
    """The schedule that says the same as the function; None where there is none.

    Salvage above the cost, or a cost of 0, is no share that could be left. The fixed rate of DB is rounded to three
    decimals, and with six months its first year is a half one. DDB takes whole periods only; SYD is meant at whole
    years of age.
    """
    cost, salvage, life = Decimal(case["cost"]), Decimal(case["salvage"]), Decimal(case["life"])
    start, months = Decimal(case["period/start"] or 1), case["month"] or "12"
    if not 0 <= salvage <= cost or not cost or life <= 0:
        return None
    residual, factor = salvage / cost, Decimal(case["factor"] or 2)
    match case["function"]:
        case "SLN":
            return Schedule(method="straight_line", life_years=life, residual=residual)
        case "SYD" if start == int(start) and start <= life:
            return Schedule(method="sum_of_years", life_years=life, residual=residual)
        case "DB" if months in {"12", "6"} and start <= life:
            rate = round(1 - float(residual) ** (1 / float(life)), 3)
            half = months == "6"
            return Schedule(
                method="declining_balance", rate=Decimal(f"{rate:.3f}"), convention="half_year" if half else "by_day"
            )
        case "DDB" if start == int(start):
            return Schedule(method="declining_balance", life_years=life, residual=residual, factor=factor)
        case "VDB" if life == int(life):
            switch = case["no_switch"] != "TRUE"
            return Schedule(
                method="declining_balance",
                life_years=life,
                residual=residual,
                factor=factor,
                switch_to_straight_line=switch,
            )
        case _:
            return None


SCHEDULED = [(case, schedule) for case in CASES if (schedule := schedule_of(case)) is not None]


@pytest.mark.parametrize(("case", "schedule"), SCHEDULED, ids=str)
def test_a_schedule_agrees_with_the_spreadsheet_programs(case: dict[str, str], schedule: Schedule) -> None:
    """Cost x what percent good loses in the period."""
    end = Fraction(case["end"] or case["period/start"] or 1)
    start = Fraction(case["period/start"]) if case["function"] == "VDB" else end - 1
    lost = percent_good(schedule, start) - percent_good(schedule, end)
    cost = float(case["cost"])
    assert cost * float(lost) == pytest.approx(float(case["expected"]), rel=1e-12, abs=1e-14 * cost)


def test_most_cases_are_such_as_a_schedule_says() -> None:
    assert Counter(case["function"] for case, _ in SCHEDULED) == {"SLN": 13, "SYD": 12, "DB": 10, "DDB": 19, "VDB": 48}


# LibreOffice core, sc/qa/unit/data/functions/financial/fods/db.fods
UNIT_SHEET_DB = [
    "186083.333333333", "259639.416666667", "176814.44275", "120410.63551275",
    "81999.6427841828", "55841.7567360285", "15845.0984738481",
]  # fmt: skip


def test_fixed_declining_balance_with_seven_months_in_the_first_year() -> None:
    found = [float(db(1_000_000, 100_000, 6, period, 7)) for period in range(1, 8)]
    assert found == pytest.approx([float(value) for value in UNIT_SHEET_DB], rel=1e-14)


# OASIS draft OpenDocument-formula-20100119, inline tests of DB
@pytest.mark.parametrize(
    ("cost", "salvage", "life", "period"), [(0, 500, 4, 2), (4000, -500, 4, 2), (4000, 500, 0, 1), (4000, 500, 2, 0)]
)
def test_outside_the_constraints_of_the_standard_is_an_error(cost: int, salvage: int, life: int, period: int) -> None:
    with pytest.raises(ValueError, match="DB needs"):
        db(cost, salvage, life, period)


# IRS Publication 946, appendix A, tables A-1 and (2.5 % row) A-5; the 20-year column [memory]
RECOVERY_PERCENTAGES = {
    (3, 2, "0.5"): "33.33 44.45 14.81 7.41",
    (5, 2, "0.5"): "20.00 32.00 19.20 11.52 11.52 5.76",
    (7, 2, "0.5"): "14.29 24.49 17.49 12.49 8.93 8.92 8.93 4.46",
    (10, 2, "0.5"): "10.00 18.00 14.40 11.52 9.22 7.37 6.55 6.55 6.56 6.55 3.28",
    (15, "1.5", "0.5"): "5.00 9.50 8.55 7.70 6.93 6.23 5.90 5.90 5.91 5.90 5.91 5.90 5.91 5.90 5.91 2.95",
    (20, "1.5", "0.5"): "3.750 7.219 6.677 6.177 5.713 5.285 4.888 4.522 4.462 4.461 4.462 4.461 4.462 4.461 4.462 "
    "4.461 4.462 4.461 4.462 4.461 2.231",
    (5, 2, "0.125"): "5.00 38.00 22.80 13.68 10.94 9.58",
}


@pytest.mark.parametrize(("terms", "column"), RECOVERY_PERCENTAGES.items(), ids=str)
def test_tax_recovery_percentages_digit_for_digit(terms: tuple[int, str | int, str], column: str) -> None:
    life, factor, first = terms
    printed = column.split()
    places = len(printed[0].partition(".")[2])
    balances = declining_balance(
        Fraction(factor) / life,
        Fraction(0),
        switch_over=Fraction(life),
        first=Fraction(first),
        places=places + 2,
    )
    left = [share for _, share in balances]
    years = [100 * (before - after) for before, after in pairwise(left)]
    assert [f"{float(year):.{places}f}" for year in years] == printed


def yearly_losses(schedule: Schedule, years: int) -> list[Fraction]:
    """What percent good loses in each year, in percent."""
    left = [percent_good(schedule, Fraction(age)) for age in range(years + 1)]
    return [100 * (before - after) for before, after in pairwise(left)]


@pytest.mark.parametrize("column", RECOVERY_PERCENTAGES.values())
def test_a_table_of_what_the_tax_table_leaves_loses_its_percentages(column: str) -> None:
    printed = [Decimal(percent) for percent in column.split()]
    left = [1 - sum(printed[:age], Decimal(0)) / 100 for age in range(len(printed) + 1)]
    points = tuple(PercentGoodPoint(age_years=Decimal(age), percent_good=good) for age, good in enumerate(left))
    found = yearly_losses(Schedule(method="table", points=points), len(printed))
    assert found == [Fraction(percent) for percent in printed]


@pytest.mark.parametrize(
    ("terms", "column"), [row for row in RECOVERY_PERCENTAGES.items() if row[0][2] == "0.5"], ids=str
)
def test_a_schedule_by_half_years_is_the_tax_table_but_for_its_rounding(
    terms: tuple[int, str | int, str], column: str
) -> None:
    life, factor, _ = terms
    schedule = Schedule(
        method="declining_balance",
        life_years=Decimal(life),
        factor=Decimal(factor),
        switch_to_straight_line=True,
        convention="half_year",
    )
    printed = column.split()
    unit = Fraction(1, 10 ** len(printed[0].partition(".")[2]))
    found = yearly_losses(schedule, len(printed))
    assert all(abs(year - Fraction(percent)) <= unit for year, percent in zip(found, printed, strict=True))


def test_a_schedule_by_half_years_follows_the_tax_table_to_its_rounding() -> None:
    schedule = Schedule(
        method="declining_balance", life_years=Decimal(5), switch_to_straight_line=True, convention="half_year"
    )
    left = [percent_good(schedule, Fraction(age)) for age in range(7)]
    assert left == [1, *(Fraction(rest, 10_000) for rest in (8000, 4800, 2880, 1728, 576, 0))]


# California State Board of Equalization, Assessors' Handbook section 582, page 1: 20 years, 15 remain, 10 percent:
# 7.606 / 8.514 = 89.33, with factors of three places and the last digit cut off; 95 percent of the exact quotient 84.87
def test_present_worth_percent_good_of_the_assessors_handbook() -> None:
    remaining, whole = (round(annuity(Fraction(years), Fraction(1, 10)), 3) for years in (15, 20))
    assert (remaining, whole) == (Fraction("7.606"), Fraction("8.514"))
    assert int(10_000 * remaining / whole) == 8933
    schedule = Schedule(method="present_worth", life_years=Decimal(20), discount_rate=Decimal("0.1"))
    good = percent_good(schedule, Fraction(5))
    assert float(good) == pytest.approx(float(remaining / whole), abs=1e-4)
    assert round(float(95 * good), 2) == 84.87


def test_present_worth_without_interest_is_straight_line() -> None:
    points = present_worth(Fraction(4), Fraction(0))
    assert [points.span(year)[:2] for year in range(5)] == [
        (Fraction(year), 1 - Fraction(year, 4)) for year in range(5)
    ]


# Glossary of a state's appraisers, "age-life depreciation": effective age 15, remaining life 45, cost new 60,000
# A text quoted by appraisers: effective age 20 of 40 years, cost new 41,493,430
@pytest.mark.parametrize(
    ("effective_age", "life", "cost_new", "depreciation"), [(15, 60, 60_000, 15_000), (20, 40, 41_493_430, 20_746_715)]
)
def test_age_life_method(effective_age: int, life: int, cost_new: int, depreciation: int) -> None:
    schedule = Schedule(method="straight_line", life_years=Decimal(life))
    assert cost_new * (1 - percent_good(schedule, Fraction(effective_age))) == depreciation


def test_age_life_method_through_an_estimate() -> None:
    schedule = Schedule(method="straight_line", life_years=Decimal(60))
    found = valued(part(unit_cost="60000", effective_age_years=Decimal(15), schedule=schedule))
    assert str(found.totals.depreciation) == "15000.00"


# The same handbook section 582: the quotient times 95 percent, for income that has declined, is 84.87 percent
def test_present_worth_with_a_factor_through_an_estimate() -> None:
    schedule = Schedule(method="present_worth", life_years=Decimal(20), discount_rate=Decimal("0.1"))
    worn = part(effective_age_years=Decimal(5), schedule=schedule, condition=Decimal("0.95"))
    assert round(100 * valued(worn).lines[0].percent_good, 2) == Decimal("84.87")


# US Forest Service Handbook 6509.11h, chapter 40 (2004): 250 x 1.46 = 365; 5 percent a year for 9 years
def test_claims_handbook_example() -> None:
    schedule = Schedule(method="straight_line", life_years=Decimal(20))
    assert Fraction(365) * percent_good(schedule, Fraction(9)) == Fraction("200.75")
