"""What a claim comes to under the plausible answers to the open terms of its policy.

Not every combination of answers is settled: their number multiplies with every term. Settled are the least and the most
favorable combination, and what differs from one of them in at most two answers. That is enough to see what one term
moves, also where another one hides it (a limit that caps the payment anyway, say), and grows with the square of the
number of terms only.
"""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import TypeAlias, cast

from msgspec.structs import replace

from hitchworth.coverage.account import account_of
from hitchworth.coverage.case import Case, case_of
from hitchworth.coverage.circumstances import LossContext
from hitchworth.coverage.claim import claim_of
from hitchworth.coverage.terms import plausible_values, unknown_terms
from hitchworth.model.assessment import Verdict
from hitchworth.model.policy import Policy

Answers: TypeAlias = tuple[object, ...]
"""One plausible answer to each open term, in the order of the terms."""

VERDICT = "verdict"
"""Counts as a term while it is undetermined: the answer comes from facts, not from the insurer."""

VERDICTS: tuple[Verdict, ...] = ("mismatch", "match")


class Outcomes:
    """One policy on one loss. A combination of answers is settled once."""

    def __init__(self, policy: Policy, around: LossContext) -> None:
        self.claim = claim_of(policy, around)
        undetermined = around.verdict == "undetermined"
        self.terms = (*unknown_terms(policy), VERDICT) if undetermined else unknown_terms(policy)
        place, currency = around.build.jurisdiction, around.build.currency
        self.values: list[Answers] = [
            VERDICTS if term == VERDICT else plausible_values(term, place, currency) for term in self.terms
        ]
        self._payable: dict[Answers, Decimal] = {}
        self.worst = self._extreme(min)
        self.best = self._extreme(max)

    def case(self, answers: Answers) -> Case:
        """The claim under these answers."""
        known = dict(zip(self.terms, answers, strict=True))
        verdict = cast("Verdict", known.pop(VERDICT, self.claim.around.verdict))
        return case_of(self.claim, replace(self.claim.policy, **known) if known else self.claim.policy, verdict)

    def payable(self, answers: Answers) -> Decimal:
        """What is paid under these answers, now and later."""
        paid = self._payable.get(answers)
        if paid is None:
            case = self.case(answers)
            paid = self._payable[answers] = account_of(case, worn=case.takes_wear).running
        return paid

    def swing(self, term: str) -> Decimal:
        """How far the answer to the term moves what is payable, at most."""
        place = self.terms.index(term)
        return max(
            _spread(self.payable(each) for each in self._varied(around, place)) for around in self.neighbours(place)
        )

    def moving(self) -> Iterator[str]:
        """The open terms on which money hangs."""
        return (term for term in self.terms if self.swing(term))

    def neighbours(self, but: int | None = None) -> Iterator[Answers]:
        """The two extremes, and what differs from one of them in one answer other than the one at the place `but`."""
        for end in (self.worst, self.best):
            yield end
            for place in range(len(self.terms)):
                if place != but:
                    yield from self._varied(end, place)

    def _varied(self, answers: Answers, place: int) -> Iterator[Answers]:
        return ((*answers[:place], value, *answers[place + 1 :]) for value in self.values[place])

    def _extreme(self, choose: Callable[..., Answers]) -> Answers:
        """From either end of the answers, through the terms twice, each time to the one that pays least, or most."""
        ends = [tuple(values[0] for values in self.values), tuple(values[-1] for values in self.values)]
        if choose is max:
            ends.reverse()
        return choose((self._climbed(end, choose) for end in ends), key=self.payable)

    def _climbed(self, answers: Answers, choose: Callable[..., Answers]) -> Answers:
        for place in [*range(len(self.terms))] * 2:
            answers = choose((answers, *self._varied(answers, place)), key=self.payable)
        return answers


def _spread(amounts: Iterable[Decimal]) -> Decimal:
    values = tuple(amounts)
    return max(values) - min(values)
