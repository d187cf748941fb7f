"""Judge a condition by the facts: whether it holds, and which comparisons made it so."""

from collections.abc import Iterator

from msgspec import Struct

from hitchworth.classification.kleene import Truth, at_least, negation
from hitchworth.classification.readings import Readings
from hitchworth.model.assessment import ElementResult, FactTest
from hitchworth.reference.condition import Comparison, Condition, Threshold, outcome
from hitchworth.reference.fact_value import Reading
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.quantity import decimal_text


class Judgment(Struct, frozen=True, kw_only=True):
    """A condition with its outcome, and its parts with theirs."""

    condition: Condition
    holds: Truth
    parts: tuple["Judgment", ...] = ()
    reading: Reading | None = None


def judge(condition: Condition, facts: Readings) -> Judgment:
    """The outcome of the condition under the facts; unknown facts make it unknown where they matter."""
    if condition.comparison:
        reading = facts[condition.comparison.fact]
        return Judgment(condition=condition, holds=outcome(condition.comparison, reading.value), reading=reading)
    parts = tuple(judge(part, facts) for part in condition.parts)
    if condition.rule == "not":
        return Judgment(condition=condition, holds=negation(parts[0].holds), parts=parts)
    return Judgment(condition=condition, holds=at_least(condition.needed, (p.holds for p in parts)), parts=parts)


def fact_tests(judgment: Judgment, *, decides: bool = True, negated: bool = False) -> Iterator[FactTest]:
    """Every comparison under the condition, marked whether it is a reason for the outcome."""
    if judgment.condition.comparison and judgment.reading:
        yield _test(judgment.condition.comparison, judgment.reading, decides=decides, negated=negated)
    inverts = judgment.condition.rule == "not"
    for part in judgment.parts:
        same = inverts or part.holds is judgment.holds
        yield from fact_tests(part, decides=decides and same, negated=negated is not inverts)


def _test(comparison: Comparison, reading: Reading, *, decides: bool, negated: bool) -> FactTest:
    fact = vocabulary()[comparison.fact]
    number = fact.type in {"number", "integer"}
    return FactTest(
        fact=fact.name,
        operator=comparison.operator,
        threshold=_written(comparison.threshold),
        unit=fact.unit,
        value=reading.given,
        holds=outcome(comparison, reading.value),
        compared=str(_written(reading.value)) if number and reading.value is not None else None,
        planned=reading.planned,
        decides=decides,
        negated=negated,
    )


def _written(value: Threshold) -> bool | str | tuple[str, ...]:
    return value if isinstance(value, bool | str | tuple) else decimal_text(value)


def element_result(judgment: Judgment, citation: str) -> ElementResult:
    """The judged condition as it is shown, with the conditions within it that have a text of their own."""
    condition = judgment.condition
    return ElementResult(
        id=condition.id,
        text=condition.text,
        holds=judgment.holds,
        because="",
        citation=citation,
        tests=tuple(fact_tests(judgment)),
        rule=condition.rule,
        needed=condition.needed if condition.rule == "at_least" else 0,
        conditions=len(judgment.parts) or 1,
        held=sum(part.holds is True for part in judgment.parts or (judgment,)),
        parts=tuple(element_result(part, citation) for part in _named(judgment)),
    )


def _named(judgment: Judgment) -> Iterator[Judgment]:
    for part in judgment.parts:
        if part.condition.text:
            yield part
        else:
            yield from _named(part)
