"""The facts of a build, as the trailer is now or as it is planned, with those that are computed or preset."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from hitchworth.model.build import FactValue
from hitchworth.reference.facts import Computed, vocabulary
from hitchworth.reference.parsed_facts import UNKNOWN, ParsedFact, parse_fact
from hitchworth.reference.units import decimal_text


class BuildFacts:
    """Facts by name, in the units of the vocabulary.

    A fact that is given goes before a preset. One that is not given, computable or preset is unknown.
    """

    def __init__(
        self, given: Mapping[str, ParsedFact], *, as_planned: bool, presets: Mapping[str, bool] | None = None
    ) -> None:
        self._given = given
        self._as_planned = as_planned
        self._presets = presets or {}

    def __getitem__(self, name: str) -> ParsedFact:
        fact = self._given.get(name, UNKNOWN)
        if fact.planned and not self._as_planned:
            return self._preset(name)
        if fact.value is not None:
            return fact
        rule = vocabulary()[name].computed
        return self._computed(rule) if rule else self._preset(name)

    def _preset(self, name: str) -> ParsedFact:
        value = self._presets.get(name)
        return UNKNOWN if value is None else ParsedFact(value=value, given=value, preset=True)

    def _computed(self, rule: Computed) -> ParsedFact:
        sources = [self[name] for name in rule.of]
        numbers = [source.value for source in sources if isinstance(source.value, Fraction)]
        if len(numbers) < len(sources) or (rule.rule in {"ratio", "percent"} and numbers[1] == 0):
            return UNKNOWN
        value = _combine(rule, numbers)
        return ParsedFact(value=value, given=decimal_text(value), planned=any(source.planned for source in sources))

    @property
    def any_planned(self) -> bool:
        """Whether a fact is known only as a plan."""
        return any(fact.planned and fact.value is not None for fact in self._given.values())

    def as_planned(self) -> "BuildFacts":
        """Return the same facts with the planned ones counted."""
        return BuildFacts(self._given, as_planned=True, presets=self._presets)

    def with_presets(self, presets: Mapping[str, bool]) -> "BuildFacts":
        """Return the same facts, with these values for facts that are not given."""
        return BuildFacts(self._given, as_planned=self._as_planned, presets=presets)


def _combine(rule: Computed, numbers: Sequence[Fraction]) -> Fraction:
    if rule.rule == "half":
        return (numbers[0] + rule.plus) / 2
    first, second = numbers
    if rule.rule in {"difference", "sum"}:
        return first - second if rule.rule == "difference" else first + second
    return first / second * (100 if rule.rule == "percent" else 1)


def parse_facts(given: Mapping[str, FactValue]) -> BuildFacts:
    """Return the facts of the trailer as it is now. Raises KeyError for an unknown fact, InvalidFactError."""
    return BuildFacts({name: parse_fact(vocabulary()[name], value) for name, value in given.items()}, as_planned=False)
