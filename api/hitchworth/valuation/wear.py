"""Wear: the schedule, the age and the percent good of each entry."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from msgspec import Struct

from hitchworth.model.build import Build, Component, Labor, Schedule
from hitchworth.model.options import LaborDepreciation, Options
from hitchworth.reference.schedules import GENERAL, ScheduleRecord, schedule_for, schedule_named
from hitchworth.valuation.age import age_in_years, counted_age
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.curve import Curve
from hitchworth.valuation.money import decimal_of
from hitchworth.valuation.percent_good import curve_of
from hitchworth.valuation.remarks import Remarks

NO_DEPRECIATION = Schedule(method="none")

_Key: TypeAlias = tuple[str | Schedule | None, str, date, Decimal | None, Decimal]
AS_NEW = Decimal(1)


class Rule(NamedTuple):
    """A schedule with the name that it goes by."""

    name: str
    schedule: Schedule
    curve: Curve


class Worn(Struct, frozen=True, gc=False):
    """How far a thing is worn. Age and percent good are exact, and printed."""

    rule: Rule
    age: Fraction
    condition: Decimal
    good: Fraction
    age_years: Decimal
    percent_good: Decimal


class Wear:
    """The wear of a build's entries on a valuation date. Entries of one age under one schedule are reckoned once."""

    def __init__(self, build: Build, as_of: date, options: Options, remarks: Remarks) -> None:
        self._build = build
        self._as_of = as_of
        self._day_count = options.day_count
        self._remarks = remarks
        self._known: dict[_Key, Worn] = {}
        self._rules: dict[tuple[str | Schedule | None, str], Rule] = {}
        self._ages: dict[date, Fraction] = {}
        self._served = {component.id: component for component in build.components} if build.labor else {}

    def of(self, entry: Entry, labor_rule: LaborDepreciation) -> Worn:
        """The wear of an entry; of labor by the rule."""
        return self.component(entry) if isinstance(entry, Component) else self.labor(entry, labor_rule)

    def component(self, component: Component) -> Worn:
        """By the component's schedule, or its category's; its age from the day of service, or its effective age."""
        return self._worn(
            component.schedule,
            component.category,
            component.in_service_on or component.acquired_on,
            component.effective_age_years,
            component.condition,
        )

    def labor(self, labor: Labor, rule: LaborDepreciation) -> Worn:
        """By the rule; labor that serves no component of the build goes by its own schedule, or its category's."""
        if rule == "none":
            return self._worn(NO_DEPRECIATION, labor.category, labor.performed_on, None, AS_NEW)
        served = self._served.get(labor.component_id or "") if rule == "with_component" else None
        if served is not None:
            return self.component(served)
        return self._worn(labor.schedule, labor.category, labor.performed_on, None, AS_NEW)

    def _worn(
        self,
        named: str | Schedule | None,
        category: str,
        in_service_on: date,
        effective_age: Decimal | None,
        condition: Decimal,
    ) -> Worn:
        key = (named, category, in_service_on, effective_age, condition)
        worn = self._known.get(key)
        if worn is None:
            rule = self._rule(named, category)
            age = self._age(in_service_on) if effective_age is None else Fraction(effective_age)
            good = rule.curve.at(counted_age(age, rule.schedule.convention))
            if condition != AS_NEW:
                good *= Fraction(condition)
            worn = Worn(rule, age, condition, good, decimal_of(age, 3), decimal_of(good, 6))
            self._known[key] = worn
        return worn

    def _rule(self, named: str | Schedule | None, category: str) -> Rule:
        rule = self._rules.get((named, category))
        if rule is None:
            name, schedule = self._schedule(named, category)
            rule = self._rules[named, category] = Rule(name, schedule, curve_of(schedule))
        return rule

    def _age(self, in_service_on: date) -> Fraction:
        age = self._ages.get(in_service_on)
        if age is None:
            age = self._ages[in_service_on] = age_in_years(in_service_on, self._as_of, self._day_count)
        return age

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
        if record is GENERAL and category not in GENERAL.categories:
            self._remarks.add("category_without_schedule", category, schedule=GENERAL.name)
        return record
