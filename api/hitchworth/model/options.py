"""How an estimate is computed, where practice leaves a choice. Every default is stated here."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import Coefficient, Share
from hitchworth.model.strings import Identifier

DayCount: TypeAlias = Literal["days_365_25", "complete_months", "complete_years"]
"""How the age in years is counted.

days_365_25: calendar days / 365.25
complete_months: complete months / 12
complete_years: complete years only
"""

Rounding: TypeAlias = Literal["half_up", "half_even"]
"""How an amount exactly halfway between two minor units is rounded.

half_up: away from zero, 0.125 is 0.13
half_even: to the even minor unit, 0.125 is 0.12
"""

ExchangeRates: TypeAlias = Literal["given", "ecb"]
"""Where the exchange rates of lines in another currency come from.

given: every such line states its own exchange_rate
ecb: a line without one takes the European Central Bank's reference rate of the day of purchase, or of the quote
"""

ThreePoint: TypeAlias = Literal["pert", "triangular"]
"""How the cost of a line is distributed between its low and its high.

pert: PERT's beta distribution, with the mean (low + 4 likely + high) / 6
triangular: the triangular distribution, wider, with the mean (low + likely + high) / 3
"""

LaborDepreciation: TypeAlias = Literal["none", "with_component", "own"]
"""How labor is depreciated.

none: labor keeps its replacement cost
with_component: labor depreciates with the component that it serves, or by its own schedule where it serves none
own: labor depreciates by its own schedule, or by that of its category
"""


class Options(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Choices of the computation."""

    day_count: Annotated[DayCount, Meta(description="How the age in years is counted.")] = "days_365_25"
    rounding: Annotated[
        Rounding, Meta(description="How an amount exactly halfway between two minor units is rounded.")
    ] = "half_up"
    labor_depreciation: Annotated[
        LaborDepreciation,
        Meta(
            description="How the estimate depreciates labor. A settlement follows the policy's depreciates_labor; "
            "there, none counts as with_component."
        ),
    ] = "none"
    confidence: Annotated[
        Share,
        Meta(description="Probability with which the band holds the true replacement cost, from 0.5 to 0.999."),
    ] = Decimal("0.9")
    correlation: Annotated[
        Coefficient,
        Meta(
            description="Correlation of the errors of any two lines (of their normal scores): 0 independent, 1 fully "
            "together."
        ),
    ] = Decimal("0.2")
    three_point: Annotated[
        ThreePoint, Meta(description="How the cost of a line is distributed between its low and its high.")
    ] = "pert"
    exchange_rates: Annotated[
        ExchangeRates,
        Meta(
            description="Where the exchange rates of lines in another currency come from. For ecb the server must have "
            "the rates installed."
        ),
    ] = "given"
    whole_trailer_schedule: Annotated[
        Identifier | None,
        Meta(
            description="Name of a schedule by which to value the whole trailer too, beside the lines. Null: do not. "
            "The result is whole_trailer_value."
        ),
    ] = None
    whole_trailer_in_service_on: Annotated[
        date | None,
        Meta(description="The whole trailer's age counts from this day. Null: from the first day of its components."),
    ] = None
    workings: Annotated[
        bool, Meta(description="True: each line of the estimate has workings, its formulas with their numbers.")
    ] = False
