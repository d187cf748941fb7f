"""Cells: one figure or one short text for the web function of a spreadsheet, by GET.

A cell is valued as the only line of a build, so its figure is that of the estimate. The docstrings of the functions are
the descriptions of the API.
"""

from datetime import date
from decimal import Decimal

from hitchworth import appraisal
from hitchworth.model.build import Build
from hitchworth.model.cell import Cell, DepreciatedValueQuery, IndexedPriceQuery, PercentGoodQuery
from hitchworth.model.entry import Component
from hitchworth.model.estimate import Estimate
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.receipt_import import DecimalMark
from hitchworth.model.schedule import Schedule
from hitchworth.operations.clock import today
from hitchworth.reference.category_groups import listed_category
from hitchworth.reference.schedules import schedule_for
from hitchworth.validation import InvalidInputError, check
from hitchworth.validation.cell_rules import written_out

_ANY_COST = Decimal(100)
_NO_TREND = "index_begins_later"


def get_percent_good(query: PercentGoodQuery) -> Cell:
    """Get the share of the value that is left at an age.

    By the schedule of a category, a published schedule, or one written out; to six places.
    """
    check(query)
    return figure(_worn(query, _ANY_COST, "USD").lines[0].percent_good, query.decimal)


def get_depreciated_value(query: DepreciatedValueQuery) -> Cell:
    """Get what is left of a replacement cost at an age.

    Cost times percent good, rounded once.
    """
    check(query)
    return figure(_worn(query, query.cost, query.currency).totals.actual_cash_value, query.decimal)


def get_indexed_price(query: IndexedPriceQuery) -> Cell:
    """Get a price that was paid, trended to a date.

    By a published price index: price times the index of the month of the date, divided by that of the purchase.
    """
    check(query)
    as_of = query.as_of or today()
    if query.paid_on > as_of:
        raise _after(query.paid_on, "/paid_on", as_of)
    part = _part(query.cost, query.paid_on, schedule=Schedule(method="none"), price_index=query.price_index)
    estimate = _estimate(part, query.currency, as_of)
    for note in estimate.notes:
        if note.code == _NO_TREND:
            expected = f"a day in or after the first month of {query.price_index}"
            fault = Fault(
                pointer="/paid_on", detail="The index begins later", expected=expected, found=f"{query.paid_on}"
            )
            raise InvalidInputError([fault])
    return figure(estimate.totals.replacement_cost, query.decimal)


def _worn(query: PercentGoodQuery, cost: Decimal, currency: str) -> Estimate:
    """Value one part that costs so much new, by the schedule and the age of the query."""
    as_of = query.as_of or today()
    since = query.in_service_on or as_of
    if since > as_of:
        raise _after(since, "/in_service_on", as_of)
    return _estimate(
        _part(
            cost,
            since,
            schedule=_schedule(query),
            effective_age_years=query.age_years,
            condition=query.condition,
        ),
        currency,
        as_of,
    )


def _schedule(query: PercentGoodQuery) -> str | Schedule:
    if query.method is not None:
        return written_out(query)
    return query.schedule or schedule_for(listed_category(query.category or "") or "").name


def _part(cost: Decimal, acquired_on: date, **terms: object) -> Component:
    return Component(
        id="cell",
        description="cell",
        category="cell",
        quantity=Decimal(1),
        unit_cost=cost,
        acquired_on=acquired_on,
        **terms,  # type: ignore[arg-type]
    )


def _estimate(part: Component, currency: str, as_of: date) -> Estimate:
    return appraisal.estimate(Build(name="cell", currency=currency, components=(part,)), as_of, Options())


def _after(day: date, pointer: str, as_of: date) -> InvalidInputError:
    fault = Fault(pointer=pointer, detail="After the valuation date", expected=f"at most {as_of}", found=f"{day}")
    return InvalidInputError([fault])


def figure(value: Decimal, decimal: DecimalMark) -> Cell:
    """Return the cell of a figure."""
    text = f"{value:f}"
    return Cell(text=text if decimal == "point" else text.replace(".", ","), value=value)
