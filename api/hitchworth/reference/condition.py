"""A condition of a definition: a comparison of one fact, or all / any / not / at least n of other conditions.

In the data files a comparison is written `FACT OP VALUE`; here it is parsed, once.
"""

import operator
import re
from collections.abc import Callable
from fractions import Fraction
from typing import Annotated, Literal, TypeAlias, cast

from msgspec import Meta, Struct, field

from hitchworth.model.assessment import Operator
from hitchworth.reference.facts import FactDefinition, vocabulary

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

    A condition with an id and a text is shown to the reader as one element of the definition.
    """

    id: Annotated[str | None, Meta(description="Name of the element within its definition.")] = None
    text: Annotated[str | None, Meta(description="The element in our own words.")] = None
    test: Annotated[
        str | None, Meta(description="A comparison of a fact with a threshold in the fact's unit: wheels <= 2.")
    ] = None
    all: Annotated["tuple[Element, ...] | None", Meta(description="Every one of these must hold.")] = None
    any: Annotated["tuple[Element, ...] | None", Meta(description="One of these must hold.")] = None
    not_: Annotated["Element | None", Meta(description="This must not hold.")] = field(default=None, name="not")
    at_least: Annotated[AtLeast | None, Meta(description="At least so many of these must hold.")] = None


class Comparison(Struct, frozen=True, kw_only=True):
    """A fact held against a threshold in the fact's unit."""

    fact: str
    operator: Operator
    threshold: Threshold


class Condition(Struct, frozen=True, kw_only=True):
    """A condition, parsed. It holds when `needed` of its parts do; `not` and `test` have a rule of their own."""

    rule: Rule
    parts: "tuple[Condition, ...]" = ()
    needed: int = 0
    comparison: Comparison | None = None
    id: str = ""
    text: str = ""


def parse(element: Element) -> Condition:
    """The condition that the element writes. Raises ValueError when it writes none, or more than one."""
    written = {"test": element.test, "all": element.all, "any": element.any, "not": element.not_}
    rules = [rule for rule, part in {**written, "at_least": element.at_least}.items() if part is not None]
    if len(rules) != 1:
        raise ValueError(f"{element.id or element.text}: one of test, all, any, not, at_least, not {rules}")
    comparison = compare(element.test) if element.test else None
    parts = tuple(parse(part) for part in _parts(element))
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


def compare(text: str) -> Comparison:
    """The comparison that the text writes. Raises ValueError for an unknown fact or a threshold of another type."""
    match = _COMPARISON.fullmatch(text)
    fact = vocabulary().get(match[1]) if match else None
    if match is None or fact is None:
        raise ValueError(f"{text}: FACT OP VALUE, the fact one of the vocabulary")
    sign = cast("Operator", match[2])
    threshold = _threshold(fact, match[3])
    numeric, listed = isinstance(threshold, Fraction) and fact.type != "boolean", isinstance(threshold, tuple)
    if (sign == "in") != listed or (sign not in {"==", "!=", "in"} and not numeric):
        raise ValueError(f"{text}: {sign} does not fit the threshold")
    return Comparison(fact=fact.name, operator=sign, threshold=threshold)


def outcome(comparison: Comparison, value: bool | Fraction | str | None) -> bool | None:
    """Whether the comparison holds for the value, without any rounding; unknown for an unknown one."""
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
