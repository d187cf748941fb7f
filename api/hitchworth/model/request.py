"""What is asked of the API: the bodies of its stateless operations."""

from datetime import date
from typing import Annotated

from msgspec import Meta, Struct, field

from hitchworth.model.build import Build, FactValue
from hitchworth.model.estimate_comparison import DEFAULT_EFFECTS, LineEffect
from hitchworth.model.numbers import Amount
from hitchworth.model.options import Options
from hitchworth.model.policy import Answer, Coordination, Loss, Policy
from hitchworth.model.sales_comparison import AdjustmentTerms, ApproachWeights, Comparable, Traits
from hitchworth.model.strings import Identifier, Jurisdiction
from hitchworth.model.value_curve import ValueBasis

AsOf = Annotated[date | None, Meta(description="Valuation date. Default: today.")]
Locale = Annotated[
    str,
    Meta(pattern="^[a-z]{2}(-[A-Z]{2})?$", description="A language, and a region where it matters: de, en-US, de-AT."),
]
TravelsTo = Annotated[
    tuple[Jurisdiction, ...], Meta(max_length=20, description="Where else the class is to be judged: across a border.")
]
Policies = Annotated[tuple[Policy, ...], Meta(min_length=1, max_length=50)]
Losses = Annotated[tuple[Loss, ...], Meta(min_length=1, max_length=50)]


class EstimateRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build to value."""

    build: Build
    as_of: AsOf = None
    options: Options = Options()
    locale: Locale = "en-US"


class ClassificationRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build to class; or, without a build, its jurisdiction, registered class and facts."""

    build: Build | None = None
    jurisdiction: Jurisdiction | None = None
    registered_class: Identifier | None = None
    vin: Identifier | None = None
    facts: dict[Identifier, FactValue] = field(default_factory=dict)
    travels_to: TravelsTo = ()
    as_of: AsOf = None
    locale: Locale = "en-US"


class SettlementRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Policies to try against losses."""

    build: Build
    policies: Policies
    losses: Losses
    coordination: Coordination | None = None
    as_of: AsOf = None
    options: Options = Options()
    locale: Locale = "en-US"


class GapRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """All that a gap statement or a conversation sheet is made from."""

    build: Build
    policies: Policies
    losses: Losses
    coordination: Coordination | None = None
    travels_to: TravelsTo = ()
    answers: Annotated[tuple[Answer, ...], Meta(max_length=500)] = ()
    as_of: AsOf = None
    options: Options = Options()
    locale: Locale = "en-US"


class SalesComparisonRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build to value a second way: by what like trailers sold for."""

    build: Build
    subject: Annotated[
        Traits,
        Meta(
            description="The build, as the comparables are compared with it. Default of its age: that of its oldest "
            "part of a kind that a plain trailer comes with."
        ),
    ]
    comparables: Annotated[tuple[Comparable, ...], Meta(min_length=1, max_length=50)]
    adjustments: AdjustmentTerms = AdjustmentTerms()
    weights: ApproachWeights = ApproachWeights()
    as_of: AsOf = None
    options: Options = Options()
    locale: Locale = "en-US"


class ValueCurveRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build to value on a row of dates, and a limit to hold against the values."""

    build: Build
    dates: Annotated[tuple[date, ...], Meta(min_length=1, max_length=400, description="Rising, past or to come.")]
    limit: Amount | None = None
    basis: Annotated[ValueBasis, Meta(description="The value that the limit has to cover.")] = "actual_cash_value"
    options: Options = Options()
    locale: Locale = "en-US"


class DatedBuild(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build as it stood or will stand: one revision, quoted or as built, on one date."""

    build: Build
    as_of: AsOf = None


class EstimateComparisonRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Two estimates to compare: two dates, two revisions, the quote and the trailer as built."""

    before: DatedBuild
    after: DatedBuild
    order: Annotated[
        tuple[LineEffect, ...],
        Meta(
            max_length=6,
            description="The order in which the effects on a line are taken, each once. The other way round, the "
            "comparison of after with before has every effect with the opposite sign.",
        ),
    ] = DEFAULT_EFFECTS
    options: Options = Options()
    locale: Locale = "en-US"


class ProtectionRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build whose measures and circuits are to be checked; policies only for discounts given as a rate."""

    build: Build
    policies: Annotated[tuple[Policy, ...], Meta(max_length=50)] = ()
    as_of: AsOf = None
    locale: Locale = "en-US"
