"""The register of serial numbers of a document, and the numbers of a document that are like one that is looked up."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import TypeAlias

from msgspec import Struct

from hitchworth.documentation.number_matching import differences, numbers_in
from hitchworth.model.build import Build, Component
from hitchworth.model.evidence import IDENTIFICATION_PLATE, NUMBER, TRAILER, Evidence
from hitchworth.model.serial_numbers import (
    FoundNumber,
    NumberEvidence,
    NumberKind,
    RegisterEntry,
    SerialNumberRegister,
    UnnumberedPart,
)
from hitchworth.model.timeline import is_installed_on
from hitchworth.reference.schedules import schedule_for, schedule_named

BySubject: TypeAlias = Mapping[str, tuple[Evidence, ...]]
"""Evidence by what it is evidence of."""

COMPONENT_NUMBERS: tuple[NumberKind, ...] = ("serial_number", "model_number")
"""The numbers of a component: the names of its fields."""


class _Number(Struct, frozen=True):
    kind: NumberKind
    text: str
    part: Component | None


def serial_number_register(build: Build, evidence: Sequence[Evidence], as_of: date) -> SerialNumberRegister:
    """Return the numbers of the trailer and of the parts in it on a day."""
    tied = by_subject(evidence)
    installed = [part for part in build.components if is_installed_on(part, as_of)]
    entries = [_entry(part, tied) for part in installed]
    listed = [entry for entry in entries if entry.serial_number or entry.model_number or entry.shown_by]
    return SerialNumberRegister(
        as_of=as_of,
        name=build.name,
        items=(_trailer(build, tied), *listed),
        without_number=len(entries) - len(listed),
        unnumbered=tuple(
            UnnumberedPart(component=part.id, description=part.description)
            for part in installed
            if not part.serial_number and carries_number(part)
        ),
    )


def by_subject(evidence: Iterable[Evidence]) -> BySubject:
    """Return the evidence of each subject, in the order of the document."""
    found: dict[str, tuple[Evidence, ...]] = {}
    for each in evidence:
        for subject in each.subjects:
            found[subject] = (*found.get(subject, ()), each)
    return found


def carries_number(part: Component) -> bool:
    """Return whether such a part usually carries a serial number, by its schedule or by its category."""
    named = schedule_named(part.schedule) if isinstance(part.schedule, str) else None
    return schedule_for(part.category).numbered or (named is not None and named.numbered)


def found_numbers(build: Build, asked: str) -> Iterator[FoundNumber]:
    """Yield the numbers of a build that are like one that is looked up, each field once, exact ones first.

    Parts that were taken out of the trailer are among them; what a refund took back is not.
    """
    found = [each for number in _numbers(build) for each in _like(number, build, asked)]
    yield from sorted(found, key=lambda each: each.match != "exact")


def _numbers(build: Build) -> Iterator[_Number]:
    if build.vin:
        yield _Number("identification_number", build.vin, None)
    for part in build.components:
        for kind in COMPONENT_NUMBERS:
            text = getattr(part, kind)
            if text and part.refund_of is None:
                yield _Number(kind, text, part)


def _like(number: _Number, build: Build, asked: str) -> Iterator[FoundNumber]:
    """Yield the number that the field has, if it is like the one that is looked up: that with least to forgive."""
    matches = ((differences(asked, text), text) for text in numbers_in(number.text))
    like = [(forgiven, text) for forgiven, text in matches if forgiven is not None]
    if not like:
        return
    forgiven, text = min(like, key=lambda match: len(match[0]))
    part = number.part
    yield FoundNumber(
        name=build.name,
        component=None if part is None else part.id,
        description=build.name if part is None else part.description,
        removed_on=None if part is None else part.removed_on,
        kind=number.kind,
        number=text,
        match="forgiven" if forgiven else "exact",
        forgiven=forgiven,
    )


def _trailer(build: Build, evidence: BySubject) -> RegisterEntry:
    return RegisterEntry(
        component=None,
        description=build.name,
        identification_number=build.vin,
        number_location=build.vin_location,
        shown_by=_tied(evidence, IDENTIFICATION_PLATE),
        photos=_photos(evidence, TRAILER, IDENTIFICATION_PLATE),
    )


def _entry(part: Component, evidence: BySubject) -> RegisterEntry:
    shows = f"{NUMBER}{part.id}"
    return RegisterEntry(
        component=part.id,
        description=part.description,
        quantity=part.quantity,
        unit=part.unit,
        serial_number=part.serial_number,
        model_number=part.model_number,
        number_location=part.number_location,
        acquired_on=part.acquired_on,
        supplier=part.supplier,
        shown_by=_tied(evidence, shows),
        photos=_photos(evidence, part.id, shows),
    )


def _tied(evidence: BySubject, subject: str) -> tuple[NumberEvidence, ...]:
    return tuple(map(_reference, evidence.get(subject, ())))


def _photos(evidence: BySubject, subject: str, shows: str) -> tuple[NumberEvidence, ...]:
    """Return the photos of a thing but those that show its number."""
    return tuple(
        _reference(each) for each in evidence.get(subject, ()) if each.kind == "photo" and shows not in each.subjects
    )


def _reference(each: Evidence) -> NumberEvidence:
    return NumberEvidence(
        id=each.id, sha256=each.sha256, media_type=each.media_type, file_name=each.file_name, kind=each.kind
    )
