"""From quote to build: what the owner pays for each line, with the written quote as its evidence."""

from datetime import date
from decimal import Decimal
from typing import Any

import msgspec
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.entry import Component
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.model.pricing import (
    Alternative,
    CustomerSupply,
    Discount,
    OptionGroup,
    QuoteAllowance,
    QuotePricing,
    QuoteTax,
    ShopRate,
    TaxTreatment,
    Workshop,
)
from hitchworth.quoting.acceptance import accepted_build, still_quoted, with_change_order, with_own_work
from hitchworth.quoting.quote import quote
from hitchworth.valuation.estimate import estimate
from quotes import DAY, NO_TAX, D, camper, part, rates, work

TAX = QuoteTax(
    rate=D("0.06"),
    treatments=tuple(
        TaxTreatment(kind=kind, taxed=kind != "repair")
        for kind in ("materials", "fabrication", "repair", "installation")
    ),
)


def accepted(build: Build, changes: tuple[ChangeOrder, ...] = (), **pricing: Any) -> Build:
    return accepted_build(build, QuotePricing(**{"tax": NO_TAX} | pricing), changes, DAY, Options())


def value(build: Build) -> Decimal:
    """What it costs to replace on a day when everything is in it."""
    return estimate(build, date(2030, 1, 1), Options()).totals.replacement_cost


def test_a_line_has_its_price_less_discount_and_its_tax() -> None:
    build = accepted(
        camper(
            part("sheet", 100, 3, freight=D(6), evidence_grade="receipt", replacement_unit_cost=D(110), quoted_on=DAY)
        ),
        markup=rates("0.1"),
        discount=Discount(reason="friend", rate=D("0.02")),
        tax=TAX,
        workshop=Workshop(name="Example Works"),
    )
    (sheet,) = build.components
    # 336 and 33.60 are 369.60, less 7.39: 362.21; 6 percent are 21.73.
    assert (sheet.quantity * sheet.unit_cost).quantize(D("0.01")) == D("362.21")
    assert (sheet.tax, sheet.freight, sheet.quantity) == (D("21.73"), D(0), D(3))
    assert (sheet.evidence_grade, sheet.price_includes, sheet.supplier) == (
        "written_quote",
        "overhead_and_profit",
        "Example Works",
    )
    assert (sheet.replacement_unit_cost, sheet.quoted_on) == (None, None)


def test_an_hour_has_tax_in_its_rate() -> None:
    build = accepted(
        camper(work("cut", 10, component_id="gone"), part("gone", 5)),
        shop_rates=(ShopRate(rate=D(80)),),
        tax=QuoteTax(
            rate=D("0.06"),
            treatments=tuple(TaxTreatment(kind=kind, taxed=True) for kind in ("fabrication", "repair", "installation")),
        ),
    )
    (cut,) = build.labor
    # 800 and 48; the tax on the material is not known, so its line has none yet.
    assert (cut.rate, cut.hired, cut.rate_includes, cut.evidence_grade) == (D("84.8"), True, "all", "written_quote")
    assert (cut.component_id, cut.market_rate) == ("gone", None)
    assert build.components[0].tax is None


def test_without_tax_the_rate_still_has_overhead_and_profit_in_it() -> None:
    (cut,) = accepted(camper(work("cut", 10, 50)), markup=rates("0.1")).labor
    assert (cut.rate, cut.rate_includes) == (D(55), "overhead_and_profit")
    (all_in,) = accepted(camper(work("cut", 10, 50, rate_includes="all"))).labor
    assert all_in.rate_includes == "all"
    (kit,) = accepted(camper(part("kit", 50, price_includes="all"))).components
    assert kit.price_includes == "all"


def test_only_what_was_chosen_is_in_the_build() -> None:
    group = OptionGroup(
        name="heater",
        alternatives=(Alternative(name="diesel", entries=("burner", "fit")), Alternative(name="gas", price=D(900))),
        chosen="gas",
    )
    entries = camper(
        part("hull", 100),
        part("burner", 500),
        work("fit", 1, 50, component_id="burner"),
        work("seal", 1, 40, component_id="burner"),
    )
    build = accepted(
        entries, option_groups=(group,), allowances=(QuoteAllowance(id="lamp", description="Lamp", amount=D(70)),)
    )
    assert [(each.id, each.description, each.quantity * each.unit_cost) for each in build.components] == [
        ("hull", "hull", D(100)),
        ("lamp", "Lamp", D(70)),
        ("heater: gas", "heater: gas", D(900)),
    ]
    assert [(each.id, each.component_id) for each in build.labor] == [("seal", None)]
    assert build.components[1].acquired_on == DAY


def test_what_the_customer_brings_stays_with_its_handling_as_freight() -> None:
    build = accepted(
        camper(part("stove", 240, freight=D(5), evidence_grade="receipt"), part("sink", 90)),
        customer_supplies=(CustomerSupply(id="stove", handling=D(40)), CustomerSupply(id="sink")),
        tax=TAX,
    )
    stove, sink = build.components
    assert (stove.unit_cost, stove.freight, stove.evidence_grade) == (D(240), D("47.4"), "receipt")
    assert (sink.unit_cost, sink.freight) == (D(90), D(0))


def test_what_the_workshop_supplies_after_all_is_there_once() -> None:
    change = ChangeOrder(
        number="1",
        dated=DAY,
        reason="we buy it",
        components=(part("stove", 300),),
        accepted_by="A. Customer",
        accepted_on=DAY,
    )
    build = accepted(camper(part("stove", 240)), (change,), customer_supplies=(CustomerSupply(id="stove"),))
    assert [(each.id, each.unit_cost) for each in build.components] == [("stove", D(300))]


