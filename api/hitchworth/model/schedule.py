"""How a thing wears: a depreciation schedule."""

from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import Multiple, Share, Years

Method: TypeAlias = Literal["none", "straight_line", "declining_balance", "sum_of_years", "table", "present_worth"]
"""How percent good falls with age.

none: not depreciated
straight_line: the same share each year, down to the residual at the end of the life
declining_balance: each year the same rate of what is left, at a fixed rate or at factor / life
sum_of_years: sum of the years' digits, most in the first year
table: a table of percent good by age
present_worth: present worth of 1 a year for the remaining life over that for the whole life, at discount_rate
"""

Interpolation: TypeAlias = Literal["step", "linear"]
"""Percent good between two points of a table.

step: that of the last point reached
linear: in proportion to the age between the two points
"""

Convention: TypeAlias = Literal["by_day", "full_year", "half_year"]
"""The age that a schedule counts.

by_day: the age itself
full_year: every year begun counts in full
half_year: every year begun counts in full, the first one for half
"""


class PercentGoodPoint(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """One point of a table of percent good."""

    age_years: Annotated[Years, Meta(description="The age.")]
    percent_good: Annotated[Share, Meta(description="What is left of the replacement cost at this age.")]


class Schedule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a thing loses value with age. Percent good never falls below the residual and never rises with age."""

    method: Annotated[Method, Meta(description="How percent good falls with age.")]
    life_years: Annotated[
        Years | None,
        Meta(
            description="Economic life, more than 0. Required for straight_line, sum_of_years, present_worth and "
            "declining_balance; with a fixed rate only to switch to straight line. Null: none."
        ),
    ] = None
    residual: Annotated[
        Share,
        Meta(description="What is left of the replacement cost at the end of the life; percent good stays there."),
    ] = Decimal(0)
    factor: Annotated[
        Multiple | None,
        Meta(
            description="For declining_balance: multiple of the straight-line rate, more than 0: 2 is double "
            "declining. Null without a rate: 2."
        ),
    ] = None
    rate: Annotated[
        Share | None,
        Meta(description="For declining_balance: a fixed yearly rate, instead of a factor. Null: by factor."),
    ] = None
    switch_to_straight_line: Annotated[
        bool,
        Meta(
            description="For declining_balance: switch to straight line over the remaining life once that takes more "
            "in a year."
        ),
    ] = False
    convention: Annotated[Convention, Meta(description="The age that the schedule counts.")] = "by_day"
    points: Annotated[
        tuple[PercentGoodPoint, ...],
        Meta(
            max_length=200,
            description="For table: its points in the order of age, percent good never rising. Without a point at age "
            "0 the table begins there at 1.",
        ),
    ] = ()
    interpolation: Annotated[Interpolation, Meta(description="For table: percent good between two points.")] = "step"
    discount_rate: Annotated[
        Share | None,
        Meta(description="For present_worth, required: the yearly rate of interest. Null: with another method."),
    ] = None
