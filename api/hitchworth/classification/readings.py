"""The facts of a build as they count: as the trailer stands, or as it is planned."""

from collections.abc import Mapping
from fractions import Fraction

from hitchworth.model.build import FactValue
from hitchworth.reference.fact_value import UNKNOWN, Reading, read_fact
from hitchworth.reference.facts import Computed, vocabulary
from hitchworth.reference.quantity import decimal_text


class Readings:
    """Facts by name, in the units of the vocabulary. A fact that was neither given nor can be computed is unknown."""

    def __init__(self, given: Mapping[str, Reading], *, as_planned: bool) -> None:
        self._given = given
        self._as_planned = as_planned

    def __getitem__(self, fact: str) -> Reading:
        reading = self._given.get(fact, UNKNOWN)
        if reading.planned and not self._as_planned:
            return UNKNOWN
        rule = vocabulary()[fact].computed
        return self._computed(rule) if rule and reading.value is None else reading

    def _computed(self, rule: Computed) -> Reading:
        first, second = (self[fact] for fact in rule.of)
        if not isinstance(first.value, Fraction) or not isinstance(second.value, Fraction):
            return UNKNOWN
        if rule.rule != "difference" and second.value == 0:
            return UNKNOWN
        value = _combined(rule, first.value, second.value)
        return Reading(value=value, given=decimal_text(value), planned=first.planned or second.planned)

    @property
    def any_planned(self) -> bool:
        """Whether a fact is known only as a plan."""
        return any(reading.planned and reading.value is not None for reading in self._given.values())

    def as_planned(self) -> "Readings":
        """The same facts, the planned ones counted."""
        return Readings(self._given, as_planned=True)


def _combined(rule: Computed, first: Fraction, second: Fraction) -> Fraction:
    if rule.rule == "difference":
        return first - second
    return first / second * (100 if rule.rule == "percent" else 1)


def read_facts(given: Mapping[str, FactValue]) -> Readings:
    """The facts as the trailer stands. Raises KeyError for a fact outside the vocabulary, UnreadableFactError."""
    return Readings({name: read_fact(vocabulary()[name], value) for name, value in given.items()}, as_planned=False)
