"""Rules for what a classification depends on: facts, jurisdictions, and the date of the definitions."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from functools import lru_cache

from hitchworth.model.build import FactValue, Measurement
from hitchworth.model.document import Document
from hitchworth.model.fault import Fault
from hitchworth.model.request import ClassificationRequest
from hitchworth.reference.condition import Comparison, Contradiction, contradictions, evaluate
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.parsed_facts import UNKNOWN, InvalidFactError, ParsedFact, parse_fact
from hitchworth.validation.fault_texts import shorten
from hitchworth.validation.json_pointer import child_pointer
from hitchworth.validation.names import duplicates, unknown_name


def unknown_jurisdiction(code: str | None, pointer: str = "/jurisdiction") -> Iterator[Fault]:
    """The jurisdiction has definitions here. Null is one that is not known yet, and not a fault."""
    if code is not None:
        yield from unknown_name(
            code, jurisdictions(), pointer, "Unknown jurisdiction", "a code of GET /v1/jurisdictions"
        )


def unknown_destinations(request: ClassificationRequest | Document) -> Iterator[Fault]:
    """The jurisdictions that the trailer travels to have definitions here."""
    for index, code in enumerate(request.travels_to):
        yield from unknown_jurisdiction(code, f"/travels_to/{index}")


def duplicate_destinations(request: ClassificationRequest | Document) -> Iterator[Fault]:
    """Each jurisdiction that the trailer travels to is named once."""
    return duplicates("jurisdiction", {"/travels_to/{}": request.travels_to})


def as_of_in_future(request: ClassificationRequest, today: date) -> Iterator[Fault]:
    """The definitions of a date in the future are not known. Null is today."""
    if request.as_of is not None and request.as_of > today:
        yield Fault(
            pointer="/as_of",
            detail="Date is in the future",
            expected=f"{today.isoformat()} or earlier",
            found=request.as_of.isoformat(),
        )


def fields_beside_build(request: ClassificationRequest) -> Iterator[Fault]:
    """A request has a build, or states the same facts without one."""
    for name in ("jurisdiction", "registered_class", "vin", "facts"):
        if request.build is not None and getattr(request, name):
            yield Fault(
                pointer=f"/{name}",
                detail="Not allowed together with a build, which states it",
                expected=f"either build or {name}",
                found="both",
            )


def fact_faults(facts: Mapping[str, FactValue], pointer: str) -> Iterator[Fault]:
    """Yield the faults of each fact, then the contradictions between facts.

    `pointer` is the place of the object that holds the facts.
    """
    readings: dict[str, ParsedFact] = {}
    for name, given in facts.items():
        at = child_pointer(pointer, name)
        if name not in vocabulary():
            yield from unknown_name(name, vocabulary(), at, "No fact has this name", "a fact of GET /v1/facts")
            continue
        try:
            readings[name] = parse_fact(vocabulary()[name], given)
        except InvalidFactError as error:
            yield Fault(
                pointer=child_pointer(at, error.member) if isinstance(given, Measurement) else at,
                detail=f"Not a valid value of {name}",
                expected=error.expected,
                found=shorten(error.found),
            )
    yield from _contradictions(readings, pointer)


def _contradictions(readings: Mapping[str, ParsedFact], pointer: str) -> Iterator[Fault]:
    """Yield a fault for facts that exclude each other. Planned facts are compared only with planned ones."""
    for planned in (False, True):
        known = {name: reading for name, reading in readings.items() if reading.planned is planned}
        for rule, comparisons in _applicable_rules(frozenset(known)):
            if _exceeds(rule.ascending, known) or _all_hold(comparisons, known):
                first, second = rule.ascending or (comparison.fact for comparison in comparisons)
                yield Fault(
                    pointer=child_pointer(pointer, second),
                    detail=f"{first} and {second} contradict each other",
                    expected=f"a value that agrees with {first}: {_show(known[first])}",
                    found=_show(known[second]),
                )


@lru_cache(maxsize=1000)
def _applicable_rules(names: frozenset[str]) -> tuple[tuple[Contradiction, tuple[Comparison, ...]], ...]:
    """Return the contradictions between facts of these names. Cached: most builds of a batch state the same facts."""
    return tuple(
        (rule, comparisons)
        for rule, comparisons in contradictions()
        if names.issuperset(rule.ascending or (comparison.fact for comparison in comparisons))
    )


def _exceeds(at_most: Sequence[str], known: Mapping[str, ParsedFact]) -> bool:
    smaller, larger = (known.get(name, UNKNOWN).value for name in at_most or ("", ""))
    return isinstance(smaller, Fraction) and isinstance(larger, Fraction) and smaller > larger


def _all_hold(comparisons: Sequence[Comparison], known: Mapping[str, ParsedFact]) -> bool:
    return bool(comparisons) and all(evaluate(c, known.get(c.fact, UNKNOWN).value) for c in comparisons)


def _show(parsed: ParsedFact) -> str:
    return str(parsed.given).lower() if isinstance(parsed.given, bool) else str(parsed.given)
