"""A portfolio: many builds revalued as of a date, their sums, and what changed since another revaluation."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import RoundedAmount
from hitchworth.model.value_curve import ValueBasis

LimitState: TypeAlias = Literal["exceeded", "outgrown"]
"""How a limit stands to the value.

exceeded: it does not cover the value on the valuation date
outgrown: it does, and will not on a day of the horizon
"""

PriceSource: TypeAlias = Literal["known", "trend"]
"""What the day on which a limit is outgrown rests on.

known: the months of the indexes that are known, and what is bought, removed or quoted
trend: indexes that go on as in their last twelve known months
"""

ChangeKind: TypeAlias = Literal["added", "removed", "edited", "same_document"]
"""What became of a build between two revaluations.

added: it has figures only in the later one
removed: it has figures only in the earlier one
edited: its document is another one
same_document: its document is the same, so the date alone has changed its figures
"""


HorizonDays = Annotated[int, Meta(ge=0, le=3650, description="Limits are looked at so many days ahead. Default: 365.")]
CoveredBasis = Annotated[
    ValueBasis | None,
    Meta(description="The value that a limit has to cover. Null: the value that its policy pays by."),
]


class RevaluationTerms(Struct, frozen=True, kw_only=True):
    """As of when builds are revalued, and how far ahead limits are looked at."""

    as_of: Annotated[date, Meta(description="The valuation date of every build.")]
    horizon_days: HorizonDays = 365
    basis: CoveredBasis = None


class PortfolioLimit(Struct, frozen=True, kw_only=True):
    """A limit, or an agreed or stated amount, that does not cover the value, or soon will not."""

    policy: Annotated[str, Meta(description="Name of the policy.")]
    term: Annotated[str, Meta(description="The term of the policy: limit or amount.")]
    state: Annotated[LimitState, Meta(description="How it stands to the value.")]
    limit: Annotated[Decimal, Meta(description="What it comes to, in the build's currency.")]
    basis: Annotated[ValueBasis, Meta(description="The value that it has to cover.")]
    since: Annotated[
        date | None,
        Meta(description="The first day on which it does not. Null: for longer than a year before the valuation date."),
    ]
    lacking: Annotated[
        Decimal,
        Meta(
            description="By how much it falls short: now where it is exceeded, else at most on that day and at the end "
            "of the horizon."
        ),
    ]
    prices: Annotated[
        PriceSource | None, Meta(description="What the day rests on. Null: it is exceeded on the valuation date.")
    ] = None


class RevaluedBuild(Struct, frozen=True, kw_only=True):
    """One build of a portfolio, as of the valuation date. Without figures where its document cannot be valued."""

    id: Annotated[str, Meta(description="The id of the build in its source.")]
    document: Annotated[
        str, Meta(description="First twelve digits of the SHA-256 of the document: another where that was changed.")
    ]
    name: Annotated[str | None, Meta(description="Name of the build. Null: the document cannot be read.")] = None
    currency: Annotated[
        str | None, Meta(description="ISO 4217; every amount of the build is in it. Null: the document cannot be read.")
    ] = None
    replacement_cost: Annotated[
        Decimal | None, Meta(description="Replacement cost new. Null: the document cannot be valued.")
    ] = None
    actual_cash_value: Annotated[
        Decimal | None, Meta(description="Replacement cost less depreciation. Null: the document cannot be valued.")
    ] = None
    gap: Annotated[
        Decimal | None,
        Meta(
            description="The greatest gap of its losses: what a policy, or those that share the loss, would leave "
            "unpaid; unknown terms at their least favorable. Null: the document has no policy or no loss."
        ),
    ] = None
    gap_policy: Annotated[
        str | None, Meta(description="The policy of that gap. Null: there is none, or several share the loss.")
    ] = None
    gap_loss: Annotated[str | None, Meta(description="The loss of that gap. Null: there is no gap to name.")] = None
    limits: Annotated[
        tuple[PortfolioLimit, ...], Meta(description="Limits that do not cover the value, or soon will not.")
    ] = ()
    problem: Annotated[str | None, Meta(description="Why the document cannot be valued. Null: it was.")] = None


class PortfolioRow(Struct, frozen=True, kw_only=True):
    """A revalued build in a table: of its limits, the first that does not cover the value."""

    id: str
    document: str
    name: str | None
    currency: str | None
    replacement_cost: Decimal | None
    actual_cash_value: Decimal | None
    gap: Decimal | None
    gap_policy: str | None
    gap_loss: str | None
    limit_policy: str | None
    limit_state: LimitState | None
    limit_since: date | None
    limit_lacking: Decimal | None
    problem: str | None


class GapPercentile(Struct, frozen=True, kw_only=True):
    """The least gap that so many percent of the builds do not exceed (nearest rank)."""

    percent: Annotated[int, Meta(description="The percent: 50 is the median, 100 the greatest.")]
    gap: RoundedAmount


class OutgrownInMonth(Struct, frozen=True, kw_only=True):
    """How many limits will be outgrown in a month of the horizon."""

    month: Annotated[str, Meta(description="The month, as 2027-03.")]
    limits: Annotated[int, Meta(description="Limits that cover the value until then.")]


class PortfolioSum(Struct, frozen=True, kw_only=True):
    """The builds of one currency, added up. Amounts of different currencies are never added."""

    currency: Annotated[str, Meta(description="ISO 4217; every amount is in it.")]
    builds: Annotated[int, Meta(description="Builds with figures.")]
    replacement_cost: Annotated[RoundedAmount, Meta(description="Replacement cost new of all.")]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="Actual cash value of all.")]
    builds_with_gap: Annotated[int, Meta(description="Builds that have a policy and a loss, and so a gap.")]
    gap: Annotated[RoundedAmount, Meta(description="The greatest gap of each of them, added up.")]
    gap_percentiles: Annotated[
        tuple[GapPercentile, ...], Meta(description="How the gaps of the builds are spread. None: no build has one.")
    ]
    limits_exceeded: Annotated[int, Meta(description="Limits that do not cover the value.")]
    lacking: Annotated[RoundedAmount, Meta(description="By how much these fall short, added up.")]
    limits_outgrown: Annotated[int, Meta(description="Limits that will not cover it on a day of the horizon.")]
    outgrown_by_month: Annotated[tuple[OutgrownInMonth, ...], Meta(description="The same by month, the next first.")]


class PortfolioSummary(Struct, frozen=True, kw_only=True):
    """What a portfolio comes to."""

    terms: Annotated[RevaluationTerms, Meta(description="As of when it was revalued, and how far ahead.")]
    builds: Annotated[int, Meta(description="How many builds there are.")]
    unreadable: Annotated[int, Meta(description="How many of them have no figures: their problem says why.")]
    sums: Annotated[tuple[PortfolioSum, ...], Meta(description="By currency, in alphabetical order.")]


class RevaluationChange(Struct, frozen=True, kw_only=True):
    """What changed of a build between two revaluations. Null: the build has no such figure in that one."""

    id: Annotated[str, Meta(description="The id of the build in its source.")]
    kind: Annotated[ChangeKind, Meta(description="What became of it.")]
    currency: Annotated[str, Meta(description="ISO 4217. A build whose currency changed is removed and added.")]
    replacement_cost_before: Annotated[
        Decimal | None, Meta(description="Replacement cost new in the earlier one. Null: it had none.")
    ]
    replacement_cost: Annotated[
        Decimal | None, Meta(description="Replacement cost new in the later one. Null: it has none.")
    ]
    actual_cash_value_before: Annotated[
        Decimal | None, Meta(description="Actual cash value in the earlier one. Null: it had none.")
    ]
    actual_cash_value: Annotated[
        Decimal | None, Meta(description="Actual cash value in the later one. Null: it has none.")
    ]
    gap_before: Annotated[Decimal | None, Meta(description="Greatest gap in the earlier one. Null: it had none.")]
    gap: Annotated[Decimal | None, Meta(description="Greatest gap in the later one. Null: it has none.")]


class ChangeSum(Struct, frozen=True, kw_only=True):
    """The changes of one kind in one currency, added up: later less earlier."""

    currency: Annotated[str, Meta(description="ISO 4217; every amount is in it.")]
    kind: Annotated[ChangeKind, Meta(description="What became of the builds.")]
    builds: Annotated[int, Meta(description="How many builds, also those whose figures are the same.")]
    replacement_cost: Annotated[RoundedAmount, Meta(description="By how much replacement cost new has changed.")]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="By how much the actual cash value has changed.")]
    gap: Annotated[RoundedAmount, Meta(description="By how much the sum of the greatest gaps has changed.")]


class PortfolioChanges(Struct, frozen=True, kw_only=True):
    """What changed since another revaluation, in sum: in each currency, the kinds add up to the whole difference."""

    since: Annotated[RevaluationTerms, Meta(description="As of when the earlier one was.")]
    sums: Annotated[tuple[ChangeSum, ...], Meta(description="By currency and kind.")]


class Portfolio(Struct, frozen=True, kw_only=True):
    """The kept builds of a workspace, revalued."""

    summary: Annotated[PortfolioSummary, Meta(description="What they come to.")]
    builds: Annotated[tuple[RevaluedBuild, ...], Meta(description="Each of them, in the order of the ids.")]
    changes: Annotated[
        PortfolioChanges | None, Meta(description="What changed since the day asked about. Null: none was.")
    ]
    changed: Annotated[
        tuple[RevaluationChange, ...], Meta(description="The builds whose figures or documents are not what they were.")
    ]
