"""A function of a few open terms, stored as a diagram: each node asks for one term, each leaf is an amount.

Equal nodes are stored once, and a node whose answers all lead to the same place is left out. So the diagram holds every
combination of answers, exactly, without listing them; least, greatest and spread are found by walking it. (Algebraic
decision diagrams: Bahar et al., 1993 [from memory], with more than two answers per node.)
"""

from collections.abc import Mapping, Sequence
from functools import cache
from typing import NamedTuple, TypeAlias

Node: TypeAlias = int
"""The place of a node in the diagram."""


class _Branch(NamedTuple):
    term: str
    children: tuple[Node, ...]
    """The node for each answer, in the order of the term's plausible answers."""


class DecisionDiagram:
    """A diagram is built from its leaves up. Every node of it may serve as the root of a function."""

    def __init__(self) -> None:
        self._nodes: list[int | _Branch] = []
        self._places: dict[int | _Branch, Node] = {}
        self._terms: list[frozenset[str]] = []
        """Of each node: the terms on which its amount depends."""
        self._restrict = cache(self._restricted)
        self._spread = cache(self._spread_of)
        self._range = cache(self._range_of)

    def leaf(self, amount: int) -> Node:
        """Return the node of an amount."""
        return self._place(amount)

    def branch(self, term: str, children: Sequence[Node]) -> Node:
        """Return the node that asks for a term; where no answer makes a difference, the one that all lead to."""
        return children[0] if len(set(children)) == 1 else self._place(_Branch(term, tuple(children)))

    def terms(self, root: Node) -> tuple[str, ...]:
        """Return the terms that move the amount, in the order in which they are asked for."""
        found: dict[str, None] = {}
        seen: set[Node] = set()
        waiting = [root]
        while waiting:
            place = waiting.pop(0)
            node = self._nodes[place]
            if place not in seen and isinstance(node, _Branch):
                found[node.term] = None
                waiting.extend(node.children)
            seen.add(place)
        return tuple(found)

    def range(self, root: Node) -> tuple[int, int]:
        """Return the least and the greatest amount."""
        return self._range(root)

    def path(self, root: Node, amount: int) -> Mapping[str, int]:
        """Return the answers that lead to an amount: for each term asked for, the place of its first such answer."""
        answers: dict[str, int] = {}
        node = self._nodes[root]
        while isinstance(node, _Branch):
            places = enumerate(node.children)
            place, root = next((p, child) for p, child in places if self._reaches(child, amount))
            answers[node.term] = place
            node = self._nodes[root]
        return answers

    def restrict(self, root: Node, term: str, answer: int) -> Node:
        """Return the function that is left once a term is answered."""
        return self._restrict(root, term, answer)

    def spread(self, root: Node, term: str, answers: int) -> int:
        """Return how far the answer to a term moves the amount at most, whatever the answers to the other terms."""
        return self._spread(frozenset(self._restrict(root, term, answer) for answer in range(answers)))

    def _place(self, node: int | _Branch) -> Node:
        place = self._places.get(node)
        if place is None:
            place = self._places[node] = len(self._nodes)
            self._nodes.append(node)
            self._terms.append(self._terms_of(node))
        return place

    def _terms_of(self, node: int | _Branch) -> frozenset[str]:
        if not isinstance(node, _Branch):
            return frozenset()
        return frozenset((node.term,)).union(*(self._terms[child] for child in node.children))

    def _reaches(self, root: Node, amount: int) -> bool:
        """Return whether the amount, the least or the greatest of all, is among those of the node."""
        return amount in self._range(root)

    def _range_of(self, root: Node) -> tuple[int, int]:
        node = self._nodes[root]
        if not isinstance(node, _Branch):
            return node, node
        ranges = [self._range(child) for child in node.children]
        return min(low for low, _ in ranges), max(high for _, high in ranges)

    def _restricted(self, root: Node, term: str, answer: int) -> Node:
        node = self._nodes[root]
        if term not in self._terms[root] or not isinstance(node, _Branch):
            return root
        if node.term == term:
            return node.children[answer]
        return self.branch(node.term, [self._restrict(child, term, answer) for child in node.children])

    def _spread_of(self, roots: frozenset[Node]) -> int:
        """Return the greatest difference of the functions under one set of answers."""
        if len(roots) == 1:
            return 0
        branches = (node for root in roots if isinstance(node := self._nodes[root], _Branch))
        first = next(branches, None)
        if first is None:
            return self._most_spread(roots)
        term, answers = first.term, range(len(first.children))
        answered = [frozenset(self._restrict(root, term, answer) for root in roots) for answer in answers]
        greatest = 0
        for most, left in sorted(((self._most_spread(left), left) for left in answered), key=_bound, reverse=True):
            if most <= greatest:
                break
            greatest = max(greatest, self._spread(left))
        return greatest

    def _most_spread(self, roots: frozenset[Node]) -> int:
        """Return a bound of the spread: the difference between the least and the greatest amount of all."""
        ranges = [self._range(root) for root in roots]
        return max(high for _, high in ranges) - min(low for low, _ in ranges)


def _bound(bounded: tuple[int, frozenset[Node]]) -> int:
    return bounded[0]
