"""The requests of the API: the bodies of its computations. Nothing of them is stored."""

from datetime import date
from typing import Annotated

from msgspec import Meta, Struct, field

from hitchworth.model.build import Build, FactValue
from hitchworth.model.document import (
    Answers,
    Document,
    Format,
    KnownSales,
    Locale,
    Losses,
    Photo,
    Policies,
    RequestOptions,
    SharedLosses,
    TravelsTo,
)
from hitchworth.model.estimate_comparison import DEFAULT_EFFECTS, LineEffect
from hitchworth.model.evidence import EvidenceList
from hitchworth.model.numbers import Amount
from hitchworth.model.options import Options
from hitchworth.model.progress_bill import Progress
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.sales_comparison import AdjustmentTerms, ApproachWeights, Comparable, Traits
from hitchworth.model.strings import Identifier, Jurisdiction
from hitchworth.model.value_curve import ValueBasis

AsOf = Annotated[date | None, Meta(description="Valuation date. Null: today, where the server is.")]


class EstimateRequest(Document, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A document whose build is to be valued. Policies, losses and answers are not used."""

    as_of: AsOf = None


class ClassificationRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A document whose build is to be classified; or, without a build, its jurisdiction, registered class and facts.

    Of the recorded answers, those that settle facts are used; policies and losses are not.
    """

    format: Format = 1
    build: Annotated[
        Build | None, Meta(description="The trailer. Null: it is described by the next four fields instead.")
    ] = None
    jurisdiction: Annotated[
        Jurisdiction | None,
        Meta(
            description="Where it is registered: US-WA, GB, DE. Only without a build. Null: not known, so the class "
            "cannot be judged."
        ),
    ] = None
    registered_class: Annotated[
        Identifier | None,
        Meta(description="The class that the title or registration names. Only without a build. Null: not known."),
    ] = None
    vin: Annotated[
        Identifier | None,
        Meta(description="Identification number (VIN). Only without a build. Null: none or not known."),
    ] = None
    facts: Annotated[
        dict[Identifier, FactValue],
        Meta(description="Facts about the trailer, by their names in GET /v1/facts. Only without a build."),
    ] = field(default_factory=dict)
    policies: Policies = ()
    losses: Losses = ()
    coordination: SharedLosses = None
    travels_to: TravelsTo = ()
    answers: Answers = ()
    sales_comparison: KnownSales = None
    options: RequestOptions = Options()
    as_of: Annotated[
        date | None,
        Meta(description="The date whose definitions apply, not in the future. Null: today, where the server is."),
    ] = None
    locale: Locale = "en-US"
    photo: Photo = None
    evidence: EvidenceList = ()


class SettlementRequest(Document, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Policies to apply to losses, the recorded answers taken into account."""

    as_of: Annotated[
        date | None,
        Meta(
            description="The date whose definitions of classes apply, and the day of losses without one of their own. "
            "Null: today, where the server is."
        ),
    ] = None


class GapRequest(Document, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Everything that a gap statement or a report is made from."""

    as_of: Annotated[
        date | None,
        Meta(
            description="Valuation date of the estimate and the assessment, and the day of losses without one of their "
            "own. Null: today, where the server is."
        ),
    ] = None


class SalesComparisonRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build to value by what similar trailers sold for, beside the value by cost."""

    build: Annotated[Build, Meta(description="The trailer.")]
    subject: Annotated[
        Traits,
        Meta(
            description="The trailer, as the comparables are compared with it. Its age_years, when null, is that of "
            "its oldest component of a kind that a plain trailer comes with."
        ),
    ]
    comparables: Annotated[
        tuple[Comparable, ...], Meta(min_length=1, max_length=50, description="Similar trailers that were sold.")
    ]
    adjustments: Annotated[AdjustmentTerms, Meta(description="The rows of the adjustment grid. Default: none.")] = (
        AdjustmentTerms()
    )
    weights: Annotated[ApproachWeights, Meta(description="How much each approach counts. Default: the same.")] = (
        ApproachWeights()
    )
    as_of: AsOf = None
    options: RequestOptions = Options()
    locale: Locale = "en-US"


class ValueCurveRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build to value on a series of dates, and a limit to compare with the values."""

    build: Annotated[Build, Meta(description="The trailer.")]
    dates: Annotated[
        tuple[date, ...],
        Meta(
            min_length=1,
            max_length=400,
            description="The dates, each later than the one before; the future is allowed.",
        ),
    ]
    limit: Annotated[
        Amount | None, Meta(description="The policy's limit, in the build's currency. Null: values only.")
    ] = None
    basis: Annotated[ValueBasis, Meta(description="The value that the limit has to cover.")] = "actual_cash_value"
    options: RequestOptions = Options()
    locale: Locale = "en-US"


class DatedBuild(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build on one date: as planned, as quoted or as built."""

    build: Annotated[Build, Meta(description="The trailer.")]
    as_of: AsOf = None


class EstimateComparisonRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Two estimates to compare: two dates, two revisions, the quote and the trailer as built."""

    before: Annotated[DatedBuild, Meta(description="The first estimate.")]
    after: Annotated[DatedBuild, Meta(description="The second estimate, in the same currency.")]
    order: Annotated[
        tuple[LineEffect, ...],
        Meta(
            max_length=6,
            description="The order of the effects on a line, each once; each is computed on what those before it have "
            "left. In the opposite order, comparing after with before gives every effect with the opposite sign.",
        ),
    ] = DEFAULT_EFFECTS
    options: RequestOptions = Options()
    locale: Locale = "en-US"


class DocumentComparisonRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Two documents to compare, each on its date: last year's and this year's, the quote and the trailer as built."""

    before: Annotated[GapRequest, Meta(description="The first document.")]
    after: Annotated[GapRequest, Meta(description="The second document. Its options are those of both estimates.")]
    locale: Locale = "en-US"


class ProtectionRequest(Document, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build whose measures and circuits are to be checked; policies only for discounts given as a rate."""

    as_of: Annotated[date | None, Meta(description="Date of the report. Null: today, where the server is.")] = None


class SerialNumberRequest(Document, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A document whose numbers are to be listed. Policies, losses and answers are not used."""

    as_of: Annotated[
        date | None,
        Meta(description="What is in the trailer on this day is listed. Null: today, where the server is."),
    ] = None


class QuoteRequest(QuoteDocument, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A document whose build is to be quoted, and how the workshop prices it. The days of its entries do not matter."""

    as_of: Annotated[date | None, Meta(description="Day of the report. Null: today, where the server is.")] = None


class QuoteVarianceRequest(QuoteRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A quote, and the trailer as it was built. Lines are matched by id; accepted change orders belong to the quote."""

    built: Annotated[Build, Meta(description="The trailer as built, in the same currency: what was paid, the hours.")]


class ProgressBillRequest(QuoteRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A contract, and how far its lines are."""

    progress: Annotated[
        tuple[Progress, ...], Meta(max_length=10_000, description="The lines on which something is done, each once.")
    ]
    earlier_certificates: Annotated[
        Amount | None,
        Meta(
            description="What earlier bills came to, before tax and without credit for the deposit. Null: the earlier "
            "work less its retainage."
        ),
    ] = None
    earlier_tax: Annotated[
        Amount | None,
        Meta(description="Tax of earlier bills. Null: that on the earlier work, as the contract is now."),
    ] = None
    earlier_deposit_credit: Annotated[
        Amount | None,
        Meta(description="Credited of the deposit on earlier bills. Null: in full, up to what they came to with tax."),
    ] = None
