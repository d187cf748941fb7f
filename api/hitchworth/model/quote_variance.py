"""A quote against what was built: the variance by line, by category and by cause, and what hours it took."""

from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.estimate import LineKind
from hitchworth.model.note import Note
from hitchworth.model.numbers import RoundedAmount

VarianceCause: TypeAlias = Literal["scope", "quantity", "labor_hours", "price"]
"""Why a line cost something else than was quoted.

scope: it was quoted and not built, or built without a quote or change order
quantity: more or less was bought
labor_hours: the work took more or fewer hours
price: another price, or another rate of hired work
"""


class CauseAmount(Struct, frozen=True, kw_only=True):
    """What one cause comes to."""

    cause: Annotated[VarianceCause, Meta(description="The cause.")]
    amount: Annotated[RoundedAmount, Meta(description="Built less quoted; negative: it cost less.")]
    label: Annotated[str, Meta(description="The cause in words, in the language of the request's locale.")] = ""


class VarianceLine(Struct, frozen=True, kw_only=True):
    """A line that cost something else than was quoted. Its causes add up to its variance."""

    id: Annotated[str, Meta(description="Id of the line; the same id is the same line.")]
    kind: Annotated[LineKind, Meta(description="What the line is.")]
    description: Annotated[str, Meta(description="What it is.")]
    category: Annotated[str, Meta(description="Its category.")]
    variance: Annotated[RoundedAmount, Meta(description="Built less quoted; negative: it cost less.")]
    causes: Annotated[tuple[CauseAmount, ...], Meta(description="Its causes.")]


class CategoryVariance(Struct, frozen=True, kw_only=True):
    """The variance of one category by cause."""

    category: Annotated[str, Meta(description="The category.")]
    quoted: Annotated[RoundedAmount, Meta(description="Direct cost as quoted, accepted changes included.")]
    built: Annotated[RoundedAmount, Meta(description="Direct cost as built.")]
    variance: Annotated[RoundedAmount, Meta(description="Built less quoted; negative: it cost less.")]
    causes: Annotated[tuple[CauseAmount, ...], Meta(description="The causes that come to something.")]


class HoursLearned(Struct, frozen=True, kw_only=True):
    """What the next quote should know about one kind of work: built hours as a multiple of quoted hours."""

    category: Annotated[str, Meta(description="The kind of work, the category of its labor entries.")]
    quoted_hours: Annotated[Decimal, Meta(description="Hours quoted, of tasks that were both quoted and done.")]
    built_hours: Annotated[Decimal, Meta(description="Hours that these tasks took.")]
    unquoted_hours: Annotated[Decimal, Meta(description="Hours of tasks that were not quoted.")]
    tasks: Annotated[int, Meta(description="Number of tasks that were both quoted and done.")]
    likely: Annotated[
        Decimal | None, Meta(description="built_hours / quoted_hours, to 4 places. Null: nothing to compare.")
    ]
    low: Annotated[
        Decimal | None, Meta(description="The least multiple of a task. Null: fewer than two tasks tell no range.")
    ]
    high: Annotated[Decimal | None, Meta(description="The greatest multiple of a task. Null: as for low.")]


class QuoteVariance(Struct, frozen=True, kw_only=True):
    """Direct cost as quoted against as built. Lines, categories and causes each add up to the variance."""

    currency: Annotated[str, Meta(description="ISO 4217 code; every amount is in it.")]
    quoted: Annotated[RoundedAmount, Meta(description="Direct cost as quoted, accepted changes included.")]
    built: Annotated[RoundedAmount, Meta(description="Direct cost as built.")]
    variance: Annotated[RoundedAmount, Meta(description="Built less quoted; negative: it cost less.")]
    causes: Annotated[tuple[CauseAmount, ...], Meta(description="The variance by cause.")]
    categories: Annotated[tuple[CategoryVariance, ...], Meta(description="The variance by category and cause.")]
    lines: Annotated[tuple[VarianceLine, ...], Meta(description="The lines that cost something else.")]
    hours: Annotated[tuple[HoursLearned, ...], Meta(description="Hours by kind of work.")]
    notes: Annotated[tuple[Note, ...], Meta(description="What was assumed.")]
    still_quoted: Annotated[
        tuple[str, ...],
        Meta(description="Ids of the lines of a kept build that have neither receipt nor hours yet: as quoted."),
    ] = ()
    statement: Annotated[str, Meta(description="The variance in a sentence.")] = ""
