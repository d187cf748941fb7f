"""Rules for the cells of a spreadsheet: one schedule, one age, and names that exist."""

from collections.abc import Iterator

from hitchworth.model.cell import DepreciatedValueQuery, IndexedPriceQuery, PercentGoodQuery
from hitchworth.model.fault import Fault
from hitchworth.model.schedule import Schedule
from hitchworth.reference.category_groups import listed_category
from hitchworth.reference.schedules import library_categories
from hitchworth.validation.build_rules import unknown_currency
from hitchworth.validation.names import unknown_name
from hitchworth.validation.schedule_rules import schedule_faults, unknown_price_index, unknown_schedule

_TERMS = ("life_years", "residual", "factor", "rate", "discount_rate", "convention")
"""The terms of a schedule that is written out."""


def ambiguous_schedule(query: PercentGoodQuery) -> Iterator[Fault]:
    """The schedule is that of a category, a published one or written out: one of the three."""
    given = [name for name in ("category", "schedule", "method") if getattr(query, name) is not None]
    if len(given) != 1:
        yield Fault(
            pointer=f"/{given[1]}" if given else "/schedule",
            detail="One schedule is needed",
            expected="one of category, schedule and method",
            found=" and ".join(given) or "none of them",
        )
    if query.schedule is not None:
        yield from unknown_schedule(query.schedule, None, "/schedule")


def unknown_cell_category(query: PercentGoodQuery) -> Iterator[Fault]:
    """The category is listed: a cell has no room for the note that another one follows the general schedule."""
    if query.category is not None and listed_category(query.category) is None:
        detail, expected = "No schedule is for this category", "a category of GET /v1/schedules"
        yield from unknown_name(query.category, library_categories(), "/category", detail, expected)


def invalid_written_out_schedule(query: PercentGoodQuery) -> Iterator[Fault]:
    """A schedule that is written out has what its method needs; without a method there are no terms."""
    if query.method == "table":
        yield Fault(
            pointer="/method", detail="A table has no place in a cell", expected="another method", found="table"
        )
    elif query.method is not None:
        yield from schedule_faults(written_out(query), "")
    else:
        defaults = PercentGoodQuery()
        for name in _TERMS:
            if getattr(query, name) != getattr(defaults, name):
                yield Fault(
                    pointer=f"/{name}",
                    detail=f"{name} belongs to a method",
                    expected="a method with it, or nothing",
                    found=str(getattr(query, name)),
                )


def written_out(query: PercentGoodQuery) -> Schedule:
    """Return the schedule of a query that has a method. Raises ValueError without one."""
    if query.method is None:
        raise ValueError("the query has no method")
    return Schedule(
        method=query.method,
        life_years=query.life_years,
        residual=query.residual,
        factor=query.factor,
        rate=query.rate,
        discount_rate=query.discount_rate,
        convention=query.convention or "by_day",
    )


def ambiguous_age(query: PercentGoodQuery) -> Iterator[Fault]:
    """The age is given in years or by a day, not both; and not by a day after the valuation date."""
    if (query.age_years is None) == (query.in_service_on is None):
        both = query.age_years is not None
        yield Fault(
            pointer="/age_years",
            detail="One age is needed",
            expected="either age_years or in_service_on",
            found="both" if both else "neither",
        )


def unknown_cell_currency(query: DepreciatedValueQuery | IndexedPriceQuery) -> Iterator[Fault]:
    """The currency code is in ISO 4217."""
    return unknown_currency(query.currency, "/currency")


def unknown_cell_price_index(query: IndexedPriceQuery) -> Iterator[Fault]:
    """The price index is published."""
    return unknown_price_index(query.price_index, None, "/price_index")
