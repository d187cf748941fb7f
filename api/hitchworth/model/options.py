"""How an estimate is computed, where practice leaves a choice. Every default is stated here."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import Share
from hitchworth.model.strings import Identifier

DayCount: TypeAlias = Literal["days_365_25", "complete_months", "complete_years"]
Rounding: TypeAlias = Literal["half_up", "half_even"]
ExchangeRates: TypeAlias = Literal["given", "ecb"]
ThreePoint: TypeAlias = Literal["pert", "triangular"]
LaborDepreciation: TypeAlias = Literal["none", "with_component", "own"]


class Options(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Choices of the computation."""

    day_count: Annotated[
        DayCount, Meta(description="Age in years: days / 365.25, complete months / 12, or complete years.")
    ] = "days_365_25"
    rounding: Annotated[Rounding, Meta(description="Of an amount that lies half way between two minor units.")] = (
        "half_up"
    )
    labor_depreciation: Annotated[
        LaborDepreciation,
        Meta(description="Labor keeps its value, ages with the component it serves, or by its own schedule."),
    ] = "none"
    confidence: Annotated[
        Share, Meta(description="How likely the band holds the true replacement cost; from 0.5 to 0.999.")
    ] = Decimal("0.9")
    correlation: Annotated[
        Share, Meta(description="How far the errors of two lines go together: 0 not at all, 1 fully.")
    ] = Decimal("0.2")
    three_point: Annotated[
        ThreePoint,
        Meta(
            description="How low, likely and high of a line make its mean and deviation. PERT: (low + 4 likely + high) "
            "/ 6 and (high - low) / 6. Triangular: the mean of the three, and wider."
        ),
    ] = "pert"
    exchange_rates: Annotated[
        ExchangeRates,
        Meta(
            description="Given: every line in another currency has its rate. Ecb: one that has none takes the European "
            "Central Bank's reference rate of the day of purchase, or of quote; the server must have the rates."
        ),
    ] = "given"
    whole_trailer_schedule: Annotated[
        Identifier | None,
        Meta(description="Name of a schedule by which to value the whole trailer too, beside the lines."),
    ] = None
    whole_trailer_in_service_on: Annotated[
        date | None,
        Meta(description="The whole's age counts from here. Default: the first day that a component was in service."),
    ] = None
    workings: Annotated[bool, Meta(description="Give each line its formula with its numbers.")] = False
