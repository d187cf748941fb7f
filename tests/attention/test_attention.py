"""What needs attention, against figures worked by hand.

Most builds here are one battery of 1,000.00, bought on 2024-01-10, trended by an index of their own: 100 in 2024-01,
115 in 2025-08 and 130 in 2026-08, the last known month. On 2026-11-28 it costs 1,300.00. The last twelve known months
moved the index by 15, so each month to come adds 1.25, which is 12.50 of the cost: 1,312.50 from 2026-12-01 on,
1,325.00 from 2027-01-01, 1,337.50 from 2027-02-01.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from hitchworth.attention import attention, with_projected_prices
from hitchworth.model.answer import Answer
from hitchworth.model.attention import AttentionItem, AttentionRequest, AttentionThresholds, OpenQuote
from hitchworth.model.build import Build, IndexMonth
from hitchworth.model.entry import Component
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Coordination, Policy
from hitchworth.model.schedule import PercentGoodPoint, Schedule
from hitchworth.operations.attention import create_attention

TODAY = date(2026, 11, 28)
KEEPS_ITS_VALUE = Schedule(method="none")
HALF_WORN = Schedule(
    method="table", points=(PercentGoodPoint(age_years=Decimal(0), percent_good=Decimal("0.5")),), residual=Decimal(0)
)


def index(**months: str) -> tuple[IndexMonth, ...]:
    return tuple(IndexMonth(month=name[1:].replace("_", "-"), value=Decimal(value)) for name, value in months.items())


RISING = index(m2024_01="100", m2025_08="115", m2026_08="130")


def battery(**more: Any) -> Component:
    given = {
        "id": "battery",
        "description": "Battery",
        "category": "electrical",
        "quantity": Decimal(1),
        "unit_cost": Decimal("1000.00"),
        "acquired_on": date(2024, 1, 10),
        "schedule": KEEPS_ITS_VALUE,
        "price_index": "own",
        **more,
    }
    return Component(**given)


def build(*components: Component, months: Sequence[IndexMonth] = RISING, **more: Any) -> Build:
    return Build(
        name="Camper",
        currency="USD",
        components=components or (battery(),),
        price_indexes={"own": tuple(months)},
        **more,
    )


def items(
    *policies: Policy,
    of: Build | None = None,
    losses: Sequence[Loss] = (),
    answers: Sequence[Answer] = (),
    quotes: Sequence[OpenQuote] = (),
    coordination: Coordination | None = None,
    as_of: date = TODAY,
    **thresholds: Any,
) -> tuple[AttentionItem, ...]:
    request = AttentionRequest(
        build=of or build(),
        policies=policies,
        losses=tuple(losses),
        answers=tuple(answers),
        quotes=tuple(quotes),
        coordination=coordination,
        thresholds=AttentionThresholds(**thresholds),
    )
    return attention(request, as_of).items


def limited(limit: str, basis: Any = "replacement_cost", **more: Any) -> Policy:
    return Policy(name="RV policy", basis=basis, limit=Decimal(limit), deductible=Decimal(0), **more)


def test_a_limit_that_covers_every_day_to_come_is_no_item() -> None:
    assert items(limited("1337.49"), limit_days=64) == ()  # to 2027-01-31


@pytest.mark.parametrize(
    ("limit", "on", "value", "lacking"),
    [
        ("1300.00", "2026-12-01", "1312.50", "37.50"),
        ("1312.50", "2027-01-01", "1325.00", "25.00"),
        ("1325.00", "2027-02-01", "1337.50", "12.50"),
    ],
)
def test_a_limit_is_outgrown_when_prices_go_on_as_they_did(limit: str, on: str, value: str, lacking: str) -> None:
    """Within 90 days, to 2027-02-26, the cost gets to 1,337.50: that less the limit is what will lack."""
    (item,) = items(limited(limit))
    assert (item.code, item.policy, item.since) == ("limit_outgrown", "RV policy", date.fromisoformat(on))
    assert (item.parameters["value"], item.parameters["prices"]) == (value, "trend")
    assert item.amount == Decimal(lacking)
    assert (item.name, item.currency, item.build, item.path) == ("Camper", "USD", None, None)


def test_the_days_ahead_are_those_that_are_asked_for() -> None:
    assert items(limited("1312.50"), limit_days=33) == ()  # to 2026-12-31
    assert len(items(limited("1312.50"), limit_days=34)) == 1
    assert items(limited("1300.00"), limit_days=0) == ()


def test_known_months_of_an_index_are_no_projection() -> None:
    (item,) = items(limited("1300.00"), of=build(months=(*RISING, *index(m2026_12="140"))))
    assert (item.since, item.parameters["prices"], item.parameters["value"]) == (date(2026, 12, 1), "known", "1400.00")


def test_what_will_be_bought_outgrows_a_limit_without_any_index() -> None:
    ahead = battery(id="solar", unit_cost=Decimal("200.00"), acquired_on=date(2027, 1, 15), price_index=None)
    bought = build(battery(price_index=None), ahead)
    (item,) = items(limited("1199.99"), of=bought)
    assert (item.code, item.since, item.amount) == ("limit_outgrown", date(2027, 1, 15), Decimal("0.01"))
    assert item.parameters["prices"] == "known"
    assert items(limited("1200.00"), of=bought) == ()


def test_an_exceeded_limit_has_its_first_day_and_what_it_lacks() -> None:
    """From 2026-08-01 on the battery costs 1,300.00; before it, 1,150.00."""
    (item,) = items(limited("1250.00"))
    assert (item.code, item.since, item.amount) == ("limit_exceeded", date(2026, 8, 1), Decimal("50.00"))
    assert item.condition == "limit_exceeded:RV policy"


def test_since_when_a_limit_is_exceeded_for_more_than_a_year_is_not_said() -> None:
    (item,) = items(limited("900.00"))
    assert (item.code, item.since, item.amount) == ("limit_exceeded", None, Decimal("400.00"))


@pytest.mark.parametrize(
    ("acquired_on", "since"),
    [
        ("2026-11-28", "2026-11-28"),  # the day asked about
        ("2025-11-29", "2025-11-29"),  # 364 days before
        ("2025-11-28", None),  # 365: the first day that is looked at, before which nothing is known
    ],
)
def test_the_first_day_of_an_exceeded_limit_is_looked_for_in_the_year_before(
    acquired_on: str, since: str | None
) -> None:
    bought = battery(acquired_on=date.fromisoformat(acquired_on), price_index=None)
    (item,) = items(limited("999.99"), of=build(bought))
    assert (item.code, item.since) == ("limit_exceeded", since and date.fromisoformat(since))


def test_without_a_trend_only_what_is_exceeded_now_is_said() -> None:
    still = build(battery(price_index=None))
    assert items(limited("1000.00"), of=still, limit_days=3650) == ()
    assert [item.code for item in items(limited("999.99"), of=still)] == ["limit_exceeded"]


@pytest.mark.parametrize(
    ("policy", "is_exceeded"),
    [
        (limited("1000.00", "replacement_cost"), True),
        (limited("1000.00", "actual_cash_value"), False),
        (limited("1000.00", None), False),
        (limited("1000.00", "agreed_value", amount=Decimal("5000.00")), True),
        (limited("5000.00", "agreed_value", amount=Decimal("1000.00")), True),
        (limited("5000.00", "stated_amount", amount=Decimal("1000.00")), False),
        (limited("5000.00", "stated_amount", amount=Decimal("640.00")), True),
        (limited("1.00", "market_value", amount=Decimal("640.00")), False),
        (limited("640.00", "market_value"), True),
        (limited("1.00", covers_damage=False), False),
        (Policy(name="RV policy", basis="replacement_cost", without=("limit",)), False),
        (Policy(name="RV policy", basis="actual_cash_value", amount=Decimal("1.00"), without=("limit",)), False),
    ],
)
def test_a_limit_has_to_cover_the_value_that_the_policy_pays_by(policy: Policy, is_exceeded: bool) -> None:
    """Replacement cost 1,300.00; half of it is worn, by the table of the schedule, so the cash value is 650.00."""
    worn = build(battery(schedule=HALF_WORN))
    assert bool(items(policy, of=worn, limit_days=0)) is is_exceeded


def test_a_recorded_answer_is_the_term_of_the_policy() -> None:
    answer = Answer(policy="RV policy", term="limit", value="900", said_on=TODAY)
    asked = Policy(name="RV policy", basis="replacement_cost")
    assert items(asked) == ()
    assert [item.code for item in items(asked, answers=[answer])] == ["limit_exceeded"]


THEFT = Loss(name="theft", peril="theft")


def test_a_gap_needs_attention_from_the_threshold_on() -> None:
    """Of 1,300.00 the limit pays 1,000.00."""
    policy = limited("1000.00", settles_as="built_use", excluded_perils=(), sublimits=(), coinsurance_rate=Decimal(0))
    (item,) = [each for each in items(policy, losses=[THEFT], gap_over=Decimal("299.99")) if each.code == "gap"]
    assert (item.policy, item.loss, item.amount, item.since) == ("RV policy", "theft", Decimal("300.00"), None)
    assert item.parameters["cost"] == "1300.00"
    assert "gap" not in {each.code for each in items(policy, losses=[THEFT], gap_over=Decimal("300.00"))}


@pytest.mark.parametrize(("limit", "is_item"), [("975.00", False), ("974.99", True)])
def test_without_an_amount_a_quarter_of_the_cost_is_the_threshold(limit: str, is_item: bool) -> None:
    """A quarter of 1,300.00 is 325.00."""
    policy = limited(limit, settles_as="built_use", excluded_perils=(), sublimits=(), coinsurance_rate=Decimal(0))
    assert ("gap" in {each.code for each in items(policy, losses=[THEFT])}) is is_item


def test_a_gap_that_rests_on_terms_that_are_not_known_says_so() -> None:
    """Not known whether theft is excluded: nothing of 1,300.00 is paid at worst, and 1,000.00 if it is not."""
    known: Any = {"settles_as": "built_use", "sublimits": (), "coinsurance_rate": Decimal(0)}
    open_term = limited("1000.00", **known)
    (item,) = [each for each in items(open_term, losses=[THEFT]) if each.code == "gap"]
    assert (item.amount, item.parameters["unknown"]) == (Decimal("1300.00"), "1")
    text = create_attention(AttentionRequest(build=build(), policies=(open_term,), losses=(THEFT,), as_of=TODAY)).items
    assert "up to $1,300.00 would not be paid. Terms that are not known: 1." in text[1].text
    settled = limited("900.00", excluded_perils=(), **known)
    (item,) = [each for each in items(settled, losses=[THEFT]) if each.code == "gap"]
    assert "unknown" not in item.parameters


def test_policies_that_share_a_loss_count_the_terms_of_all_of_them() -> None:
    """The second may exclude theft: then the first pays 500.00 of 1,300.00 alone."""
    terms: Any = {"settles_as": "built_use", "sublimits": (), "coinsurance_rate": Decimal(0), "deductible": Decimal(0)}
    first = Policy(name="first", basis="replacement_cost", limit=Decimal(500), excluded_perils=(), **terms)
    second = Policy(name="second", basis="replacement_cost", limit=Decimal(500), **terms)
    alone = Policy(name="alone", basis="replacement_cost", limit=Decimal(500), **terms)
    shared = Coordination(method="primary_excess", policies=("first", "second"))
    found = items(first, second, alone, losses=[THEFT], coordination=shared)
    (item,) = [each for each in found if each.code == "gap" and each.policy is None]
    assert (item.amount, item.parameters["unknown"]) == (Decimal("800.00"), "1")


def test_policies_that_share_a_loss_have_one_gap() -> None:
    """Each pays 500.00 of 1,300.00: together 1,000.00."""
    terms: Any = {"settles_as": "built_use", "excluded_perils": (), "sublimits": (), "coinsurance_rate": Decimal(0)}
    both = [
        Policy(name=name, basis="replacement_cost", limit=Decimal(500), deductible=Decimal(0), **terms)
        for name in ("first", "second")
    ]
    shared = Coordination(method="primary_excess", policies=("first", "second"))
    found = items(*both, losses=[THEFT], coordination=shared, gap_over=Decimal(200))
    assert [(each.policy, each.amount) for each in found if each.code == "gap"] == [(None, Decimal("300.00"))]


@pytest.mark.parametrize(("said_on", "is_old"), [("2025-11-28", False), ("2025-11-27", True)])
def test_an_answer_older_than_a_year_is_old(said_on: str, is_old: bool) -> None:
    """From 2025-11-28 to 2026-11-28 there are 365 days."""
    answer = Answer(policy="RV policy", term="deductible", value="250", said_on=date.fromisoformat(said_on))
    found = items(Policy(name="RV policy"), answers=[answer])
    assert [item.code for item in found] == ["answer_old"] * is_old
    if is_old:
        assert (found[0].since, found[0].amount, found[0].policy) == (TODAY, None, "RV policy")
        assert found[0].parameters["days"] == "366"
        assert found[0].condition == "answer_old:RV policy:deductible:2025-11-27"


def test_only_the_newest_answer_counts_and_only_one_with_a_day_and_a_value() -> None:
    old, new = date(2024, 1, 2), date(2026, 10, 1)
    about: Any = {"policy": "RV policy", "term": "deductible"}
    assert items(answers=[Answer(**about, value="250", said_on=new), Answer(**about, value="200", said_on=old)]) == ()
    assert items(answers=[Answer(**about, value="250")]) == ()
    assert items(answers=[Answer(**about, value=None, said_on=old)]) == ()


def test_a_price_ages_and_what_was_measured_does_not() -> None:
    old = date(2024, 1, 2)
    answers = [
        Answer(fact="market_value", value="900", said_on=old),
        Answer(fact="has_cooking", value=True, said_on=old),
        Answer(loss="theft", term="salvage_value", value="10", said_on=old),
    ]
    found = items(answers=answers, losses=[THEFT])
    assert [item.condition for item in found] == [
        "answer_old::market_value:2024-01-02",
        "answer_old:theft:salvage_value:2024-01-02",
    ]


@pytest.mark.parametrize(
    ("valid_until", "days", "is_item"),
    [("2026-12-13", 14, False), ("2026-12-12", 14, True), ("2026-11-20", 0, True), ("2026-11-29", 0, False)],
)
def test_a_quote_expires_soon(valid_until: str, days: int, is_item: bool) -> None:
    quote = OpenQuote(name="Q-7", valid_until=date.fromisoformat(valid_until), total=Decimal("18450.00"))
    found = items(quotes=[quote], quote_days=days)
    told = [(item.code, item.since, item.amount) for item in found]
    assert told == [("quote_expires", quote.valid_until, Decimal("18450.00"))] * is_item


def test_a_projection_goes_on_from_the_last_known_month() -> None:
    """15 in twelve months is 1.25 a month; the months from the last known one to the valuation month stay as held."""
    months = with_projected_prices(build(), TODAY, date(2027, 2, 26)).price_indexes["own"]
    told = [(each.month, each.value) for each in months[3:]]
    assert told == [("2026-12", Decimal("131.25")), ("2027-01", Decimal("132.5")), ("2027-02", Decimal("133.75"))]


@pytest.mark.parametrize(
    "months",
    [
        (),
        index(m2026_08="130"),
        index(m2025_09="115", m2026_08="130"),  # eleven months are no year
        index(m2024_01="100", m2025_10="130"),  # 13 months ago: too old to say how prices move now
        index(m2025_08="130", m2026_08="130"),
        index(m2025_08="1000", m2026_08="1"),  # it would fall below nothing
    ],
)
def test_an_index_without_a_trend_is_not_continued(months: Sequence[IndexMonth]) -> None:
    plain = build(months=months)
    assert with_projected_prices(plain, TODAY, date(2027, 2, 26)) is plain


def test_a_falling_index_goes_on_falling_as_long_as_it_is_a_price() -> None:
    """30 less in a year: 2.50 a month from 20, so seven months are above nothing."""
    months = with_projected_prices(build(months=index(m2025_11="50", m2026_11="20")), TODAY, date(2028, 1, 1))
    told = [each.value for each in months.price_indexes["own"][2:]]
    assert told == [
        Decimal("17.5"),
        Decimal(15),
        Decimal("12.5"),
        Decimal(10),
        Decimal("7.5"),
        Decimal(5),
        Decimal("2.5"),
    ]


def test_an_index_below_one_goes_on_too() -> None:
    """0.60 less in a year: 0.05 a month from 0.60."""
    months = with_projected_prices(build(months=index(m2025_11="1.2", m2026_11="0.6")), TODAY, date(2027, 1, 1))
    assert [each.value for each in months.price_indexes["own"][2:]] == [Decimal("0.55"), Decimal("0.5")]


def test_the_ends_of_the_calendar_are_no_fault() -> None:
    for day in (date(1, 1, 2), date(9999, 12, 30)):
        assert items(limited("5000000.00"), as_of=day, limit_days=3650) == ()


def test_an_index_whose_last_month_is_twelve_months_ago_still_has_a_trend() -> None:
    """12 in twelve months is 1 a month; the month after the valuation month is the first that moves."""
    months = with_projected_prices(
        build(months=index(m2024_11="100", m2025_11="112")), TODAY, date(2026, 12, 5)
    ).price_indexes["own"]
    assert [(each.month, each.value) for each in months[2:]] == [("2026-12", Decimal(113))]
