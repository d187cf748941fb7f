"""What a policy pays for a loss under every combination of plausible answers to its open terms.

The loss is settled step by step. Where a step needs a term that is not known, the settlement continues once for each
plausible answer; a term that no step needs makes no difference. Settlements that have come to the same point by
different answers continue as one. So every combination is settled, exactly, and few steps are taken twice.
"""

from decimal import Decimal
from typing import Any, TypeAlias

from msgspec.structs import replace

from hitchworth.coverage.account import Account
from hitchworth.coverage.claim import VERDICT, Claim, OpenTermError, claim_of
from hitchworth.coverage.decision_diagram import DecisionDiagram, Node
from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.steps import open_account, settle_claim, stages_of
from hitchworth.coverage.terms import plausible_values
from hitchworth.model.policy import Policy

Answers: TypeAlias = dict[str, Any]
"""A plausible answer to each term that is named."""

VERDICTS = ("mismatch", "match")


class Outcomes:
    """One policy on one loss."""

    def __init__(self, policy: Policy, context: LossContext) -> None:
        self.claim = claim_of(policy, context)
        self.values: dict[str, tuple[object, ...]] = {}
        """The plausible answers to each term that was asked for."""
        self._diagram = DecisionDiagram()
        self._stages = stages_of(policy)
        self._reads = [
            tuple({term for stage in self._stages[place:] for term in stage.reads if getattr(policy, term) is None})
            for place in range(len(self._stages))
        ]
        """The open terms that a stage or one after it reads."""
        self._settled: dict[object, Node] = {}
        self._root = self._open(self.claim)
        self.terms = self._diagram.terms(self._root)
        """The open terms that move the payment."""

    @property
    def worst(self) -> Answers:
        """The answers under which least is paid; only those that are needed."""
        return self._answers(self._diagram.range(self._root)[0])

    @property
    def best(self) -> Answers:
        """The answers under which most is paid; only those that are needed."""
        return self._answers(self._diagram.range(self._root)[1])

    def payable_range(self, term: str | None = None, answer: int = 0) -> tuple[Decimal, Decimal]:
        """Return the least and the most that is paid, in all or once a term has one of its plausible answers."""
        root = self._root if term is None else self._diagram.restrict(self._root, term, answer)
        low, high = self._diagram.range(root)
        return self.claim.money.from_minor_units(low), self.claim.money.from_minor_units(high)

    def stake(self, term: str) -> Decimal:
        """Return how far the answer to a term moves what is paid, at most; 0 for one that is not asked for."""
        answers = len(self.values.get(term, ()))
        spread = self._diagram.spread(self._root, term, answers) if answers else 0
        return self.claim.money.from_minor_units(spread)

    def settle(self, answers: Answers) -> tuple[Claim, Account]:
        """Return the claim under these answers and its account.

        A term that the account needs and that is not among the answers makes no difference: it takes its first
        plausible answer.
        """
        claim = with_answers(self.claim, answers)
        while True:
            try:
                return claim, settle_claim(claim)
            except OpenTermError as needed:
                claim = self._answered(claim, needed.term)[0]

    def _answers(self, amount: int) -> Answers:
        path = self._diagram.path(self._root, amount)
        return {term: self.values[term][answer] for term, answer in path.items()}

    def _open(self, claim: Claim) -> Node:
        try:
            account = open_account(claim)
        except OpenTermError as needed:
            return self._branch(needed.term, [self._open(each) for each in self._answered(claim, needed.term)])
        return self._settle(0, account, claim)

    def _settle(self, place: int, account: Account, claim: Claim) -> Node:
        """Settle from a stage on; what has come to the same point before is not settled again."""
        if place == len(self._stages) or not account.covered:
            return self._diagram.leaf(account.running)
        key = (
            place,
            account.position,
            claim.context.verdict,
            *(getattr(claim.policy, term) for term in self._reads[place]),
        )
        node = self._settled.get(key)
        if node is None:
            node = self._settled[key] = self._next(place, account, claim)
        return node

    def _next(self, place: int, account: Account, claim: Claim) -> Node:
        try:
            after = self._stages[place].run(account, claim)
        except OpenTermError as needed:
            answered = self._answered(claim, needed.term)
            return self._branch(needed.term, [self._settle(place, account, each) for each in answered])
        return self._settle(place + 1, after, claim)

    def _branch(self, term: str, children: list[Node]) -> Node:
        return self._diagram.branch(term, children)

    def _answered(self, claim: Claim, term: str) -> list[Claim]:
        """Return the claim once for each plausible answer to the term."""
        if term not in self.values:
            build = claim.context.build
            values = VERDICTS if term == VERDICT else plausible_values(term, build.jurisdiction, build.currency)
            self.values[term] = values
        return [with_answer(claim, term, value) for value in self.values[term]]


def with_answers(claim: Claim, answers: Answers) -> Claim:
    """Return the claim with these terms answered."""
    for term, value in answers.items():
        claim = with_answer(claim, term, value)
    return claim


def with_answer(claim: Claim, term: str, value: Any) -> Claim:
    """Return the claim with one open term answered."""
    if term == VERDICT:
        return replace(claim, context=replace(claim.context, verdict=value))
    return replace(claim, policy=replace(claim.policy, **{term: value}))
