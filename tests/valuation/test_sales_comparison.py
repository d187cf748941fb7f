"""The adjustment grid, and the value that the comparables indicate together."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from build_strategies import amounts, decimals
from hitchworth.model.build import IndexMonth
from hitchworth.model.request import SalesComparisonRequest
from hitchworth.model.sales_comparison import (
    AdjustmentRule,
    AdjustmentTerms,
    ApproachWeights,
    Comparable,
    ConditionStep,
    CustomAdjustment,
    EquipmentValue,
    SalesComparison,
    Traits,
    Weight,
)
from hitchworth.valuation.sales_comparison import sales_comparison
from valuation_parts import BOUGHT, DAY, build, part

LUMBER = (IndexMonth(month="2025-06", value=Decimal(100)), IndexMonth(month="2026-06", value=Decimal(110)))
SOLD = date(2025, 6, 3)


def amount(value: str) -> AdjustmentRule:
    return AdjustmentRule(amount=Decimal(value), reason="pairs of sales")


def rate(value: str) -> AdjustmentRule:
    return AdjustmentRule(rate=Decimal(value), reason="pairs of sales")


def sale(price: str = "10000", **terms: Any) -> Comparable:
    """A comparable, sold on the valuation date unless stated otherwise."""
    given: dict[str, Any] = {"description": "like trailer", "sold_on": DAY, "source": "bill of sale"}
    return Comparable(price=Decimal(price), **(given | terms))


def appraise(
    *sales: Comparable, subject: Traits | None = None, grid: AdjustmentTerms | None = None, **terms: Any
) -> SalesComparison:
    """On a build that is worth 12,000 by cost."""
    request = SalesComparisonRequest(
        build=build(part(unit_cost="12000"), price_indexes={"lumber": LUMBER}),
        subject=subject or Traits(),
        comparables=sales,
        adjustments=grid or AdjustmentTerms(),
        **terms,
    )
    return sales_comparison(request, DAY)


def adjusted(found: SalesComparison) -> list[tuple[str, str]]:
    (only,) = found.sales_comparison.comparables
    return [(adjustment.element, str(adjustment.amount)) for adjustment in only.adjustments]


def codes(found: SalesComparison) -> list[tuple[str, str]]:
    return [(note.code, next(iter(note.parameters.values()), "")) for note in found.notes]


def test_a_grid_by_hand() -> None:
    """Sold for 10,000 in June 2025 at an index of 100, valued in June 2026 at 110.

    Date of sale: 10,000 x 110 / 100 - 10,000             = + 1,000, so 11,000 for the rates
    Age: 4 years against 2, inferior, 2 x 3 % of 11,000    =   + 660
    Size: 4.5 m against 4, superior, 0.5 x 1,500           =   - 750
    Condition: fair against good, two steps, 2 x 250       =   + 500
    Equipment: the subject's solar                         =   + 900
               the comparable's heater, 5 % of 11,000      =   - 550
    Sold with a warranty: superior                         =   - 200
    Net + 1,560 (15.6 %), gross 4,560 (45.6 %), indicated value 11,560.
    """
    grid = AdjustmentTerms(
        price_index="lumber",
        per_year=rate("0.03"),
        per_size_unit=amount("1500"),
        size_unit="m",
        per_condition_step=amount("250"),
        equipment=(
            EquipmentValue(item="solar", amount=Decimal(900), reason="depreciated cost"),
            EquipmentValue(item="heater", rate=Decimal("0.05"), reason="price lists"),
        ),
    )
    warranty = CustomAdjustment(element="warranty", comparable_is="superior", amount=Decimal(200), reason="its price")
    found = appraise(
        sale(
            sold_on=SOLD,
            age_years=Decimal(4),
            size=Decimal("4.5"),
            condition="fair",
            equipment=("heater", "awning"),
            adjustments=(warranty,),
        ),
        subject=Traits(age_years=Decimal(2), size=Decimal(4), condition="good", equipment=("solar", "awning")),
        grid=grid,
    )
    assert adjusted(found) == [
        ("date_of_sale", "1000.00"),
        ("age", "660.00"),
        ("size", "-750.00"),
        ("condition", "500.00"),
        ("equipment", "900.00"),
        ("equipment", "-550.00"),
        ("other", "-200.00"),
    ]
    (only,) = found.sales_comparison.comparables
    assert (only.net_adjustment, only.gross_adjustment, only.indicated_value) == (
        Decimal(1560),
        Decimal(4560),
        Decimal(11560),
    )
    assert (str(only.net_share), str(only.gross_share)) == ("0.1560", "0.4560")
    assert codes(found) == [("net_adjustment_large", "0.1560"), ("gross_adjustment_large", "0.4560")]
    assert [one.parameters for one in only.adjustments] == [
        {"index": "lumber", "sold_on": "2025-06-03"},
        {"units": "2", "unit": ""},
        {"units": "0.5", "unit": "m"},
        {"units": "2", "unit": ""},
        {"item": "solar"},
        {"item": "heater"},
        {"element": "warranty"},
    ]
    assert [one.working for one in only.adjustments][:3] == [
        "10000.00 x 110 / 100 - 10000.00 = 1000.00",
        "2 x 0.03 x 11000.00 = 660.00",
        "-0.5 x 1500 = -750.00",
    ]


def test_the_reconciliation_by_hand() -> None:
    """By sales (2 x 9,000 + 10,500) / 3 = 9,500; by cost 12,000. 3 to 2: (3 x 12,000 + 2 x 9,500) / 5 = 11,000."""
    weight = Weight(weight=Decimal(2), reason="closest")
    found = appraise(
        sale("9000", weight=weight),
        sale("10500", description="another"),
        weights=ApproachWeights(
            cost=Weight(weight=Decimal(3), reason="every part is documented"),
            sales_comparison=Weight(weight=Decimal(2), reason="two sales only"),
        ),
    )
    sales = found.sales_comparison
    assert (sales.low, sales.high, sales.indicated_value) == (Decimal(9000), Decimal(10500), Decimal(9500))
    assert [str(one.contribution) for one in sales.comparables] == ["6000.00", "3500.00"]
    assert [(one.approach, str(one.weight), str(one.contribution)) for one in found.reconciliation] == [
        ("cost", "0.6000", "7200.00"),
        ("sales_comparison", "0.4000", "3800.00"),
    ]
    assert found.reconciled_value == 11000
    assert [one.reason for one in found.reconciliation] == ["every part is documented", "two sales only"]


@pytest.mark.parametrize(
    ("amounts", "notes"),
    [
        (("1500.00",), []),
        (("1501.00",), [("net_adjustment_large", "0.1501")]),
        (("-1501.00",), [("net_adjustment_large", "0.1501")]),
        (("2000.00", "-500.00"), []),
        (("2000.00", "-501.00"), [("gross_adjustment_large", "0.2501")]),
    ],
)
def test_an_adjustment_at_the_guide_is_not_noted_and_one_above_it_is(
    amounts: tuple[str, ...], notes: list[tuple[str, str]]
) -> None:
    """Of 10,000 the guides allow 15 percent net, 1,500, and 25 percent gross, 2,500."""
    rows = tuple(
        CustomAdjustment(
            element=str(row),
            comparable_is="inferior" if Decimal(value) > 0 else "superior",
            amount=abs(Decimal(value)),
            reason="pairs of sales",
        )
        for row, value in enumerate(amounts)
    )
    assert codes(appraise(sale(adjustments=rows))) == notes


def test_what_is_not_known_or_has_no_row_is_noted() -> None:
    found = appraise(
        sale(sold_on=BOUGHT, age_years=Decimal(3), condition="poor", equipment=("awning",)),
        subject=Traits(condition="good", equipment=()),
        grid=AdjustmentTerms(per_year=amount("100"), per_size_unit=amount("100")),
    )
    assert adjusted(found) == []
    assert codes(found) == [
        ("difference_not_adjusted", "date_of_sale"),
        ("not_compared", "age"),
        ("not_compared", "size"),
        ("difference_not_adjusted", "condition"),
        ("equipment_not_adjusted", "awning"),
    ]


def test_a_sale_after_the_valuation_date_does_not_count() -> None:
    later = sale("20000", sold_on=date(2026, 6, 29))
    found = appraise(sale(), later)
    assert codes(found) == [("sold_after_valuation", "2026-06-29")]
    assert [str(one.weight) for one in found.sales_comparison.comparables] == ["1.0000", "0.0000"]
    assert found.sales_comparison.indicated_value == 10000
    assert [code for code, _ in codes(appraise(later))] == ["sold_after_valuation", "no_comparable_counts"]


def test_the_age_of_the_build_is_that_of_its_oldest_base_part() -> None:
    """The chassis was bought three years before the valuation date; the older stove is none of a plain trailer."""
    bought = date(DAY.year - 3, DAY.month, DAY.day)
    parts = (
        part("a", "12000", category="chassis", acquired_on=bought, description="trailer chassis"),
        part("b", "100", category="coupler", acquired_on=DAY),
        part("c", "100", category="stove", acquired_on=date(2010, 1, 1)),
    )
    request = SalesComparisonRequest(
        build=build(*parts),
        subject=Traits(),
        comparables=(sale(age_years=Decimal("5.001")),),
        adjustments=AdjustmentTerms(per_year=amount("100")),
    )
    found = sales_comparison(request, DAY)
    assert [(note.code, note.about) for note in found.notes] == [("age_of_base_part", "trailer chassis")]
    assert adjusted(found) == [("age", "200.00")]
    own = sales_comparison(replace(request, subject=Traits(age_years=Decimal("4.001"))), DAY)
    assert adjusted(own) == [("age", "100.00")]


def test_a_comparable_of_which_nothing_is_left_does_not_count() -> None:
    burden = CustomAdjustment(element="debt", comparable_is="superior", amount=Decimal(10000), reason="taken over")
    found = appraise(sale(adjustments=(burden,)))
    assert found.sales_comparison.indicated_value is None
    assert found.reconciled_value == 12000
    assert [one.approach for one in found.reconciliation] == ["cost"]
    assert ("no_comparable_counts", "") in codes(found)


def test_the_only_approach_left_counts_whatever_its_weight() -> None:
    burden = CustomAdjustment(element="debt", comparable_is="superior", rate=Decimal(1), reason="taken over")
    nothing = Weight(weight=Decimal(0), reason="sales alone")
    found = appraise(sale(adjustments=(burden,)), weights=ApproachWeights(cost=nothing))
    assert found.reconciled_value == 12000
    assert ("only_approach_left", "") in codes(found)


def test_a_price_of_less_than_a_cent_is_no_price() -> None:
    assert appraise(sale("0.004")).sales_comparison.indicated_value is None


steps: st.SearchStrategy[ConditionStep] = st.sampled_from(["poor", "fair", "average", "good", "excellent"])
traits = st.builds(
    Traits,
    age_years=decimals("0", "20", 1),
    size=decimals("2", "9", 2),
    condition=steps,
    equipment=st.lists(st.sampled_from(["solar", "awning", "heater"]), unique=True).map(tuple),
)
rules = st.builds(AdjustmentRule, amount=amounts, reason=st.just("a"))
grids = st.builds(
    AdjustmentTerms,
    per_year=rules,
    per_size_unit=rules,
    per_condition_step=rules,
    equipment=st.tuples(
        *(
            st.builds(EquipmentValue, item=st.just(item), amount=amounts, reason=st.just("a"))
            for item in ("solar", "heater")
        )
    ),
)


def of_traits(like: Traits) -> Comparable:
    return sale(age_years=like.age_years, size=like.size, condition=like.condition, equipment=like.equipment)


@given(subject=traits, grid=grids)
def test_a_trailer_like_the_subject_is_not_adjusted(subject: Traits, grid: AdjustmentTerms) -> None:
    assert adjusted(appraise(of_traits(subject), subject=subject, grid=grid)) == []


@given(one=traits, other=traits, grid=grids)
def test_the_grid_read_the_other_way_has_the_other_sign(one: Traits, other: Traits, grid: AdjustmentTerms) -> None:
    there = appraise(of_traits(other), subject=one, grid=grid).sales_comparison.comparables[0]
    back = appraise(of_traits(one), subject=other, grid=grid).sales_comparison.comparables[0]
    assert there.net_adjustment == -back.net_adjustment
    assert there.gross_adjustment == back.gross_adjustment
    assert abs(there.net_adjustment) <= there.gross_adjustment
    assert there.price + there.net_adjustment == there.indicated_value
