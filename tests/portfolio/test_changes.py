"""What changed between two revaluations."""

from collections.abc import Sequence
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from hitchworth.model.portfolio import ChangeSum, RevaluedBuild
from hitchworth.portfolio.changes import FIGURES, changes, is_change, sum_of_changes
from hitchworth.portfolio.summary import summarize
from portfolio_documents import TERMS


def build(identity: str, cost: int | None, document: str = "d", currency: str = "USD") -> RevaluedBuild:
    if cost is None:
        return RevaluedBuild(id=identity, document=document, problem="wrong")
    value = Decimal(cost)
    return RevaluedBuild(
        id=identity,
        document=document,
        currency=currency,
        replacement_cost=value,
        actual_cash_value=value / 2,
        gap=value / 4 if cost % 2 else None,
    )


def kinds(before: Sequence[RevaluedBuild], after: Sequence[RevaluedBuild]) -> dict[str, str]:
    return {f"{each.id} {each.currency}": each.kind for each in changes(before, after)}


def test_each_build_is_found_again_wherever_it_stands() -> None:
    before = [build("same", 4), build("edited", 6), build("gone", 8), build("broken", 2)]
    after = [build("new", 2), build("edited", 7, "other"), build("broken", None), build("same", 4)]
    found = list(changes(before, after))
    assert {each.id: each.kind for each in found} == {
        "same": "same_document",
        "edited": "edited",
        "gone": "removed",
        "broken": "removed",  # it has no figures any more
        "new": "added",
    }
    assert [each.id for each in found if not is_change(each)] == ["same"]
    edited = next(each for each in found if each.id == "edited")
    assert (edited.replacement_cost_before, edited.replacement_cost) == (Decimal(6), Decimal(7))
    assert (edited.gap_before, edited.gap) == (None, Decimal("1.75"))


def test_a_change_is_another_document_or_another_figure() -> None:
    cases = [
        (build("a", 4), build("a", 4), False),
        (build("a", 4), build("a", 4, "other"), True),  # the same figures
        (build("a", 4), replace(build("a", 4), actual_cash_value=Decimal(1)), True),  # on another date
    ]
    for before, after, changed in cases:
        (found,) = changes([before], [after])
        assert is_change(found) is changed


def test_a_build_in_another_currency_is_another_one() -> None:
    assert kinds([build("a", 4)], [build("a", 4, "d", "EUR")]) == {"a USD": "removed", "a EUR": "added"}


def test_builds_of_one_id_are_matched_in_their_order() -> None:
    found = list(changes([build("a", 1), build("a", 3)], [build("a", 5), build("a", 9), build("a", 11)]))
    pairs = [(each.replacement_cost_before, each.replacement_cost) for each in found]
    assert pairs == [(Decimal(1), Decimal(5)), (Decimal(3), Decimal(9)), (None, Decimal(11))]


def test_the_kinds_are_added_up_by_currency() -> None:
    before = [build("a", 4), build("b", 10), build("c", 8, "d", "EUR")]
    after = [build("a", 6), build("b", 20, "other")]
    total = sum_of_changes(changes(before, after), TERMS)
    assert total.since == TERMS
    assert total.sums == (
        ChangeSum(
            currency="EUR",
            kind="removed",
            builds=1,
            replacement_cost=Decimal(-8),
            actual_cash_value=Decimal(-4),
            gap=Decimal(0),
        ),
        ChangeSum(
            currency="USD",
            kind="edited",
            builds=1,
            replacement_cost=Decimal(10),
            actual_cash_value=Decimal(5),
            gap=Decimal(0),
        ),
        ChangeSum(
            currency="USD",
            kind="same_document",
            builds=1,
            replacement_cost=Decimal(2),
            actual_cash_value=Decimal(1),
            gap=Decimal(0),
        ),
    )


portfolios = st.lists(
    st.builds(
        build,
        st.sampled_from("abcdef"),
        st.none() | st.integers(0, 1000).map(lambda cost: 4 * cost + 1),
        st.sampled_from(["d", "e"]),
        st.sampled_from(["USD", "EUR"]),
    ),
    max_size=12,
)


@given(portfolios, portfolios)
def test_the_kinds_add_up_to_the_difference_of_the_sums(
    before: list[RevaluedBuild], after: list[RevaluedBuild]
) -> None:
    earlier, later = ({each.currency: each for each in summarize(side, TERMS).sums} for side in (before, after))
    found = sum_of_changes(changes(before, after), TERMS).sums
    for currency in earlier.keys() | later.keys():
        for name in FIGURES:
            difference = getattr(later.get(currency), name, Decimal()) - getattr(earlier.get(currency), name, Decimal())
            assert sum(getattr(each, name) for each in found if each.currency == currency) == difference
    counts = sum(each.builds for each in found if each.kind != "removed")
    assert counts == sum(each.builds for each in later.values())
