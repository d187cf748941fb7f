"""The adjustment grid: what each difference from the trailer that is valued makes in the price of a comparable."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import TypeAlias

from hitchworth.model.request import SalesComparisonRequest
from hitchworth.model.sales_comparison import Adjustment, AdjustmentRule, Comparable, ConditionStep, GridElement
from hitchworth.valuation.money import Money
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.trending import PriceIndexes

CONDITION: Mapping[ConditionStep, int] = {"poor": 0, "fair": 1, "average": 2, "good": 3, "excellent": 4}

_Inferiority: TypeAlias = Decimal | None
"""By how many units the comparable is inferior to the subject; negative where it is superior, None when not known."""


class AdjustmentGrid:
    """Adjusts comparables to one subject on one valuation date.

    In the order of practice: first the date of sale, by a price index; then, in proportion to the price so adjusted or
    as amounts, what the trailers differ in. Each adjustment is rounded once, by its size, so that a row read the other
    way round has the same amount with the other sign.
    """

    __slots__ = ("_as_of", "_indexes", "_money", "_remarks", "_subject", "_terms")

    def __init__(self, request: SalesComparisonRequest, as_of: date, money: Money, remarks: Remarks) -> None:
        self._subject = request.subject
        self._terms = request.adjustments
        self._as_of = as_of
        self._indexes = PriceIndexes(request.build.price_indexes, as_of, remarks)
        self._money = money
        self._remarks = remarks

    def adjustments(self, comparable: Comparable) -> Iterator[Adjustment]:
        """The adjustments of one comparable, in the order of the rows."""
        base = comparable.price
        for first in self._date_of_sale(comparable):
            base += first.amount
            yield first
        yield from self._traits(comparable, base)
        yield from self._equipment(comparable, base)
        for own in comparable.adjustments:
            times = Decimal(1 if own.comparable_is == "inferior" else -1)
            yield self._adjustment("other", own, times, base, {"element": own.element})

    def _date_of_sale(self, comparable: Comparable) -> Iterator[Adjustment]:
        """Price x index in the valuation month / index in the month of sale - price."""
        name, sold_on = self._terms.price_index, comparable.sold_on
        trend = None if name is None else self._indexes.trend(name, sold_on)
        if trend is None:
            if (sold_on.year, sold_on.month) != (self._as_of.year, self._as_of.month):
                self._not_adjusted(comparable, "date_of_sale")
            return
        price = comparable.price
        trended = self._money.amount(self._money.minor(price * trend.now / trend.then))
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
        rows: tuple[tuple[GridElement, AdjustmentRule | None, _Inferiority], ...] = (
            ("age", terms.per_year, _less(comparable.age_years, subject.age_years)),
            ("size", terms.per_size_unit, _less(subject.size, comparable.size)),
            ("condition", terms.per_condition_step, _less(_step(subject.condition), _step(comparable.condition))),
        )
        for element, rule, times in rows:
            if times is None and rule is not None:
                self._remarks.add("not_compared", comparable.description, element=element)
            elif times and rule is None:
                self._not_adjusted(comparable, element)
            elif times and rule is not None:
                unit = terms.size_unit if element == "size" else ""
                yield self._adjustment(element, rule, times, base, {"units": f"{abs(times):f}", "unit": unit})

    def _equipment(self, comparable: Comparable, base: Decimal) -> Iterator[Adjustment]:
        """What the subject has and the comparable lacks is added; what it has beyond the subject is taken off."""
        wanted, there = self._subject.equipment, comparable.equipment
        if wanted is None or there is None:
            if self._terms.equipment:
                self._remarks.add("not_compared", comparable.description, element="equipment")
            return
        rules = {rule.item: rule for rule in self._terms.equipment}
        for item in dict.fromkeys((*wanted, *there)):
            if (item in wanted) == (item in there):
                continue
            if item not in rules:
                self._remarks.add("equipment_not_adjusted", comparable.description, item=item)
                continue
            yield self._adjustment("equipment", rules[item], Decimal(1 if item in wanted else -1), base, {"item": item})

    def _adjustment(
        self,
        element: GridElement,
        rule: AdjustmentRule,
        times: Decimal,
        base: Decimal,
        parameters: dict[str, str],
    ) -> Adjustment:
        """Times x amount, or times x rate x the price adjusted for the date of sale."""
        unit = rule.amount if rule.amount is not None else (rule.rate or Decimal(0)) * base
        size = self._money.amount(self._money.minor(abs(times) * unit))
        working = f"{rule.amount:f}" if rule.amount is not None else f"{rule.rate:f} x {base:f}"
        amount = size if times > 0 else -size
        return Adjustment(
            element=element,
            amount=amount,
            working=f"{times:f} x {working} = {amount:f}",
            reason=rule.reason,
            parameters=parameters,
        )

    def _not_adjusted(self, comparable: Comparable, element: GridElement) -> None:
        self._remarks.add("difference_not_adjusted", comparable.description, element=element)


def _less(greater: Decimal | None, smaller: Decimal | None) -> _Inferiority:
    return None if greater is None or smaller is None else greater - smaller


def _step(condition: ConditionStep | None) -> Decimal | None:
    return None if condition is None else Decimal(CONDITION[condition])
