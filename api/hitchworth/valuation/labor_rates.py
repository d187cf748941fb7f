"""Rates of labor: what proves them, what a reader should know about them, and what a wage comes to with its costs."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec.structs import asdict, replace

from hitchworth.model.entry import Component, Labor, RateEvidence
from hitchworth.model.timeline import market_rate_known_on
from hitchworth.money import round_ratio
from hitchworth.reference.labor_rates import Overhead, labor_rates
from hitchworth.reference.wages import HourlyWage, LoadedRate, Wage, wages
from hitchworth.valuation.notes import NoteCollector

RATIO_PLACES = 3
"""Decimal places of the ratio of total compensation to wages, as it is commonly printed."""

CENTS = 2


def grade_of_rate(labor: Labor) -> RateEvidence:
    """Return what proves the rate: as stated, else nothing: the word of who paid for hired work, a guess for one's own.

    Like a part without stated evidence, hired work is an estimate of one's own until somebody says that there is an
    invoice to show.
    """
    if labor.evidence_grade is not None:
        return labor.evidence_grade
    return "own_estimate" if labor.hired else "guess"


def note_rates(work: Sequence[Labor], currency: str, as_of: date, notes: NoteCollector) -> None:
    """Note own hours that add only what was paid for them, market rates that are guesses, and those that are wages."""
    unstated = [labor for labor in work if labor.hired is None and labor.rate]
    if unstated:
        notes.add("paid_hours_taken_as_own", **_hours(unstated))
    own = [labor for labor in work if not labor.hired]
    unpriced = [labor for labor in own if labor.market_rate is None]
    if unpriced:
        notes.add("own_hours_without_market_rate", **_hours(unpriced))
    priced = [(labor, rate) for labor in own if (rate := market_rate_known_on(labor, as_of)) is not None]
    guessed = [labor for labor, _ in priced if grade_of_rate(labor) == "guess" and not states_range(labor)]
    if guessed:
        notes.add("guessed_market_rate", **_hours(guessed))
    mean = _mean_wage()
    wage = mean.hourly.mean
    low = [labor for labor, rate in priced if labor.rate_includes is None and rate <= wage]
    if low and currency == mean.currency:
        notes.add("market_rate_like_a_wage", **_hours(low), wage=f"{wage:f}", vintage=mean.vintage)


def states_range(entry: Component | Labor) -> bool:
    """Return whether the entry states a range of its own."""
    return not (entry.low is None and entry.high is None and entry.likely is None)


def with_overhead(wage: Decimal, compensation: Decimal, overhead: Overhead) -> Decimal:
    """Return the compensation, wage and benefits, with overhead by a convention, not rounded."""
    return compensation + overhead.rate * (wage if overhead.base == "wage" else compensation)


def with_loaded_rates(wage: Wage) -> Wage:
    """Return the wage with what its hour costs the employer, with and without overhead, and what shops post for it.

    Compensation = wage x ratio of total compensation to wages (U.S. Bureau of Labor Statistics). Overhead is on the
    wage or on the compensation, by three conventions of federal economic studies.
    """
    usual, *others = _loaded_rates(wage.hourly)
    return replace(
        wage,
        loaded_rate=usual,
        other_loaded_rates=tuple(others),
        posted_rates=tuple(posted for posted in labor_rates().posted if posted.trade == wage.trade),
        advice=labor_rates().advice,
    )


def _loaded_rates(hourly: HourlyWage) -> Iterator[LoadedRate]:
    """The rate with the usual overhead, that without overhead, and those with overhead by the other conventions."""
    table = labor_rates().employer_costs
    ratio = round_ratio(*(table.loading.total / table.loading.wages).as_integer_ratio(), RATIO_PLACES)
    of_costs = f"{table.source}, {table.release}: {table.loading.title}, {table.loading.total} / {table.loading.wages}"
    usual, *others = labor_rates().overheads

    def loaded(overhead: Overhead | None) -> LoadedRate:
        factor = ratio if overhead is None else with_overhead(Decimal(1), ratio, overhead)
        return LoadedRate(
            hourly=HourlyWage(**{name: _cents(figure * factor) for name, figure in asdict(hourly).items()}),
            factor=factor.normalize(),
            formula=_formula(ratio, overhead),
            includes="nothing" if overhead is None else "overhead",
            source=of_costs if overhead is None else f"{of_costs}; {overhead.source}",
            vintage=table.release if overhead is None else f"{table.release}; {overhead.vintage}",
        )

    yield from map(loaded, (usual, None, *others))


def _formula(ratio: Decimal, overhead: Overhead | None) -> str:
    if overhead is None:
        return f"wage x {ratio}"
    if overhead.base == "wage":
        return f"wage x ({ratio} + {overhead.rate})"
    return f"wage x {ratio} x {1 + overhead.rate}"


def _cents(amount: Decimal) -> Decimal:
    return round_ratio(*Fraction(amount).as_integer_ratio(), CENTS)


def _mean_wage() -> Wage:
    """The wage over all occupations."""
    return next(wage for wage in wages() if wage.trade == "all_occupations")


def _hours(entries: Sequence[Labor]) -> dict[str, str]:
    """The number of entries and their hours, as parameters of a note."""
    return {"count": str(len(entries)), "hours": f"{sum((labor.hours for labor in entries), Decimal(0)):f}"}
