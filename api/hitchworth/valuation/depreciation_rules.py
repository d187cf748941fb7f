"""Depreciation rules: which schedule, which age and which percent good each entry has.

The price of a used part is that of a worn one, so wear before the purchase must not be taken from it again. With a
price new and an age, the part depreciates like any other. Without a price new, what was paid is what the part was worth
on that day: its percent good is that by its age over that by its age at the purchase. (Utah Admin. Code R884-24P-33
reads it the other way: cost new = price paid / percent good; the value is the same.) With a price new and without an
age, it was good for the share of the new price that was paid, and wears on from there like a new one.
"""

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache, partial
from typing import NamedTuple, TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor
from hitchworth.model.options import DayCount, LaborDepreciation, Options
from hitchworth.model.schedule import Schedule
from hitchworth.model.timeline import quote_known_on
from hitchworth.money import round_ratio
from hitchworth.reference.schedules import (
    ScheduleRecord,
    general_schedule,
    library_categories,
    other_schedule,
    schedule_for,
    schedule_named,
)
from hitchworth.reference.words import similar_names
from hitchworth.valuation.age import ZERO_AGE, Age, age_at, counted_age, effective_age
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.curve import Curve, PointCurve
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.percent_good import Curves, curve_of

AGE_LIFE = "age_life"
"""The name of the rule where a remaining life is given."""


class DepreciationRule(NamedTuple):
    """A schedule with its name and its curve."""

    name: str
    schedule: Schedule
    curve: Curve
    written_out: bool = False
    """The line writes the schedule out itself, instead of naming it."""


UNDEPRECIATED = DepreciationRule("none", Schedule(method="none"), curve_of(Schedule(method="none")))
WORN_OUT = DepreciationRule("none", Schedule(method="none"), curve_of(Schedule(method="none")))
"""Of a used part of which its schedule leaves nothing at the purchase: it was worth its price, and falls no further."""
FULLY_GOOD = round_ratio(1, 1, 6)


class Wear(NamedTuple):
    """What multiplies percent good by the schedule."""

    condition: Decimal = Decimal(1)
    """The observed condition."""
    paid_share: Fraction | None = None
    """Of a used part without an age: the share of the price new that was paid."""
    good_when_bought: Fraction | None = None
    """Of a used part without a price new, a divisor: percent good at its age when it was bought."""

    @property
    def factor(self) -> Fraction:
        """All of them together."""
        factor = Fraction(self.condition)
        if self.paid_share is not None:
            factor *= self.paid_share
        return factor if self.good_when_bought is None else factor / self.good_when_bought


AS_NEW = Wear()


class Depreciated(Struct, frozen=True, gc=False):
    """The age and the percent good of one entry: exact, and rounded for the reader."""

    rule: DepreciationRule
    age: Age
    wear: Wear
    numerator: int
    """Percent good, condition included, is numerator / denominator."""
    denominator: int
    age_years: Decimal
    percent_good: Decimal


class _Terms(Struct, frozen=True, gc=False):
    """All that depreciation depends on. Entries that agree in it are computed once."""

    schedule: str | Schedule | None
    category: str
    ages_from: date | None
    """The day that age runs from; with a stated age, the day for which that was stated."""
    stated_age: Decimal | None = None
    wear: Wear = AS_NEW
    aged_when_bought: Age | None = None
    """The age at the purchase of a used part without a price new."""


_RuleFor: TypeAlias = Callable[[str | Schedule | None, str], DepreciationRule]
_AgeSince: TypeAlias = Callable[[date], tuple[Age, Decimal]]
_NoteUnlisted: TypeAlias = Callable[[str, NoteCollector], None]
_LibraryRecord: TypeAlias = Callable[[str | None, str], ScheduleRecord]


