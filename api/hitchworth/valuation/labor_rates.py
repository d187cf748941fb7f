"""Rates of labor: what proves them, what a reader should know about them, and what a wage comes to with its costs."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec.structs import asdict, replace

from hitchworth.model.build import Build, Labor, PriceContent, RateEvidence
from hitchworth.money import round_ratio
from hitchworth.reference.labor_rates import labor_rates
from hitchworth.reference.wages import HourlyWage, LoadedRate, Wage, wages
from hitchworth.valuation.notes import NoteCollector

RATIO_PLACES = 3
"""Decimal places of the ratio of total compensation to wages, as it is commonly printed."""

CENTS = 2


def grade_of_rate(labor: Labor) -> RateEvidence:
    """Return what proves the rate: as stated, or an invoice for hired work and a guess for one's own."""
    if labor.evidence_grade is not None:
        return labor.evidence_grade
    return "receipt" if labor.hired else "guess"


def note_rates(build: Build, work: Sequence[Labor], notes: NoteCollector) -> None:
    """Note own hours that add only what was paid for them, market rates that are guesses, and those that are wages."""
    own = [labor for labor in work if not labor.hired]
    _note_hours("own_hours_without_market_rate", [labor for labor in own if labor.market_rate is None], notes)
    priced = [labor for labor in own if labor.market_rate is not None]
    _note_hours("guessed_market_rate", [labor for labor in priced if grade_of_rate(labor) == "guess"], notes)
    if build.currency == _mean_wage().currency:
        wage = _mean_wage().hourly.mean
        low = [labor for labor in priced if labor.rate_includes is None and (labor.market_rate or 0) <= wage]
        _note_hours("market_rate_like_a_wage", low, notes, wage=f"{wage:f}", vintage=_mean_wage().vintage)


def with_loaded_rates(wage: Wage) -> Wage:
    """Return the wage with what its hour costs the employer, with and without overhead, and what shops post for it.

    Compensation = wage x ratio of total compensation to wages (U.S. Bureau of Labor Statistics). Overhead is on the
    wage or on the compensation, by three conventions of federal economic analyses.
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
    source = f"{table.source}, {table.release}: {table.loading.title}, {table.loading.total} / {table.loading.wages}"
    usual, *others = labor_rates().overheads
    without = _loaded(hourly, ratio, f"wage x {ratio}", "nothing", source, table.release)
    rates = []
    for overhead in (usual, *others):
        on_wage = overhead.base == "wage"
        factor = ratio + overhead.rate if on_wage else ratio * (1 + overhead.rate)
        formula = f"wage x ({ratio} + {overhead.rate})" if on_wage else f"wage x {ratio} x {1 + overhead.rate}"
        vintage = f"{table.release}; {overhead.vintage}"
        rates.append(_loaded(hourly, factor, formula, "overhead", f"{source}; {overhead.source}", vintage))
    yield from (rates[0], without, *rates[1:])


def _loaded(  # noqa: PLR0917 - one argument a field of the record
    hourly: HourlyWage, factor: Decimal, formula: str, includes: PriceContent, source: str, vintage: str
) -> LoadedRate:
    figures = {name: _cents(figure * factor) for name, figure in asdict(hourly).items()}
    return LoadedRate(
        hourly=HourlyWage(**figures),
        factor=factor.normalize(),
        formula=formula,
        includes=includes,
        source=source,
        vintage=vintage,
    )


def _cents(amount: Decimal) -> Decimal:
    return round_ratio(*Fraction(amount).as_integer_ratio(), CENTS)


def _mean_wage() -> Wage:
    """The wage over all occupations."""
    return next(wage for wage in wages() if wage.trade == "all_occupations")


def _note_hours(code: str, entries: Sequence[Labor], notes: NoteCollector, **parameters: str) -> None:
    if entries:
        hours = sum((labor.hours for labor in entries), Decimal(0))
        notes.add(code, count=str(len(entries)), hours=f"{hours:f}", **parameters)
