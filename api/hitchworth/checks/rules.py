"""The rules of sense: what types and bounds cannot say. Each is a small function that yields the faults it finds."""

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import Any

import msgspec

from hitchworth.checks.answers import amounts_missing_once_answered, answers_astray
from hitchworth.checks.circuits import circuit_figures_zero, conductors_unclear
from hitchworth.checks.coordination import coordination_astray
from hitchworth.checks.crossings import damage_without_object, unknown_components
from hitchworth.checks.dates import dates_out_of_order
from hitchworth.checks.facts import fact_faults
from hitchworth.checks.future import date_to_come
from hitchworth.checks.identity import (
    borders_given_twice,
    circuits_given_twice,
    damage_given_twice,
    ids_given_twice,
    names_given_twice,
    terms_given_twice,
)
from hitchworth.checks.indexes import broken_series, unknown_indexes
from hitchworth.checks.money import lines_too_dear, low_above_high, rates_missing, unknown_currencies
from hitchworth.checks.places import unknown_borders, unknown_jurisdiction
from hitchworth.checks.policies import amounts_missing, confidence_out_of_range, settlements_too_many
from hitchworth.checks.protections import discounts_given_twice, discounts_of_no_policy
from hitchworth.checks.schedules import incomplete_schedules, unknown_schedules
from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.model.request import (
    ClassificationRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    SettlementRequest,
)

BUILD_RULES: tuple[Callable[[Build], Iterator[Fault]], ...] = (
    ids_given_twice,
    unknown_currencies,
    rates_missing,
    lines_too_dear,
    low_above_high,
    dates_out_of_order,
    unknown_schedules,
    incomplete_schedules,
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


def rule_faults(value: Any, today: date | None = None) -> Iterator[Fault]:
    """The faults of sense in a build or in the body of a request; none in anything else."""
    match value:
        case Build():
            yield from _build_faults(value)
        case EstimateRequest(build=build, options=options):
            yield from _within("/build", _build_faults(build))
            yield from confidence_out_of_range(options)
        case SettlementRequest() | GapRequest():
            yield from _within("/build", _build_faults(value.build))
            yield from confidence_out_of_range(value.options)
            yield from _cover_faults(value)
        case ProtectionRequest(build=build, policies=policies):
            yield from _within("/build", _build_faults(build))
            yield from names_given_twice(policies, ())
            yield from terms_given_twice(policies)
            yield from _within("/build", discounts_of_no_policy(build, policies))
        case ClassificationRequest():
            yield from _classification_faults(value)
            yield from date_to_come(value.as_of, today, "/as_of")


def _build_faults(build: Build) -> Iterator[Fault]:
    for rule in BUILD_RULES:
        yield from rule(build)


def _cover_faults(request: SettlementRequest | GapRequest) -> Iterator[Fault]:
    yield from names_given_twice(request.policies, request.losses)
    yield from terms_given_twice(request.policies)
    yield from settlements_too_many(request.policies, request.losses)
    yield from damage_without_object(request.build, request.losses)
    yield from damage_given_twice(request.losses)
    yield from coordination_astray(request.coordination, request.policies)
    yield from _within("/build", discounts_of_no_policy(request.build, request.policies))
    if isinstance(request, GapRequest):
        yield from _border_faults(request.borders)
        yield from answers_astray(request.answers, request.policies)
        yield from amounts_missing_once_answered(request.policies, request.answers)
    else:
        yield from amounts_missing(request.policies)


def _border_faults(borders: tuple[str, ...]) -> Iterator[Fault]:
    yield from unknown_borders(borders)
    yield from borders_given_twice(borders)


def _classification_faults(request: ClassificationRequest) -> Iterator[Fault]:
    yield from unknown_jurisdiction(request.jurisdiction)
    yield from _border_faults(request.borders)
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