def test_accepted_changes_count_and_others_do_not() -> None:
    both: dict[str, Any] = {"dated": DAY, "reason": "x"}
    signed: dict[str, Any] = {"accepted_by": "A. Customer", "accepted_on": DAY}
    build = accepted(
        camper(part("hull", 100), part("door", 50), work("hang", 1, 30, component_id="door")),
        (
            ChangeOrder(number="1", drop=("door",), components=(part("lamp", 20),), **both, **signed),
            ChangeOrder(number="2", components=(part("sofa", 400),), **both),
        ),
    )
    assert [each.id for each in build.components] == ["hull", "lamp"]
    assert [(each.id, each.component_id) for each in build.labor] == [("hang", None)]


def test_names_are_unlike_those_of_the_entries_and_not_too_long() -> None:
    long = OptionGroup(name="g" * 80, alternatives=(Alternative(name="n" * 80, price=D(5)),), chosen="n" * 80)
    taken = OptionGroup(name="heater", alternatives=(Alternative(name="gas", price=D(5)),), chosen="gas")
    build = accepted(camper(part("heater: gas", 1), part("g" * 80, 1)), option_groups=(long, taken))
    names = [each.id for each in build.components]
    assert len(set(names)) == 4
    assert names[2] == "g" * 74 + " 2"
    assert names[3] == "heater: gas 2"


def test_a_quantity_of_nothing_costs_nothing() -> None:
    build = accepted(camper(part("none", 5, 0), work("idle", 0, 10)))
    assert (build.components[0].unit_cost, build.labor[0].rate) == (D(0), D(0))


def test_overhead_and_profit_are_not_added_again() -> None:
    entries = camper(part("hull", 100), indirect_costs=IndirectCosts(overhead_rate=D("0.5")))
    build = accepted(entries, markup=rates("0.2"))
    assert build.indirect_costs == IndirectCosts()
    assert value(build) == 120


@given(
    costs=st.lists(st.tuples(st.integers(0, 10**6), st.integers(1, 999)), min_size=1, max_size=5),
    hours=st.integers(1, 999),
    discount=st.integers(0, 100),
)
def test_the_build_is_worth_what_was_quoted_and_can_be_read_again(
    costs: list[tuple[int, int]], hours: int, discount: int
) -> None:
    entries = camper(
        *(part(f"p{index}", str(D(cost) / 100), str(D(count) / 10)) for index, (cost, count) in enumerate(costs)),
        work("cut", str(D(hours) / 10), "61.37"),
    )
    pricing = QuotePricing(
        markup=rates("0.09", "0.17"), discount=Discount(reason="x", rate=D(discount) / 100), tax=NO_TAX
    )
    build = accepted_build(entries, pricing, (), DAY, Options())
    assert value(build) == quote(entries, pricing, DAY, Options()).totals.total
    validation.read(msgspec.json.encode(build), Build, DAY)


def quoted_part(name: str, cost: str, **more: Any) -> Component:
    return part(name, cost, evidence_grade="written_quote", **more)


def test_a_change_order_alters_what_is_still_quoted_and_nothing_else() -> None:
    bought = part("bought", "90", evidence_grade="receipt")
    before = camper(*(quoted_part(name, "100") for name in ("bought", "dropped", "dearer", "same", "sold")))
    after = camper(
        quoted_part("dearer", "130"), quoted_part("same", "100"), quoted_part("sold", "150"), quoted_part("new", "5")
    )
    own = part("own", "7")
    kept = camper(bought, quoted_part("dropped", "100"), quoted_part("dearer", "100"), quoted_part("same", "100"), own)
    altered = with_change_order(kept, before, after)
    # `bought` was dropped and has a receipt; `sold` was taken out of the build by hand before it was repriced.
    assert altered.components == (
        bought,
        quoted_part("dearer", "130"),
        quoted_part("same", "100"),
        own,
        after.components[-1],
    )


def test_work_on_a_dropped_part_is_on_no_part() -> None:
    task = work("task", 3, component_id="gone", evidence_grade="written_quote")
    kept = camper(quoted_part("gone", "1"), task)
    altered = with_change_order(kept, kept, replace(kept, components=()))
    assert altered.labor == (replace(task, component_id=None),)


def test_what_the_workshop_does_itself_is_its_own_work_again() -> None:
    quoted = camper(work("own", 5, "20"), work("welder", 2, "90", hired=True))
    built = camper(
        work("own", 8, "66", hired=True, evidence_grade="receipt"),
        work("welder", 3, "95", hired=True),
        work("more", 1, "66", hired=True),
    )
    seen = with_own_work(built, quoted)
    assert seen.labor[0] == work("own", 8, "20", evidence_grade="receipt")
    assert seen.labor[1:] == built.labor[1:]
    assert still_quoted(
        camper(quoted_part("a", "1"), part("b", "1"), work("c", 1, evidence_grade="written_quote"))
    ) == {"a", "c"}


def test_a_price_is_written_as_people_write_it() -> None:
    """2,400.00 is no 2.4E+3; a third of 100.00 has twelve places, and three of them are 100.00 to the cent."""
    build = accepted(camper(part("frame", 2400), part("sheet", "33.3333333333333333", 3)))
    assert [str(each.unit_cost) for each in build.components] == ["2400.00", "33.333333333333"]


def test_handling_is_freight_in_the_currency_of_the_part() -> None:
    """40.00 dollars of handling are 32.00 euros at 1.25, beside 5.00 of freight."""
    stove = part("stove", 240, currency="EUR", exchange_rate=D("1.25"), freight=D(5))
    (brought,) = accepted(camper(stove), customer_supplies=(CustomerSupply(id="stove", handling=D(40)),)).components
    assert (brought.freight, brought.exchange_rate) == (D(37), D("1.25"))