class DepreciationRules:
    """Depreciates the entries of a build on a valuation date."""

    def __init__(
        self, build: Build, as_of: date, options: Options, notes: NoteCollector, curves: Curves | None = None
    ) -> None:
        """`curves`: those of the request, where it values the build on several days."""
        age_since = cache(partial(_compute_age, as_of, options.day_count))
        known = build.schedules, Curves() if curves is None else curves
        rule_for = cache(partial(_rule_for, *known, partial(_library_record, notes, _note_unlisted_category)))
        rule_for_work = cache(partial(_rule_for, *known, partial(_library_record, notes, _note_unlisted_work)))
        self._own, self._notes = build.schedules, notes
        self._as_of, self._day_count, self._age_since = as_of, options.day_count, age_since
        self._depreciate = cache(partial(_depreciate, rule_for, age_since))
        self._depreciate_since = cache(partial(_depreciate_since, rule_for, age_since))
        self._depreciate_work_since = cache(partial(_depreciate_since, rule_for_work, age_since))
        self._keep_as_new = cache(partial(_keep_as_new, age_since))
        self._components = {component.id: component for component in build.components} if build.labor else {}

    def depreciate(self, entry: Entry, labor_rule: LaborDepreciation) -> Depreciated:
        """Depreciate an entry; the rule applies to labor only."""
        if isinstance(entry, Component):
            return self.depreciate_component(entry)
        return self.depreciate_labor(entry, labor_rule)

    def depreciate_component(self, component: Component) -> Depreciated:
        """Depreciate by the component's own schedule, or that of its category.

        Its age runs from the day of service, unless it states an effective age.
        """
        if component.remaining_life_years is not None:
            return self._depreciate_by_age_life(component, self._terms(component))
        if _is_judged_by_date(component) and not was_bought_used(component):
            in_service_on = component.in_service_on or component.acquired_on
            depreciated = self._depreciate_since(component.schedule, component.category, in_service_on)
        else:
            depreciated = self._depreciate(self._terms(component))
        self._note_other_schedule(component, depreciated.rule)
        return depreciated

    def _terms(self, component: Component) -> _Terms:
        stated = component.effective_age_years
        in_service_on = component.in_service_on or component.acquired_on
        ages_from = in_service_on if stated is None else component.effective_age_on
        wear = AS_NEW if component.condition == 1 else Wear(component.condition)
        terms = _Terms(component.schedule, component.category, ages_from, stated, wear)
        return self._of_used_part(component, terms) if was_bought_used(component) else terms

    def _of_used_part(self, component: Component, terms: _Terms) -> _Terms:
        """The terms with the wear before the purchase taken once, in the price or by the age."""
        new, paid = quote_known_on(component, self._as_of), component.unit_cost
        if new is None:
            self._notes.add("used_part_without_price_new", component.id)
            return replace(terms, aged_when_bought=_age_when_bought(component, self._day_count))
        if _age_is_known(component):
            return terms
        self._notes.add("used_part_without_age", component.id)
        share = min(Fraction(paid) / Fraction(new), Fraction(1)) if new else Fraction(1)
        return replace(terms, wear=terms.wear._replace(paid_share=share))

    def _depreciate_by_age_life(self, component: Component, terms: _Terms) -> Depreciated:
        """Depreciate by age / (effective age + remaining life), both as of the day for which they were judged.

        Without such a day they are those of the valuation date. (The age-life method of the cost approach; a glossary
        of state-certified appraisers: effective age 15, remaining 45, cost 60,000, so 15,000 of depreciation.)
        """
        age, _ = _age_by(terms, self._age_since)
        judged_on = component.effective_age_on
        since = self._age_since(judged_on)[0].years if judged_on is not None else Fraction(0)
        life = max(age.years - since, Fraction(0)) + Fraction(component.remaining_life_years or 0)
        return _depreciate_by(_age_life_rule(life), terms, self._age_since)

    def _note_other_schedule(self, component: Component, rule: DepreciationRule) -> None:
        """Note that the description names a thing with a schedule of its own; one of the build's own is not judged."""
        if rule.written_out or rule.name in self._own:
            return
        other = other_schedule(rule.name, component.description)
        if other is not None:
            self._notes.add(
                "description_names_other_schedule",
                component.id,
                words=other.words,
                schedule=rule.name,
                other=other.schedule,
            )

    def depreciate_labor(self, labor: Labor, labor_rule: LaborDepreciation) -> Depreciated:
        """Depreciate by the rule.

        Labor that serves no component of the build goes by its own schedule, or that of its category.
        """
        if labor_rule == "none":
            return self._keep_as_new(labor.performed_on)
        served = self._components.get(labor.component_id or "") if labor_rule == "with_component" else None
        if served is not None:
            return self.depreciate_component(served)
        return self._depreciate_work_since(labor.schedule, labor.category, labor.performed_on)

    def depreciate_whole_trailer(self, schedule: str, in_service_on: date) -> Depreciated:
        """Depreciate the trailer as one thing, by the schedule of this name."""
        return self._depreciate_since(schedule, schedule, in_service_on)


def was_bought_used(component: Component) -> bool:
    """Return whether the price paid is that of a used part: as stated, or because it was in service before."""
    return _age_is_known_by_date(component) if component.bought_used is None else component.bought_used


def _is_judged_by_date(component: Component) -> bool:
    """Return whether nobody judged its age or its condition: most parts are bought new, and age from a day on."""
    return component.effective_age_years is None and component.condition == 1


def percent_good_ratio(rule: DepreciationRule, age: Age, wear: Wear) -> tuple[int, int]:
    """Return percent good by the rule at the age, times the wear: an exact ratio, not reduced."""
    counted = counted_age(age, rule.schedule.convention)
    numerator, denominator = rule.curve.ratio(counted.numerator, counted.denominator)
    if wear is AS_NEW:
        return numerator, denominator
    factor, divisor = wear.factor.as_integer_ratio()
    return numerator * factor, denominator * divisor


def _age_life_rule(life: Fraction) -> DepreciationRule:
    """A straight line to nothing at the end of the life; at once where no life is left."""
    schedule = Schedule(method="straight_line", life_years=round_ratio(*life.as_integer_ratio(), 6))
    points = [(Fraction(0), Fraction(1)), (life, Fraction(0))] if life else [(Fraction(0), Fraction(0))]
    return DepreciationRule(AGE_LIFE, schedule, Curve(PointCurve(points)))


