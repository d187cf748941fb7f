"""The rules of sense: what types and bounds cannot say. Each is a small function that yields the faults it finds."""

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import Any, TypeVar

import msgspec

from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.request import (
    ClassificationRequest,
    EstimateComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    SalesComparisonRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.validation.answers import amounts_missing_once_answered, invalid_answers
from hitchworth.validation.circuits import circuit_figures_zero, conductors_unclear
from hitchworth.validation.comparisons import currencies_differ, effects_not_once
from hitchworth.validation.coordination import invalid_coordination
from hitchworth.validation.dates import dates_out_of_order, effective_ages_missing
from hitchworth.validation.facts import fact_faults
from hitchworth.validation.future import date_to_come, said_in_future
from hitchworth.validation.identity import (
    borders_given_twice,
    circuits_given_twice,
    compared_twice,
    damage_given_twice,
    ids_given_twice,
    names_given_twice,
    terms_given_twice,
)
from hitchworth.validation.indexes import broken_series, unknown_indexes
from hitchworth.validation.money import (
    lines_too_dear,
    margins_of_everything,
    points_out_of_order,
    quotes_at_no_rate,
    rates_missing,
    rates_of_own_currency,
    unknown_currencies,
)
from hitchworth.validation.options import confidence_out_of_range, unknown_whole
from hitchworth.validation.places import unknown_borders, unknown_jurisdiction
from hitchworth.validation.policies import amounts_missing, settlements_too_many
from hitchworth.validation.protections import discounts_given_twice, discounts_of_no_policy
from hitchworth.validation.references import damage_without_object, sublimits_of_nothing, unknown_components
from hitchworth.validation.sales_comparisons import (
    comparables_without_price,
    rules_without_worth,
    unknown_price_index,
    weights_all_zero,
)
from hitchworth.validation.schedules import unknown_schedules, unsound_schedules
from hitchworth.validation.value_curves import dates_not_rising, too_many_dates

T = TypeVar("T")

BUILD_RULES: tuple[Callable[[Build], Iterator[Fault]], ...] = (
    ids_given_twice,
    unknown_currencies,
    quotes_at_no_rate,
    rates_of_own_currency,
    points_out_of_order,
    margins_of_everything,
    lines_too_dear,
    dates_out_of_order,
    effective_ages_missing,
    unknown_schedules,
    unsound_schedules,
    unknown_indexes,
    broken_series,
    unknown_components,
    circuits_given_twice,
    circuit_figures_zero,
    conductors_unclear,
    discounts_given_twice,
    lambda build: unknown_jurisdiction(build.jurisdiction),
    lambda build: fact_faults(build.facts, "/facts"),
)
"""Pointers are from the root of the build."""

OPINION_RULES: tuple[Callable[[SalesComparisonRequest], Iterator[Fault]], ...] = (
    compared_twice,
    comparables_without_price,
    rules_without_worth,
    weights_all_zero,
    unknown_price_index,
)
CURVE_RULES: tuple[Callable[[ValueCurveRequest], Iterator[Fault]], ...] = (dates_not_rising, too_many_dates)


def rule_faults(value: Any, today: date | None = None) -> Iterator[Fault]:
    """The faults of sense in a build or in the body of a request; none in anything else."""
    match value:
        case Build():
            yield from _build_faults(value)
            yield from rates_missing(value)
        case EstimateRequest(build=build, options=options):
            yield from _valuation_faults(build, options)
        case SettlementRequest() | GapRequest():
            yield from _valuation_faults(value.build, value.options)
            yield from _cover_faults(value)
            if isinstance(value, GapRequest):
                yield from said_in_future(value.answers, today)
        case ProtectionRequest(build=build, policies=policies):
            yield from _within("/build", _build_faults(build))
            yield from names_given_twice(policies, ())
            yield from terms_given_twice(policies)
            yield from _within("/build", discounts_of_no_policy(build, policies))
        case ClassificationRequest():
            yield from _classification_faults(value)
            yield from date_to_come(value.as_of, today, "/as_of")
        case SalesComparisonRequest():
            yield from _valuation_faults(value.build, value.options)
            yield from _all(OPINION_RULES, value)
        case ValueCurveRequest():
            yield from _valuation_faults(value.build, value.options)
            yield from _all(CURVE_RULES, value)
        case EstimateComparisonRequest():
            yield from _comparison_faults(value)


def _all(rules: Iterable[Callable[[T], Iterator[Fault]]], value: T) -> Iterator[Fault]:
    for rule in rules:
        yield from rule(value)


def _build_faults(build: Build) -> Iterator[Fault]:
    return _all(BUILD_RULES, build)


def _valuation_faults(build: Build, options: Options) -> Iterator[Fault]:
    yield from _within("/build", _build_faults(build))
    if options.exchange_rates == "given":
        yield from _within("/build", rates_missing(build))
    yield from confidence_out_of_range(options)
    yield from unknown_whole(build, options)


def _cover_faults(request: SettlementRequest | GapRequest) -> Iterator[Fault]:
    yield from names_given_twice(request.policies, request.losses)
    yield from terms_given_twice(request.policies)
    yield from settlements_too_many(request.policies, request.losses)
    yield from sublimits_of_nothing(request.build, request.policies)
    yield from damage_without_object(request.build, request.losses)
    yield from damage_given_twice(request.losses)
    yield from invalid_coordination(request.coordination, request.policies)
    yield from _within("/build", discounts_of_no_policy(request.build, request.policies))
    if isinstance(request, GapRequest):
        yield from _border_faults(request.travels_to)
        yield from invalid_answers(request.answers, request.policies)
        yield from amounts_missing_once_answered(request.policies, request.answers)
    else:
        yield from amounts_missing(request.policies)


def _border_faults(travels_to: tuple[str, ...]) -> Iterator[Fault]:
    yield from unknown_borders(travels_to)
    yield from borders_given_twice(travels_to)


def _comparison_faults(request: EstimateComparisonRequest) -> Iterator[Fault]:
    """The faults of both builds, and those of the options once."""
    for name in ("before", "after"):
        build = getattr(request, name).build
        for fault in _valuation_faults(build, request.options):
            if fault.pointer.startswith("/build"):
                yield msgspec.structs.replace(fault, pointer=f"/{name}{fault.pointer}")
            elif name == "before":
                yield fault
    yield from currencies_differ(request)
    yield from effects_not_once(request)


def _classification_faults(request: ClassificationRequest) -> Iterator[Fault]:
    yield from unknown_jurisdiction(request.jurisdiction)
    yield from _border_faults(request.travels_to)
    yield from fact_faults(request.facts, "/facts")
    if request.build is None:
        return
    yield from _within("/build", _build_faults(request.build))
    for name in ("jurisdiction", "registered_class", "vin", "facts"):
        if getattr(request, name):
            yield Fault(
                pointer=f"/{name}", detail="The build says this", expected="either a build, or this", found="both"
            )


def _within(pointer: str, faults: Iterable[Fault]) -> Iterator[Fault]:
    return (msgspec.structs.replace(fault, pointer=pointer + fault.pointer) for fault in faults)
