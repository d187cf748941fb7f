"""What a policy pays for a loss under every combination of plausible answers to its open terms.

The loss is settled step by step. Where a step needs a term that is not known, the settlement continues once for each
plausible answer; a term that no step needs makes no difference. Settlements that have come to the same point by
different answers continue as one. So every combination is settled, exactly, and few steps are taken twice.
"""

from decimal import Decimal
from typing import TypeAlias

from msgspec.structs import replace

from hitchworth.coverage.account import Account
from hitchworth.coverage.claim import COMPARABLE_PRICE, SALVAGE, VERDICT, Claim, OpenTermError, claim_of
from hitchworth.coverage.decision_diagram import DecisionDiagram, Node
from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.stages import FIRST_ORDERED_STAGE, STAGES, ahead_of, settle_claim, stage_at
from hitchworth.coverage.steps import open_account
from hitchworth.coverage.terms import TermValue, plausible_answers, with_answer
from hitchworth.model.policy import Policy

Answers: TypeAlias = dict[str, TermValue]
"""A plausible answer to each term that is named."""

AnswerPlaces: TypeAlias = tuple[tuple[str, str, int], ...]
"""For each term that was answered: the field of the policy, the term, and the place of the answer."""


class Outcomes:
    """One policy on one loss."""

    def __init__(self, policy: Policy, context: LossContext) -> None:
        self.claim = claim_of(policy, context)
        self.values: dict[str, tuple[TermValue, ...]] = {}
        """The plausible answers to each term that was asked for."""
        self._diagram = DecisionDiagram()
        self._settled: dict[object, Node] = {}
        self._root = self._settle(0, open_account(self.claim), self.claim, ())
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
        claim = self.claim
        for term, value in answers.items():
            claim = with_claim_answer(claim, term, value)
        while True:
            try:
                return claim, settle_claim(claim)
            except OpenTermError as needed:
                claim = self._answered(claim, needed.term)[0]

    def _answers(self, amount: int) -> Answers:
        path = self._diagram.path(self._root, amount)
        return {term: self.values[term][answer] for term, answer in path.items()}

    def _settle(self, place: int, account: Account, claim: Claim, answers: AnswerPlaces) -> Node:
        """Settle from a stage on; what has come to the same point before is not settled again.

        `answers` are those to the terms that were open, by their place among the plausible ones. Of these only the ones
        that a later stage may look at count.
        """
        if place == STAGES or not account.covered or (place >= FIRST_ORDERED_STAGE and not account.running):
            return self._diagram.leaf(account.running)
        ahead = ahead_of(place, claim)
        still = tuple(answer for answer in answers if answer[0] in ahead.terms)
        key = (place, account.position(parts=ahead.parts), still)
        node = self._settled.get(key)
        if node is None:
            node = self._settled[key] = self._next(place, account, claim, still)
        return node

    def _next(self, place: int, account: Account, claim: Claim, answers: AnswerPlaces) -> Node:
        try:
            after = stage_at(place, claim).run(account, claim)
        except OpenTermError as needed:
            term = needed.term
            name = term.partition(".")[0]
            branches = enumerate(self._answered(claim, term))
            return self._diagram.branch(
                term, [self._settle(place, account, each, (*answers, (name, term, at))) for at, each in branches]
            )
        return self._settle(place + 1, after, claim, answers)

    def _answered(self, claim: Claim, term: str) -> list[Claim]:
        """Return the claim once for each plausible answer to the term."""
        if term not in self.values:
            self.values[term] = plausible_answers(term, self.claim)
        return [with_claim_answer(claim, term, value) for value in self.values[term]]


def with_claim_answer(claim: Claim, term: str, value: TermValue) -> Claim:
    """Return the claim with one open term answered, the verdict decided, or the plain trailer or the wreck valued."""
    if term == VERDICT:
        return replace(claim, context=replace(claim.context, verdict=value))
    if term == COMPARABLE_PRICE:
        return replace(claim, plain_trailers={value: claim.plain_trailers[value]})
    if term == SALVAGE:
        loss = replace(claim.loss, salvage_value=value)
        return replace(claim, context=replace(claim.context, loss=loss), assumes_salvage=True)
    return replace(claim, policy=with_answer(claim.policy, term, value))
