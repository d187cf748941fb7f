"""A value curve: what the trailer costs and is worth on a series of dates, and how long a limit covers it."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.note import Note
from hitchworth.model.numbers import RoundedAmount

ValueBasis: TypeAlias = Literal["actual_cash_value", "replacement_cost"]
"""The value that a limit has to cover.

actual_cash_value: replacement cost less depreciation
replacement_cost: replacement cost new
"""

FoundBy: TypeAlias = Literal["first_date", "day_of_change", "bisection", "given_date"]
"""How a day was found on which a limit begins or ceases to cover the value.

first_date: the first of the dates
day_of_change: a day on which something changes (a component, work, a quote, a month of an index); each was valued,
  because the value can rise on no other day
bisection: a day between two days of change, found by halving, because the value only falls between them
given_date: one of the dates given, after the search had ended; the change may have come earlier
"""


class CurvePoint(Struct, frozen=True, kw_only=True):
    """The values on one date."""

    as_of: Annotated[date, Meta(description="The date.")]
    replacement_cost: Annotated[RoundedAmount, Meta(description="Replacement cost new.")]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="Replacement cost less depreciation.")]
    limit: Annotated[
        Decimal | None, Meta(description="The limit of the request, in the build's currency. Null: none was given.")
    ]
    insurance_to_value: Annotated[
        Decimal | None,
        Meta(description="Limit / value on the basis of the curve, to four places. Null: no limit, or a value of 0."),
    ]
    covered: Annotated[
        bool | None, Meta(description="The limit is at least the value on the basis of the curve. Null: no limit.")
    ]


class LimitCrossing(Struct, frozen=True, kw_only=True):
    """A day from which on the limit covers the value, or no longer does."""

    on: Annotated[date, Meta(description="The day.")]
    covered: Annotated[bool, Meta(description="True: the limit covers the value from this day on. False: it does not.")]
    value: Annotated[RoundedAmount, Meta(description="The value on that day, on the basis of the curve.")]
    found_by: Annotated[FoundBy, Meta(description="How the day was found.")]
    label: Annotated[str, Meta(description="The same in words, in the language of the request's locale.")] = ""


class ValueChange(Struct, frozen=True, kw_only=True):
    """A step of the curve: the values on a day on which something changes, and on the day before it."""

    on: Annotated[date, Meta(description="The day.")]
    replacement_cost_before: Annotated[RoundedAmount, Meta(description="Replacement cost new on the day before.")]
    replacement_cost: Annotated[RoundedAmount, Meta(description="Replacement cost new on the day.")]
    actual_cash_value_before: Annotated[RoundedAmount, Meta(description="Actual cash value on the day before.")]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="Actual cash value on the day.")]


class ValueCurve(Struct, frozen=True, kw_only=True):
    """The value over time.

    The crossings account for every day from the first date to searched_until; after it, only for the dates given.
    """

    currency: Annotated[str, Meta(description="The build's currency, ISO 4217; every amount is in it.")]
    locale: Annotated[str, Meta(description="Locale of the texts: the one requested, or the nearest available.")]
    basis: Annotated[ValueBasis, Meta(description="The value that the limit has to cover.")]
    limit: Annotated[
        Decimal | None, Meta(description="The limit of the request, in the build's currency. Null: none was given.")
    ]
    points: Annotated[tuple[CurvePoint, ...], Meta(description="The values on the dates given, in their order.")]
    changes: Annotated[
        tuple[ValueChange, ...],
        Meta(description="The steps of the curve on days of change and at crossings; of very many, an even selection."),
    ]
    limit_exceeded_on: Annotated[
        date | None,
        Meta(
            description="First day, from the first date on, on which the limit does not cover the value; after "
            "searched_until the first such date of those given. Null: no limit, or it always covers."
        ),
    ]
    crossings: Annotated[
        tuple[LimitCrossing, ...],
        Meta(
            description="In order of day; the first says whether the limit covers on the first date. Empty: no limit."
        ),
    ]
    searched_until: Annotated[
        date | None,
        Meta(
            description="The crossings are complete up to this day; the last date, unless a note says why not. Null: "
            "no limit."
        ),
    ]
    notes: Annotated[tuple[Note, ...], Meta(description="What was assumed or could not be applied.")]
    statement: Annotated[str, Meta(description="What the curve shows, in a sentence or two.")] = ""