def _age_is_known_by_date(component: Component) -> bool:
    return component.in_service_on is not None and component.in_service_on < component.acquired_on


def _age_is_known(component: Component) -> bool:
    return component.effective_age_years is not None or _age_is_known_by_date(component)


def _age_when_bought(component: Component, day_count: DayCount) -> Age:
    """The age on the day of purchase. An effective age is taken back or forward from the day for which it was judged.

    An effective age without a day is that of every day, so also of the purchase.
    """
    bought, stated, judged_on = component.acquired_on, component.effective_age_years, component.effective_age_on
    if stated is None:
        return age_at(bought, component.in_service_on or bought, day_count)
    if judged_on is None or judged_on <= bought:
        return effective_age(stated, ZERO_AGE if judged_on is None else age_at(bought, judged_on, day_count))
    earlier = max(Fraction(stated) - age_at(judged_on, bought, day_count).years, Fraction(0))
    return Age(earlier.numerator, earlier.denominator)


def _depreciate_since(
    rule_for: _RuleFor, age_since: _AgeSince, schedule: str | Schedule | None, category: str, day: date
) -> Depreciated:
    """Depreciate what was new on a day, and is in the condition of its age."""
    return _depreciate_by(rule_for(schedule, category), _Terms(schedule, category, day), age_since)


def _depreciate(rule_for: _RuleFor, age_since: _AgeSince, terms: _Terms) -> Depreciated:
    return _depreciate_by(rule_for(terms.schedule, terms.category), terms, age_since)


def _age_by(terms: _Terms, age_since: _AgeSince) -> tuple[Age, Decimal]:
    age, age_years = NO_AGE if terms.ages_from is None else age_since(terms.ages_from)
    return (age, age_years) if terms.stated_age is None else _with_rounded_years(effective_age(terms.stated_age, age))


def _depreciate_by(rule: DepreciationRule, terms: _Terms, age_since: _AgeSince) -> Depreciated:
    (age, age_years), wear = _age_by(terms, age_since), terms.wear
    if terms.aged_when_bought is not None:
        # Labor may serve a part that is bought after the valuation date: then nothing has worn yet.
        ages = (terms.aged_when_bought, age)
        good = max(Fraction(*percent_good_ratio(rule, each, AS_NEW)) for each in ages)
        rule, wear = (rule, wear._replace(good_when_bought=good)) if good else (WORN_OUT, wear)
    numerator, denominator = percent_good_ratio(rule, age, wear)
    percent_good = round_ratio(numerator, denominator, 6)
    return Depreciated(rule, age, wear, numerator, denominator, age_years, percent_good)


def _keep_as_new(age_since: _AgeSince, performed_on: date) -> Depreciated:
    age, age_years = age_since(performed_on)
    return Depreciated(UNDEPRECIATED, age, AS_NEW, 1, 1, age_years, FULLY_GOOD)


def _compute_age(as_of: date, day_count: DayCount, in_service_on: date) -> tuple[Age, Decimal]:
    return _with_rounded_years(age_at(as_of, in_service_on, day_count))


def _with_rounded_years(age: Age) -> tuple[Age, Decimal]:
    """The age, and the same in years to three places."""
    return age, round_ratio(age.numerator, age.denominator, 3)


NO_AGE = _with_rounded_years(ZERO_AGE)


def _rule_for(
    own: Mapping[str, Schedule],
    curves: Curves,
    library_record: _LibraryRecord,
    named: str | Schedule | None,
    category: str,
) -> DepreciationRule:
    """The rule of an entry. A schedule of the build takes precedence over one of the library with the same name.

    A schedule that a line writes out itself has the name of its method.
    """
    if isinstance(named, Schedule):
        return DepreciationRule(named.method, named, curves[named], written_out=True)
    name = category if named is None else named
    if name not in own:
        record = library_record(named, category)
        name = record.name
        if name not in own:
            return DepreciationRule(name, record.schedule, curves[record.schedule])
    return DepreciationRule(name, own[name], curves[own[name]])


def _library_record(
    notes: NoteCollector, note_unlisted: _NoteUnlisted, named: str | None, category: str
) -> ScheduleRecord:
    if named is not None:
        record = schedule_named(named)
        if record is not None:
            return record
        notes.add("schedule_not_known", named)
    record = schedule_for(category)
    if record is general_schedule() and category not in record.categories:
        note_unlisted(category, notes)
    return record


def _note_unlisted_category(category: str, notes: NoteCollector) -> None:
    similar = similar_names(category, library_categories())
    if similar:
        notes.add("category_similar_to_listed", category, schedule=general_schedule().name, similar=", ".join(similar))
    else:
        notes.add("category_without_schedule", category, schedule=general_schedule().name)


def _note_unlisted_work(category: str, notes: NoteCollector) -> None:
    """Note what the work goes by instead. A category of parts with a similar name is no help: work is no material."""
    notes.add("work_without_schedule", category, schedule=general_schedule().name)
