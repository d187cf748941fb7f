"""A document: a build with everything around it, as a person keeps it in one file, sends it and has it kept."""

from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.answer import Answer
from hitchworth.model.build import Build
from hitchworth.model.evidence import EvidenceList
from hitchworth.model.loss import Loss
from hitchworth.model.options import Options
from hitchworth.model.policy import Coordination, Policy
from hitchworth.model.sales_comparison import AdjustmentTerms, Comparable, Traits
from hitchworth.model.strings import Jurisdiction

FORMAT = 1
"""The version of the document format that this release reads and writes. `validation.document_format` upgrades older
ones; a change that an older document does not fit makes a new version and a step there."""

Format = Annotated[
    int,
    Meta(
        ge=1,
        description="Version of the document format. Left out: 1, the format of the documents that name none. An "
        "older one is upgraded when it is read.",
    ),
]
Policies = Annotated[
    tuple[Policy, ...], Meta(max_length=50, description="The policies to settle under. Default: none.")
]
Losses = Annotated[
    tuple[Loss, ...],
    Meta(max_length=50, description="The losses to settle; every policy is applied to every loss. Default: none."),
]
SharedLosses = Annotated[
    Coordination | None,
    Meta(description="How several policies share one loss. Null: each policy is settled by itself."),
]
Answers = Annotated[
    tuple[Answer, ...],
    Meta(max_length=500, description="Recorded answers; they replace the terms and facts that they settle."),
]
Photo = Annotated[
    bytes | None,
    Meta(
        description="A photo of the trailer for the conversation sheet: a JPEG, PNG or WebP file in base64. It is "
        "printed without the date and place that are stored in it. Null: none."
    ),
]
RequestOptions = Annotated[Options, Meta(description="How the estimate is computed.")]
Locale = Annotated[
    str,
    Meta(pattern="^[a-z]{2}(-[A-Z]{2})?$", description="A language, and a region where it matters: de, en-US, de-AT."),
]
TravelsTo = Annotated[
    tuple[Jurisdiction, ...],
    Meta(max_length=20, description="Jurisdictions to which it travels, where its class is judged too: GB, DE."),
]


class Sales(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What similar trailers sold for: the market value of the build where none is entered."""

    subject: Annotated[Traits, Meta(description="The trailer, as the comparables are compared with it.")]
    comparables: Annotated[
        tuple[Comparable, ...], Meta(min_length=1, max_length=50, description="Similar trailers that were sold.")
    ]
    adjustments: Annotated[AdjustmentTerms, Meta(description="The rows of the adjustment grid. Default: none.")] = (
        AdjustmentTerms()
    )


KnownSales = Annotated[
    Sales | None,
    Meta(
        description="Comparable sales. Their value on the date stands for market_value where the build has none. "
        "Null: none are known."
    ),
]


class Document(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A build with everything around it, as a person keeps it in one file and sends it to any computation.

    It has no date of its own: what is computed from it is computed as of a date.
    """

    format: Format = 1
    build: Annotated[Build, Meta(description="The trailer.")]
    policies: Policies = ()
    losses: Losses = ()
    coordination: SharedLosses = None
    travels_to: TravelsTo = ()
    answers: Answers = ()
    sales_comparison: KnownSales = None
    options: RequestOptions = Options()
    locale: Locale = "en-US"
    photo: Photo = None
    evidence: EvidenceList = ()
