"""Judge a condition by the facts: whether it holds, and which comparisons decide that."""

from collections.abc import Iterator

from msgspec import Struct

from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.kleene import Truth, at_least, negation
from hitchworth.model.definition import ElementResult, FactTest
from hitchworth.reference.condition import Comparison, Condition, Threshold, evaluate
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.parsed_facts import ParsedFact
from hitchworth.reference.units import decimal_text


class Judgment(Struct, frozen=True, kw_only=True):
    """A condition with its outcome, and its parts with theirs; a comparison with the fact that it compared."""

    condition: Condition
    holds: Truth
    parts: tuple["Judgment", ...] = ()
    fact: ParsedFact | None = None


def judge(condition: Condition, facts: BuildFacts) -> Judgment:
    """Return the outcome of the condition: unknown if it depends on an unknown fact."""
    if condition.comparison:
        fact = facts[condition.comparison.fact]
        return Judgment(condition=condition, holds=evaluate(condition.comparison, fact.value), fact=fact)
    parts = tuple(judge(part, facts) for part in condition.parts)
    if condition.rule == "not":
        return Judgment(condition=condition, holds=negation(parts[0].holds), parts=parts)
    return Judgment(condition=condition, holds=at_least(condition.needed, (p.holds for p in parts)), parts=parts)


def fact_tests(judgment: Judgment, *, decides: bool = True, negated: bool = False) -> Iterator[FactTest]:
    """Yield every comparison in the condition, and whether it decides the outcome."""
    if judgment.condition.comparison and judgment.fact:
        yield _test(judgment.condition.comparison, judgment.fact, decides=decides, negated=negated)
    inverts = judgment.condition.rule == "not"
    for part in judgment.parts:
        same = inverts or part.holds is judgment.holds
        yield from fact_tests(part, decides=decides and same, negated=negated is not inverts)


def _test(comparison: Comparison, fact: ParsedFact, *, decides: bool, negated: bool) -> FactTest:
    definition = vocabulary()[comparison.fact]
    is_number = definition.type in {"number", "integer"}
    return FactTest(
        fact=definition.name,
        operator=comparison.operator,
        threshold=_printable(comparison.threshold),
        unit=definition.unit,
        value=fact.given,
        holds=evaluate(comparison, fact.value),
        compared=str(_printable(fact.value)) if is_number and fact.value is not None else None,
        planned=fact.planned,
        preset=fact.preset,
        decides=decides,
        negated=negated,
    )


def _printable(value: Threshold) -> bool | str | tuple[str, ...]:
    return value if isinstance(value, bool | str | tuple) else decimal_text(value)


def element_result(judgment: Judgment, citation: str) -> ElementResult:
    """Return the judged condition for display, with the conditions in it that have their own text."""
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
        part_count=len(judgment.parts) or 1,
        parts_met=sum(part.holds is True for part in judgment.parts or (judgment,)),
        parts=tuple(element_result(part, citation) for part in _parts_with_text(judgment)),
    )


def _parts_with_text(judgment: Judgment) -> Iterator[Judgment]:
    for part in judgment.parts:
        if part.condition.text:
            yield part
        else:
            yield from _parts_with_text(part)
