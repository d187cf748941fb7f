"""What a loss destroys line by line, and such lines taken together: their sums, which a settlement asks for many times.

Amounts are whole minor units of the currency, so every sum is exact.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from msgspec import Struct

from hitchworth.reference.category_groups import CONTENTS, CUSTOM_EQUIPMENT, PLAIN_TRAILER, belongs


class LossLine(Struct, frozen=True, gc=False, cache_hash=True):
    """The destroyed part of one line, or of all lines of one category.

    Depreciation of parts and of labor are kept apart, because a policy may take the one and not the other.
    """

    category: str
    replacement_cost: int
    depreciation: int
    labor_depreciation: int
    is_base: bool
    """It belongs to what a plain trailer of the registered class comes with, or it is the labor that serves such."""
    is_own_labor: bool = False
    """Hours of the builder that nobody was paid for at a shop's rate: an insurer may not count them."""
    untaxed: int = 0
    """The part of the replacement cost that carries no sales tax."""
    obsolescence: int = 0
    """What functional and economic obsolescence take after wear, with labor kept."""
    obsolescence_after_labor: int = 0
    """The same with labor depreciated."""


class Worth(NamedTuple):
    """What lines are worth by some rule."""

    whole: int
    untaxed: int
    """Of it the worth of the lines that carry no sales tax."""
    by_category: dict[str, int]


class LossLines:
    """Lines that are settled together, never changed, in any order. Each sum is taken once, when it is first asked for.

    Every line carries sales tax as a whole or not at all. Two collections are equal only if they are the same one: what
    is derived from a collection is kept with it, so the same question has the same answer.
    """

    def __init__(self, lines: Iterable[LossLine] = ()) -> None:
        self._lines = tuple(lines)
        self._worths: dict[Hashable, Worth] = {}
        self._named: dict[str, tuple[str, ...]] = {}

    def __iter__(self) -> Iterator[LossLine]:
        return iter(self._lines)

    @cached_property
    def replacement_cost(self) -> int:
        return sum(line.replacement_cost for line in self)

    @cached_property
    def depreciation(self) -> int:
        """Of the parts."""
        return sum(line.depreciation for line in self)

    @cached_property
    def labor_depreciation(self) -> int:
        return sum(line.labor_depreciation for line in self)

    @cached_property
    def obsolescence(self) -> int:
        return sum(line.obsolescence for line in self)

    @cached_property
    def obsolescence_after_labor(self) -> int:
        return sum(line.obsolescence_after_labor for line in self)

    @cached_property
    def untaxed(self) -> int:
        return sum(line.untaxed for line in self)

    @cached_property
    def is_plain_trailer(self) -> bool:
        """Whether there is nothing but the plain trailer of the registered class."""
        return all(line.category == PLAIN_TRAILER for line in self)

    @cached_property
    def base(self) -> "LossLines":
        """What a plain trailer of the registered class comes with."""
        return LossLines(line for line in self if line.is_base)

    @cached_property
    def without_own_labor(self) -> "LossLines":
        """The lines without the builder's own hours; the collection itself where there are none."""
        if not any(line.is_own_labor for line in self):
            return self
        return LossLines(line for line in self if not line.is_own_labor)

    def worth(self, rule: Hashable, of_line: Callable[[LossLine], int]) -> Worth:
        """Return what the lines are worth by a rule: what it says of each line, asked once for each rule.

        rule: everything on which the answer for a line depends besides the line.
        """
        found = self._worths.get(rule)
        if found is None:
            found = self._worths[rule] = self._worth(of_line)
        return found

    def named(self, name: str) -> tuple[str, ...]:
        """Return the categories of the lines that a name stands for: a category, or a group of them."""
        found = self._named.get(name)
        if found is None:
            categories: Iterable[str] = dict.fromkeys(line.category for line in self)
            if name not in {CONTENTS, CUSTOM_EQUIPMENT}:
                categories = {name}.intersection(categories)
            found = self._named[name] = tuple(each for each in categories if belongs(each, name))
        return found

    def _worth(self, of_line: Callable[[LossLine], int]) -> Worth:
        whole, untaxed, by_category = 0, 0, dict[str, int]()
        for line in self:
            worth = of_line(line)
            whole += worth
            if line.untaxed:
                untaxed += worth
            by_category[line.category] = by_category.get(line.category, 0) + worth
        return Worth(whole, untaxed, by_category)
