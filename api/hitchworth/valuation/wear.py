"""Wear: the schedule, the age and the percent good of each entry."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from msgspec import Struct

from hitchworth.model.build import Build, Component, Labor, Schedule
from hitchworth.model.options import LaborDepreciation, Options
from hitchworth.reference.schedules import GENERAL, ScheduleRecord, schedule_for, schedule_named
from hitchworth.valuation.age import age_in_years
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.money import decimal_of
from hitchworth.valuation.percent_good import percent_good
from hitchworth.valuation.remarks import Remarks

NO_DEPRECIATION = Schedule(method="none")

_Key: TypeAlias = tuple[str | Schedule | None, str, date, Decimal | None, Decimal]
AS_NEW = Decimal(1)


class Worn(Struct, frozen=True, gc=False):
    """How far a thing is worn. Age and percent good are exact, and printed."""

    schedule_name: str
    schedule: Schedule
    age: Fraction
    good: Fraction
    gone: Fraction
    """1 less percent good."""
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
            name, schedule = self._schedule(named, category)
            age = (
                age_in_years(in_service_on, self._as_of, self._day_count)
                if effective_age is None
                else Fraction(effective_age)
            )
            good = percent_good(schedule, age)
            if condition != AS_NEW:
                good *= Fraction(condition)
            worn = Worn(name, schedule, age, good, 1 - good, decimal_of(age, 3), decimal_of(good, 6))
            self._known[key] = worn
        return worn

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
