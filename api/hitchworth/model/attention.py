"""What needs attention: a limit, a gap, an answer, a quote, each with its day, its money and where to look."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.document import Document
from hitchworth.model.kept import BuildId
from hitchworth.model.numbers import Amount
from hitchworth.model.strings import Identifier

AttentionCode: TypeAlias = Literal[
    "limit_exceeded", "limit_outgrown", "gap", "answer_old", "quote_expires", "unreadable"
]
"""What needs attention.

limit_exceeded: the limit of a policy, or its agreed or stated amount, does not cover the value
limit_outgrown: it covers the value today, and will not on a day that is near
gap: what a policy leaves unpaid of a loss is above a threshold
answer_old: the newest answer to a question about a policy, a wreck or a price is older than a number of days
quote_expires: a quote that nobody has accepted is valid for a few days only, or was
unreadable: what is kept of the build cannot be valued, so nothing of it was looked at
"""


class AttentionThresholds(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """From when on something needs attention."""

    limit_days: Annotated[
        int, Meta(ge=0, le=3650, description="A limit that will be outgrown within so many days. Default: 90.")
    ] = 90
    gap_over: Annotated[
        Amount | None,
        Meta(
            description="A gap above this amount, in each build's own currency. Null: a quarter of what it costs to "
            "replace what the loss destroys."
        ),
    ] = None
    answer_days: Annotated[
        int, Meta(ge=0, le=3650, description="An answer that is older than so many days. Default: 365.")
    ] = 365
    quote_days: Annotated[
        int, Meta(ge=0, le=3650, description="A quote that expires within so many days. Default: 14.")
    ] = 14


class OpenQuote(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A quote that nobody has accepted yet."""

    name: Annotated[Identifier, Meta(description="Its number, or what you call it.")]
    valid_until: Annotated[date, Meta(description="The last day on which it can be accepted.")]
    total: Annotated[Amount | None, Meta(description="What it comes to, in the build's currency. Null: not given.")] = (
        None
    )


class AttentionRequest(Document, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A document to look through for what needs attention."""

    as_of: Annotated[date | None, Meta(description="The day. Null: today, where the server is.")] = None
    quotes: Annotated[
        tuple[OpenQuote, ...], Meta(max_length=500, description="Quotes that nobody has accepted yet. Default: none.")
    ] = ()
    thresholds: Annotated[AttentionThresholds, Meta(description="From when on something needs attention.")] = (
        AttentionThresholds()
    )


class AttentionItem(Struct, frozen=True, kw_only=True):
    """One thing that needs attention."""

    code: Annotated[AttentionCode, Meta(description="What it is.")]
    condition: Annotated[
        str,
        Meta(description="What tells it from the other items of the build: the same from day to day while it lasts."),
    ]
    name: Annotated[str, Meta(description="Name of the build.")]
    build: Annotated[BuildId | None, Meta(description="Id of the build. Null: it is not kept.")] = None
    policy: Annotated[str | None, Meta(description="The policy that it is about. Null: none, or several together.")] = (
        None
    )
    loss: Annotated[str | None, Meta(description="The loss that it is about. Null: none.")] = None
    since: Annotated[
        date | None,
        Meta(
            description="The first day on which it holds, which may be ahead: when the limit is outgrown, the quote's "
            "last day. Null: not known, or for more than a year."
        ),
    ]
    amount: Annotated[
        Decimal | None,
        Meta(
            description="The money of it, in the build's currency: what the limit lacks, what is not paid, what the "
            "quote comes to. Null: none."
        ),
    ]
    currency: Annotated[
        str | None, Meta(description="The build's currency, ISO 4217. Null: the document cannot be read.")
    ]
    path: Annotated[str | None, Meta(description="Where to look on this server. Null: the build is not kept.")] = None
    parameters: Annotated[
        dict[str, str], Meta(description="The values in the sentence, by name, as unformatted text.")
    ] = field(default_factory=dict)
    text: Annotated[str, Meta(description="The same in words, in the language of the request's locale.")] = ""


class AttentionList(Struct, frozen=True, kw_only=True):
    """What needs attention of one document: limits first, then gaps, answers and quotes."""

    as_of: Annotated[date, Meta(description="The day on which it does.")]
    locale: Annotated[str, Meta(description="Locale of the texts: the one requested, or the nearest available.")]
    currency: Annotated[str, Meta(description="The build's currency, ISO 4217; every amount is in it.")]
    items: Annotated[tuple[AttentionItem, ...], Meta(description="The items; none: nothing needs attention.")]


class AttentionPage(Struct, frozen=True, kw_only=True):
    """One page of what needs attention among the kept builds."""

    as_of: Annotated[date, Meta(description="The day on which it does.")]
    items: Annotated[tuple[AttentionItem, ...], Meta(description="The items of this page, build by build.")]
    next: Annotated[
        str | None,
        Meta(
            description="Address of the next page, also in the header Link. Null: this is the last. A page may be "
            "short or empty and have a next one: it looks through a limited number of builds."
        ),
    ]
