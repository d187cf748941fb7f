"""A value curve: what the trailer costs and is worth on a row of dates, and how long a limit covers it."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.note import Note

ValueBasis: TypeAlias = Literal["actual_cash_value", "replacement_cost"]
FoundBy: TypeAlias = Literal["first_date", "day_of_change", "bisection", "given_date"]
"""How a day was found.

`first_date`: the first of the dates. `day_of_change`: the value can rise only on a day on which something changes (a
part comes in or goes out, work is done, a quote or a month of an index takes effect), so each of these was valued.
`bisection`: between two such days the value only falls, so the day was found by halving. `given_date`: the search had
ended before, so the given dates alone were looked at; the limit may have ceased to cover, or begun, on a day before.
"""


class CurvePoint(Struct, frozen=True, kw_only=True):
    """The values on one date."""

    as_of: date
    replacement_cost: Decimal
    actual_cash_value: Decimal
    limit: Decimal | None
    insurance_to_value: Annotated[
        Decimal | None, Meta(description="Limit over value, to four places. Null without a limit, or a value.")
    ]
    covered: Annotated[bool | None, Meta(description="The limit is no less than the value. Null without a limit.")]


class LimitCrossing(Struct, frozen=True, kw_only=True):
    """A day from which on the limit covers the value, or no longer does."""

    on: date
    covered: bool
    value: Annotated[Decimal, Meta(description="On that day, on the basis of the curve.")]
    found_by: FoundBy
    label: str = ""


class ValueChange(Struct, frozen=True, kw_only=True):
    """The values on a day on which something changes, and those of the day before it: a step of the curve."""

    on: date
    replacement_cost_before: Decimal
    replacement_cost: Decimal
    actual_cash_value_before: Decimal
    actual_cash_value: Decimal


class ValueCurve(Struct, frozen=True, kw_only=True):
    """The value over time. Every day from the first date to the one searched until is accounted for by the crossings;
    after that one, every date that was given.
    """

    currency: str
    locale: str
    basis: ValueBasis
    limit: Decimal | None
    points: tuple[CurvePoint, ...]
    changes: Annotated[
        tuple[ValueChange, ...],
        Meta(description="The days of change between the dates and the crossings; of very many, as a chart can show."),
    ]
    limit_exceeded_on: Annotated[
        date | None,
        Meta(
            description="The first day, from the first date on, on which the limit does not cover; after "
            "searched_until the first such date of those given."
        ),
    ]
    crossings: Annotated[
        tuple[LimitCrossing, ...], Meta(description="In their order; the first is how the first date stands.")
    ]
    searched_until: Annotated[
        date | None, Meta(description="The crossings are complete to this day: the last date, unless a note says why.")
    ]
    notes: tuple[Note, ...]
    statement: str = ""
