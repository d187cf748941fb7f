"""Conditions over facts, parsed from the data files, and the comparisons that contradict each other.

A condition is a comparison of one fact, or all / any / not / at least n of other conditions. The data files write a
comparison as `FACT OPERATOR VALUE`.
"""

import operator
import re
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from typing import Annotated, Literal, TypeAlias, cast

from msgspec import Meta, Struct, field

from hitchworth.model.definition import Operator
from hitchworth.reference.facts import FactDefinition, vocabulary
from hitchworth.reference.load import read

Rule: TypeAlias = Literal["test", "all", "any", "not", "at_least"]
Threshold: TypeAlias = bool | Fraction | str | tuple[str, ...]

_COMPARE: dict[str, Callable[[Threshold, Threshold], bool]] = {
    "==": operator.eq,
    "!=": operator.ne,
    "<=": operator.le,
    "<": operator.lt,
    ">=": operator.ge,
    ">": operator.gt,
    "in": lambda value, words: operator.contains(words, value),  # type: ignore[arg-type]
}
_COMPARISON = re.compile(r"(\w+) (==|!=|<=|<|>=|>|in) (.+)")


class AtLeast(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """At least n of a list of conditions."""

    n: Annotated[int, Meta(description="How many must hold.")]
    of: Annotated["tuple[Element, ...]", Meta(description="The conditions.")]


class Element(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """A condition: exactly one of test, all, any, not, at_least. The others are left out.

    One with an id and a text is shown to the reader as one condition of the definition.
    """

    id: Annotated[str | None, Meta(description="Name of the element within its definition. Null: it has none.")] = None
    text: Annotated[str | None, Meta(description="The element in our own words. Null: it is not shown by itself.")] = (
        None
    )
    test: Annotated[
        str | None,
        Meta(
            description="A comparison of a fact with a threshold in the fact's unit: wheels <= 2. Null: the condition "
            "is another one."
        ),
    ] = None
    all: Annotated[
        "tuple[Element, ...] | None",
        Meta(description="Every one of these must hold. Null: the condition is another one."),
    ] = None
    any: Annotated[
        "tuple[Element, ...] | None", Meta(description="One of these must hold. Null: the condition is another one.")
    ] = None
    not_: Annotated["Element | None", Meta(description="This must not hold. Null: the condition is another one.")] = (
        field(default=None, name="not")
    )
    at_least: Annotated[
        AtLeast | None, Meta(description="At least so many of these must hold. Null: the condition is another one.")
    ] = None


class Comparison(Struct, frozen=True, kw_only=True):
    """A fact compared with a threshold in the fact's unit."""

    fact: str
    operator: Operator
    threshold: Threshold


class Condition(Struct, frozen=True, kw_only=True):
    """A parsed condition. It holds when `needed` of its parts hold; `not` and `test` have their own rules."""

    rule: Rule
    parts: "tuple[Condition, ...]" = ()
    needed: int = 0
    comparison: Comparison | None = None
    id: str = ""
    text: str = ""


def parse_condition(element: Element) -> Condition:
    """Return the condition that the element describes. Raises ValueError unless it describes exactly one."""
    written = {"test": element.test, "all": element.all, "any": element.any, "not": element.not_}
    rules = [rule for rule, part in {**written, "at_least": element.at_least}.items() if part is not None]
    if len(rules) != 1:
        raise ValueError(f"{element.id or element.text}: expected one of test, all, any, not, at_least; found {rules}")
    comparison = parse_comparison(element.test) if element.test else None
    parts = tuple(parse_condition(part) for part in _parts(element))
    return Condition(
        rule=cast("Rule", rules[0]),
        parts=parts,
        needed=_needed(element, parts),
        comparison=comparison,
        id=element.id or "",
        text=element.text or "",
    )


def _parts(element: Element) -> tuple[Element, ...]:
    if element.at_least:
        return element.at_least.of
    return element.all or element.any or ((element.not_,) if element.not_ else ())


def _needed(element: Element, parts: tuple[Condition, ...]) -> int:
    if element.at_least:
        return element.at_least.n
    return len(parts) if element.all else 1


def parse_comparison(text: str) -> Comparison:
    """Return the comparison in the text. Raises ValueError for an unknown fact or a threshold of the wrong type."""
    match = _COMPARISON.fullmatch(text)
    fact = vocabulary().get(match[1]) if match else None
    if match is None or fact is None:
        raise ValueError(f"{text}: expected FACT OPERATOR VALUE, with a fact of the vocabulary")
    sign = cast("Operator", match[2])
    threshold = _threshold(fact, match[3])
    numeric, listed = isinstance(threshold, Fraction) and fact.type != "boolean", isinstance(threshold, tuple)
    if (sign == "in") != listed or (sign not in {"==", "!=", "in"} and not numeric):
        raise ValueError(f"{text}: {sign} does not fit the threshold")
    return Comparison(fact=fact.name, operator=sign, threshold=threshold)


def evaluate(comparison: Comparison, value: bool | Fraction | str | None) -> bool | None:
    """Return whether the comparison holds for the value, without rounding; None when the value is unknown."""
    return None if value is None else _COMPARE[comparison.operator](value, comparison.threshold)


def _threshold(fact: FactDefinition, text: str) -> Threshold:
    if fact.type == "boolean":
        return {"true": True, "false": False}[text]
    if fact.type in {"number", "integer"}:
        return Fraction(text)
    words = tuple(word.strip() for word in text.strip("[]").split(","))
    if fact.values and not set(words) <= set(fact.values):
        raise ValueError(f"{text}: {fact.name} is one of {fact.values}")
    return words if text.startswith("[") else words[0]


class Contradiction(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Two comparisons that exclude each other, or two facts of which the first is never larger than the second."""

    id: str
    mutually_exclusive: tuple[str, ...] = ()
    ascending: tuple[str, ...] = ()


@cache
def contradictions() -> tuple[tuple[Contradiction, tuple[Comparison, ...]], ...]:
    """Return every known contradiction, with its parsed comparisons."""
    entries = read("contradictions.yaml", tuple[Contradiction, ...])
    return tuple((entry, tuple(map(parse_comparison, entry.mutually_exclusive))) for entry in entries)
