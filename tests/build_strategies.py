"""Valid builds, dates and options for property tests of the valuation: small, and of every kind."""

from datetime import date
from decimal import Decimal

from hypothesis import strategies as st

from hitchworth.model.build import Build, IndexMonth
from hitchworth.model.entry import Component, Labor
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.model.schedule import PercentGoodPoint, Schedule

AS_OF = date(2026, 6, 15)
CATEGORIES = ("chassis", "windows", "battery_lithium", "electronics", "a_name_of_our_own")


def decimals(least: str, greatest: str, places: int = 2) -> st.SearchStrategy[Decimal]:
    """Decimals with a number of places."""
    return st.decimals(Decimal(least), Decimal(greatest), places=places, allow_nan=False, allow_infinity=False)


shares = decimals("0", "1", 3)
amounts = decimals("0", "9999", 2)
contents = st.sampled_from([None, "nothing", "overhead", "overhead_and_profit", "all"])
lives = decimals("0.5", "40", 1)
dates = st.dates(date(2015, 1, 1), date(2027, 12, 31))


def tables() -> st.SearchStrategy[Schedule]:
    """Tables of percent good that fall with age."""
    points = st.lists(
        st.tuples(decimals("0", "30", 1), shares), min_size=1, max_size=6, unique_by=lambda point: point[0]
    )

    def table(rows: list[tuple[Decimal, Decimal]], interpolation: str, residual: Decimal) -> Schedule:
        ages = sorted(age for age, _ in rows)
        falling = sorted((good for _, good in rows), reverse=True)
        return Schedule(
            method="table",
            interpolation="linear" if interpolation == "linear" else "step",
            residual=residual,
            points=tuple(
                PercentGoodPoint(age_years=age, percent_good=good) for age, good in zip(ages, falling, strict=True)
            ),
        )

    return st.builds(table, points, st.sampled_from(["step", "linear"]), shares)


schedules = st.one_of(
    tables(),
    st.builds(
        Schedule,
        method=st.sampled_from(["none", "straight_line", "declining_balance", "sum_of_years", "present_worth"]),
        life_years=lives,
        residual=shares,
        factor=st.none() | decimals("0.5", "3", 1),
        rate=st.none() | shares,
        switch_to_straight_line=st.booleans(),
        convention=st.sampled_from(["by_day", "full_year", "half_year"]),
        discount_rate=decimals("0", "0.2", 2),
    ),
)

components = st.builds(
    Component,
    id=st.uuids().map(str),
    description=st.just("Part"),
    category=st.sampled_from(CATEGORIES),
    quantity=decimals("0.1", "20", 1),
    unit_cost=amounts,
    currency=st.sampled_from([None, "EUR"]),
    exchange_rate=decimals("0.5", "2", 4),
    tax=st.none() | amounts,
    freight=amounts,
    price_includes=contents,
    bought_used=st.none() | st.booleans(),
    acquired_on=dates,
    in_service_on=st.none() | dates,
    removed_on=st.none() | dates,
    replacement_unit_cost=st.none() | amounts,
    quoted_on=st.none() | dates,
    quoted_exchange_rate=st.none() | decimals("0.5", "2", 4),
    price_index=st.sampled_from([None, "lumber"]),
    schedule=st.none() | schedules,
    condition=st.just(Decimal(1)) | shares,
    effective_age_years=st.none() | decimals("0", "30", 1),
    effective_age_on=st.none() | dates,
    low=st.none() | amounts,
    likely=st.none() | amounts,
    high=st.none() | amounts,
    evidence_grade=st.sampled_from(["receipt", "written_quote", "own_estimate"]),
)

labor = st.builds(
    Labor,
    id=st.uuids().map(str),
    task=st.just("Work"),
    hours=decimals("0.5", "40", 1),
    rate=amounts,
    market_rate=st.none() | amounts,
    market_rate_on=st.none() | dates,
    rate_includes=contents,
    low=st.none() | amounts,
    likely=st.none() | amounts,
    high=st.none() | amounts,
    evidence_grade=st.sampled_from([None, "receipt", "written_quote", "own_estimate", "guess"]),
    price_index=st.sampled_from([None, "lumber"]),
    performed_on=dates,
    hired=st.booleans(),
    schedule=st.none() | schedules,
)

indirect_costs = st.builds(
    IndirectCosts,
    overhead_rate=decimals("0", "0.3", 4),
    profit_rate=decimals("0", "0.3", 4),
    compounded=st.booleans(),
    profit_basis=st.sampled_from(["markup", "margin"]),
    freight_lump_sum=st.just(Decimal(0)) | amounts,
    sales_tax_rate=st.just(Decimal(0)) | decimals("0", "0.2", 4),
    sales_tax_basis=st.sampled_from(["line", "total"]),
    tax_labor=st.booleans(),
)

months = st.integers(0, 140).map(lambda number: f"{2015 + number // 12}-{number % 12 + 1:02}")
series = st.dictionaries(months, decimals("50", "300", 3), min_size=1, max_size=8).map(
    lambda values: tuple(IndexMonth(month=month, value=values[month]) for month in sorted(values))
)


@st.composite
def builds(draw: st.DrawFn) -> Build:
    """A build in which some labor serves a component."""
    parts = draw(st.lists(components, max_size=6))
    served = st.sampled_from([None, *(part.id for part in parts)])
    work = [
        Labor(**{name: getattr(entry, name) for name in entry.__struct_fields__} | {"component_id": draw(served)})
        for entry in draw(st.lists(labor, max_size=4))
    ]
    return Build(
        name="Trailer",
        currency=draw(st.sampled_from(["USD", "JPY", "KWD"])),
        components=tuple(parts),
        labor=tuple(work),
        indirect_costs=draw(indirect_costs),
        price_indexes={"lumber": draw(series)},
    )


options = st.builds(
    Options,
    day_count=st.sampled_from(["days_365_25", "complete_months", "complete_years"]),
    rounding=st.sampled_from(["half_up", "half_even"]),
    labor_depreciation=st.sampled_from(["none", "with_component", "own"]),
    confidence=decimals("0.5", "0.99", 2),
    correlation=decimals("0", "1", 2),
    three_point=st.sampled_from(["pert", "triangular"]),
    whole_trailer_schedule=st.sampled_from([None, "washington_travel_trailer", "chassis"]),
    workings=st.booleans(),
)
