"""The adjustment grid: how much each difference from the subject trailer changes the price of a comparable."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import TypeAlias

from hitchworth.model.request import SalesComparisonRequest
from hitchworth.model.sales_comparison import Adjustment, AdjustmentRule, Comparable, ConditionStep, GridElement
from hitchworth.money import Money
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.trending import PriceIndexes

CONDITION_STEPS: Mapping[ConditionStep, int] = {"poor": 0, "fair": 1, "average": 2, "good": 3, "excellent": 4}

_Difference: TypeAlias = Decimal | None
"""How many units the comparable is inferior to the subject; negative if it is superior, None if not known."""


class AdjustmentGrid:
    """Adjusts comparables to one subject on one valuation date.

    The usual order: first the date of sale, by a price index; then the differences between the trailers, as amounts or
    as shares of the price adjusted so far. Each adjustment is rounded once, by its absolute value, so that swapping the
    two trailers gives the same amount with the opposite sign.
    """

    __slots__ = ("_as_of", "_indexes", "_money", "_notes", "_subject", "_terms")

    def __init__(self, request: SalesComparisonRequest, as_of: date, money: Money, notes: NoteCollector) -> None:
        self._subject = request.subject
        self._terms = request.adjustments
        self._as_of = as_of
        self._indexes = PriceIndexes(request.build.price_indexes, as_of, notes)
        self._money = money
        self._notes = notes

    def adjustments(self, comparable: Comparable) -> Iterator[Adjustment]:
        """Yield the adjustments of one comparable, in the order of the rows."""
        base = comparable.price
        for adjustment in self._date_of_sale(comparable):
            base += adjustment.amount
            yield adjustment
        yield from self._traits(comparable, base)
        yield from self._equipment(comparable, base)
        for custom in comparable.adjustments:
            units = Decimal(1 if custom.comparable_is == "inferior" else -1)
            yield self._adjustment("other", custom, units, base, {"element": custom.element})

    def _date_of_sale(self, comparable: Comparable) -> Iterator[Adjustment]:
        """Price x index in the valuation month / index in the month of sale - price."""
        name, sold_on = self._terms.price_index, comparable.sold_on
        trend = None if name is None else self._indexes.trend(name, sold_on)
        if trend is None:
            if (sold_on.year, sold_on.month) != (self._as_of.year, self._as_of.month):
                self._note_not_adjusted(comparable, "date_of_sale")
            return
        price = comparable.price
        trended = self._money.from_minor_units(self._money.to_minor_units(price * trend.now / trend.then))
        if trended != price:
            yield Adjustment(
                element="date_of_sale",
                amount=trended - price,
                working=f"{price:f} x {trend.now:f} / {trend.then:f} - {price:f} = {trended - price:f}",
                reason="",
                parameters={"index": name or "", "sold_on": sold_on.isoformat()},
            )

    def _traits(self, comparable: Comparable, base: Decimal) -> Iterator[Adjustment]:
        terms, subject = self._terms, self._subject
        rows: tuple[tuple[GridElement, AdjustmentRule | None, _Difference], ...] = (
            ("age", terms.per_year, _subtract(comparable.age_years, subject.age_years)),
            ("size", terms.per_size_unit, _subtract(subject.size, comparable.size)),
            (
                "condition",
                terms.per_condition_step,
                _subtract(_condition_step(subject.condition), _condition_step(comparable.condition)),
            ),
        )
        for element, rule, units in rows:
            if units is None and rule is not None:
                self._notes.add("not_compared", comparable.description, element=element)
            elif units and rule is None:
                self._note_not_adjusted(comparable, element)
            elif units and rule is not None:
                unit = terms.size_unit if element == "size" else ""
                yield self._adjustment(element, rule, units, base, {"units": f"{abs(units):f}", "unit": unit})

    def _equipment(self, comparable: Comparable, base: Decimal) -> Iterator[Adjustment]:
        """Add what only the subject has, and subtract what only the comparable has."""
        own, other = self._subject.equipment, comparable.equipment
        if own is None or other is None:
            if self._terms.equipment:
                self._notes.add("not_compared", comparable.description, element="equipment")
            return
        rules = {rule.item: rule for rule in self._terms.equipment}
        for item in dict.fromkeys((*own, *other)):
            if (item in own) == (item in other):
                continue
            if item not in rules:
                self._notes.add("equipment_not_adjusted", comparable.description, item=item)
                continue
            yield self._adjustment("equipment", rules[item], Decimal(1 if item in own else -1), base, {"item": item})

    def _adjustment(
        self,
        element: GridElement,
        rule: AdjustmentRule,
        units: Decimal,
        base: Decimal,
        parameters: dict[str, str],
    ) -> Adjustment:
        """Units x amount, or units x rate x the price adjusted for the date of sale."""
        per_unit = rule.amount if rule.amount is not None else (rule.rate or Decimal(0)) * base
        absolute = self._money.from_minor_units(self._money.to_minor_units(abs(units) * per_unit))
        working = f"{rule.amount:f}" if rule.amount is not None else f"{rule.rate:f} x {base:f}"
        amount = absolute if units > 0 else -absolute
        return Adjustment(
            element=element,
            amount=amount,
            working=f"{units:f} x {working} = {amount:f}",
            reason=rule.reason,
            parameters=parameters,
        )

    def _note_not_adjusted(self, comparable: Comparable, element: GridElement) -> None:
        self._notes.add("difference_not_adjusted", comparable.description, element=element)


def _subtract(greater: Decimal | None, smaller: Decimal | None) -> _Difference:
    return None if greater is None or smaller is None else greater - smaller


def _condition_step(condition: ConditionStep | None) -> Decimal | None:
    return None if condition is None else Decimal(CONDITION_STEPS[condition])
