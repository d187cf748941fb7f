"""What changed between two documents: entry by entry, field by field, with the effect on the values."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.estimate_comparison import EstimateComparison
from hitchworth.model.note import Note
from hitchworth.model.numbers import RoundedAmount

EntryKind: TypeAlias = Literal[
    "component",
    "refund",
    "labor",
    "protection",
    "circuit",
    "schedule",
    "price_index",
    "policy",
    "loss",
    "answer",
    "fact",
    "use",
    "build",
    "base",
    "owner",
    "indirect_costs",
    "options",
    "coordination",
    "evidence",
    "document",
]
"""What an entry of a document is.

component: a part
refund: a part, or some units of it, that was given back
labor: work
protection: a measure against loss
circuit: a low-voltage circuit
schedule: a schedule of your own
price_index: a price index of your own
policy: a policy
loss: a loss
answer: a recorded answer
fact: a fact about the trailer
use: a use of the trailer
build: a field of the build itself
base: the trailer that was bought, or the frame
owner: the owner; the values are not repeated
indirect_costs: overhead, profit, freight and sales tax
options: how the estimate is computed
coordination: how several policies share a loss
evidence: a photo or paper
document: a field of the document itself
"""

Action: TypeAlias = Literal["added", "removed", "renamed", "changed"]
"""What happened to an entry.

added: it is only in the second document
removed: it is only in the first document
renamed: it has another id or name, and nothing else of it changed
changed: fields of it changed
"""

FieldAction: TypeAlias = Literal["repriced", "changed", "entered", "cleared", "contents"]
"""What happened to a field.

repriced: a price or rate changed
changed: the value changed
entered: it had no value before
cleared: it has no value any more
contents: something in a list or record of it changed
"""


class FieldChange(Struct, frozen=True, kw_only=True):
    """A field of an entry whose value changed."""

    field: Annotated[str, Meta(description="The field, by its name in the document; covers_perils.NAME: one of it.")]
    action: Annotated[FieldAction, Meta(description="What happened to it.")]
    before: Annotated[
        str | None, Meta(description="Its value in the first document, as plain text; null: none, or not repeated.")
    ] = None
    after: Annotated[
        str | None, Meta(description="Its value in the second document, as plain text; null: none, or not repeated.")
    ] = None
    text: Annotated[str, Meta(description="The change in words, in the language of the locale.")] = ""


class DocumentChange(Struct, frozen=True, kw_only=True):
    """An entry that differs between two documents."""

    kind: Annotated[EntryKind, Meta(description="What the entry is.")]
    action: Annotated[Action, Meta(description="What happened to it.")]
    name: Annotated[
        str,
        Meta(description="Its id or name, in the second document where it is in both; empty: there is only one such."),
    ] = ""
    description: Annotated[str, Meta(description="What it is, as the document says.")] = ""
    renamed_from: Annotated[
        str | None, Meta(description="Its id or name in the first document, if renamed. Null: it was not.")
    ] = None
    refund_of: Annotated[
        str | None, Meta(description="Of a refund: the component that it takes back. Null: no refund.")
    ] = None
    policy: Annotated[
        str | None, Meta(description="Of an answer on a term: the policy. Null: no answer on a term.")
    ] = None
    currency: Annotated[str | None, Meta(description="Currency of its amounts, ISO 4217. Null: it has none.")] = None
    fields: Annotated[tuple[FieldChange, ...], Meta(description="The fields that changed.")] = ()
    replacement_cost: Annotated[
        RoundedAmount | None,
        Meta(description="What it changes of replacement cost, with aging between the dates; null: not a line."),
    ] = None
    actual_cash_value: Annotated[
        RoundedAmount | None,
        Meta(description="What it changes of actual cash value, with aging between the dates; null: not a line."),
    ] = None
    text: Annotated[str, Meta(description="The change in words, in the language of the locale.")] = ""


class DatedDigest(Struct, frozen=True, kw_only=True):
    """One of the two documents, in short."""

    name: Annotated[str, Meta(description="Name of the build.")]
    as_of: Annotated[date, Meta(description="Valuation date.")]
    digest: Annotated[str, Meta(description="The digest that a gap statement of it has on this date.")]


class DocumentComparison(Struct, frozen=True, kw_only=True):
    """What changed from one document to another, in words, and what that changes of the values."""

    locale: Annotated[str, Meta(description="Locale of the texts: the one requested, or the nearest available.")]
    before: Annotated[DatedDigest, Meta(description="The first document.")]
    after: Annotated[DatedDigest, Meta(description="The second document.")]
    changes: Annotated[
        tuple[DocumentChange, ...],
        Meta(description="The entries that differ. The order of entries, and how a number is written, do not count."),
    ]
    estimates: Annotated[
        EstimateComparison | None,
        Meta(description="The two estimates compared. Null: they cannot be; a note says why."),
    ]
    notes: Annotated[tuple[Note, ...], Meta(description="What could not be compared.")] = ()
    statement: Annotated[str, Meta(description="How much changed, and the values before and after.")] = ""
