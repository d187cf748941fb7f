"""Wear: the schedule, the age and the percent good of each entry."""

from datetime import date
from decimal import Decimal
from typing import NamedTuple, TypeAlias

from msgspec import Struct

from hitchworth.model.build import Build, Component, Labor, Schedule
from hitchworth.model.options import LaborDepreciation, Options
from hitchworth.reference.schedules import ScheduleRecord, general_schedule, schedule_for, schedule_named
from hitchworth.valuation.age import Age, age_at, counted_age, stated_age
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.curve import Curve
from hitchworth.valuation.money import printed
from hitchworth.valuation.percent_good import curve_of
from hitchworth.valuation.remarks import Remarks

_Terms: TypeAlias = tuple[str | Schedule | None, str, date | None, Decimal | None, Decimal]
"""All that wear depends on: the schedule named, the category, the day that age counts from, the effective age on that
day, the condition.
"""

AS_NEW = Decimal(1)


class Rule(NamedTuple):
    """A schedule with the name that it goes by."""

    name: str
    schedule: Schedule
    curve: Curve
    given: bool = False
    """Given with the line, not found by the name."""


UNDEPRECIATED = Rule("none", Schedule(method="none"), curve_of(Schedule(method="none")))
PERFECT = printed(1, 1, 6)


class Depreciated(Struct, frozen=True, gc=False):
    """How far a thing is worn. Age and percent good are exact, and printed."""

    rule: Rule
    age: Age
    condition: Decimal
    left: int
    """Percent good, condition included, is left / whole."""
    whole: int
    age_years: Decimal
    percent_good: Decimal


class DepreciationRules:
    """The wear of a build's entries on a valuation date. What has one age under one schedule is reckoned once."""

    def __init__(self, build: Build, as_of: date, options: Options, remarks: Remarks) -> None:
        self._build = build
        self._as_of = as_of
        self._day_count = options.day_count
        self._remarks = remarks
        self._worn: dict[_Terms, Depreciated] = {}
        self._rules: dict[tuple[str | Schedule | None, str], Rule] = {}
        self._ages: dict[date, tuple[Age, Decimal]] = {}
        self._served = {component.id: component for component in build.components} if build.labor else {}

    def of(self, entry: Entry, labor_rule: LaborDepreciation) -> Depreciated:
        """The wear of an entry; of labor by the rule."""
        return self.component(entry) if isinstance(entry, Component) else self.labor(entry, labor_rule)

    def component(self, component: Component) -> Depreciated:
        """By the component's schedule, or its category's; its age from the day of service, or its effective age."""
        since, effective_age = component.in_service_on or component.acquired_on, component.effective_age_years
        terms = (
            component.schedule,
            component.category,
            since if effective_age is None else component.effective_age_on,
            effective_age,
            component.condition,
        )
        return self._worn.get(terms) or self._reckon(terms)

    def whole(self, schedule: str, in_service_on: date) -> Depreciated:
        """Of the whole trailer by the schedule of this name."""
        terms = (schedule, schedule, in_service_on, None, AS_NEW)
        return self._worn.get(terms) or self._reckon(terms)

    def labor(self, labor: Labor, rule: LaborDepreciation) -> Depreciated:
        """By the rule; labor that serves no component of the build goes by its own schedule, or its category's."""
        if rule == "none":
            age, age_years = self._age(labor.performed_on)
            return Depreciated(UNDEPRECIATED, age, AS_NEW, 1, 1, age_years, PERFECT)
        served = self._served.get(labor.component_id or "") if rule == "with_component" else None
        if served is not None:
            return self.component(served)
        terms = (labor.schedule, labor.category, labor.performed_on, None, AS_NEW)
        return self._worn.get(terms) or self._reckon(terms)

    def _reckon(self, terms: _Terms) -> Depreciated:
        schedule, category, since, effective_age, condition = terms
        rule = self._rule(schedule, category)
        counted = None if since is None else self._age(since)
        if effective_age is not None:
            counted = _printed(stated_age(effective_age, None if counted is None else counted[0]))
        assert counted is not None, "without an effective age there is a day that age counts from"
        age, age_years = counted
        left, whole = left_of(rule, age, condition)
        worn = self._worn[terms] = Depreciated(rule, age, condition, left, whole, age_years, printed(left, whole, 6))
        return worn

    def _age(self, in_service_on: date) -> tuple[Age, Decimal]:
        known = self._ages.get(in_service_on)
        if known is None:
            known = self._ages[in_service_on] = _printed(age_at(self._as_of, in_service_on, self._day_count))
        return known

    def _rule(self, named: str | Schedule | None, category: str) -> Rule:
        rule = self._rules.get((named, category))
        if rule is None:
            name, schedule = self._schedule(named, category)
            rule = self._rules[named, category] = Rule(name, schedule, curve_of(schedule), isinstance(named, Schedule))
        return rule

    def _schedule(self, named: str | Schedule | None, category: str) -> tuple[str, Schedule]:
        """The schedule and its name. A build's own goes before the library's of that name; one that a line writes out
        itself goes by its method.
        """
        if isinstance(named, Schedule):
            return named.method, named
        own = self._build.schedules
        name = category if named is None else named
        if name in own:
            return name, own[name]
        record = self._record(named, category)
        return record.name, own.get(record.name, record.schedule)

    def _record(self, named: str | None, category: str) -> ScheduleRecord:
        if named is not None:
            record = schedule_named(named)
            if record is not None:
                return record
            self._remarks.add("schedule_not_known", named)
        record = schedule_for(category)
        if record is general_schedule() and category not in record.categories:
            self._remarks.add("category_without_schedule", category, schedule=record.name)
        return record


def left_of(rule: Rule, age: Age, condition: Decimal) -> tuple[int, int]:
    """Percent good by the rule at the age, times the condition: a ratio, exact and not reduced."""
    counted = counted_age(age, rule.schedule.convention)
    left, whole = rule.curve.ratio(counted.numerator, counted.denominator)
    if condition == AS_NEW:
        return left, whole
    share, of = condition.as_integer_ratio()
    return left * share, whole * of


def _printed(age: Age) -> tuple[Age, Decimal]:
    return age, printed(age.numerator, age.denominator, 3)
