"""The questions that are open: terms and facts not yet known with the money that hangs on them, and the bank's others.

A question that settles a term stays one for each policy, because its money differs; the others are asked once.
"""

from collections.abc import Iterator, Mapping, Sequence

from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.sensitivity import NO_MONEY, term_stakes, verdict_stake
from hitchworth.coverage.situation import Situation, situation_of
from hitchworth.coverage.terms import is_settled_by_rule, rule_on
from hitchworth.model.assessment import MissingFact
from hitchworth.model.build import FactValue, Measurement
from hitchworth.model.gap import MoneyAtStake, Question, Settles, Urgency
from hitchworth.model.policy import Policy
from hitchworth.reference.plausible_terms import plausible_terms
from hitchworth.reference.questions import BankQuestion, question_bank, question_of_fact


def ranked_questions(
    policies: Sequence[Policy],
    losses: Sequence[LossContext],
    outcomes: Sequence[Outcomes],
    missing_facts: Sequence[MissingFact],
) -> tuple[Question, ...]:
    """Every open question that applies: most money at stake first, those with equal money by their urgency.

    The outcomes are those of every policy on every loss.
    """
    situation = situation_of(policies, losses)
    asked = [
        *_of_terms(situation, term_stakes(outcomes)),
        *_of_missing_facts(missing_facts, verdict_stake(outcomes)),
        *_of_the_bank(situation),
    ]
    once = {question.id: question for question in reversed(asked)}
    return tuple(sorted(once.values(), key=_rank))


def _rank(question: Question) -> tuple[object, ...]:
    stake = question.money_at_stake
    return (-stake.high, -stake.low, question.urgency, question.id)


def _of_terms(situation: Situation, swings: Mapping[tuple[str, str], MoneyAtStake]) -> Iterator[Question]:
    """A term with plausible answers is asked about when money or a rule hangs on them, another when it is open."""
    place = situation.build.jurisdiction
    for entry in question_bank().questions:
        term = entry.settles.term
        if term is None or not situation.admits(entry.applies):
            continue
        for policy in situation.concerned(entry.applies):
            stake = swings.get((policy.name, term), NO_MONEY)
            asked = stake.high > 0 or term not in plausible_terms() or is_settled_by_rule(term, place)
            if getattr(policy, term) is None and asked:
                yield _asked(
                    entry,
                    f"{policy.name}.{term}",
                    Settles(policy=policy.name, term=term),
                    stake,
                    {"policy": policy.name, **rule_on(term, place)},
                )


def _of_missing_facts(missing: Sequence[MissingFact], stake: MoneyAtStake) -> Iterator[Question]:
    """A fact that may turn the verdict, in the bank's words where it has some; first those that can settle it."""
    for fact in missing if stake.high > 0 else ():
        yield _asked(
            question_of_fact(fact.fact),
            f"fact.{fact.fact}",
            Settles(fact=fact.fact),
            stake,
            {"fact": fact.fact, "question": fact.question, "measure": fact.measure},
            urgency=1 if fact.settles else None,
        )


def _of_the_bank(situation: Situation) -> Iterator[Question]:
    """What settles no term: asked once, naming the policies where it concerns only some of them."""
    for entry in question_bank().questions:
        fact = entry.settles.fact
        concerned = situation.concerned(entry.applies)
        known = fact is not None and _is_known(situation.build.facts.get(fact))
        if entry.settles.term is None and not known and concerned and situation.admits(entry.applies):
            some = ", ".join(policy.name for policy in concerned) if concerned != situation.policies else ""
            yield _asked(
                entry,
                f"fact.{fact}" if fact else entry.id,
                Settles(fact=fact),
                NO_MONEY,
                {"policies": some} if some else {},
            )


def _is_known(fact: FactValue) -> bool:
    return (fact.value if isinstance(fact, Measurement) else fact) is not None


def _asked(
    entry: BankQuestion,
    name: str,
    settles: Settles,
    stake: MoneyAtStake,
    parameters: dict[str, str],
    *,
    urgency: Urgency | None = None,
) -> Question:
    plausible = plausible_terms().get(settles.term or "")
    return Question(
        id=name,
        entry=entry.id,
        topic=entry.topic,
        phase=entry.phase,
        urgency=urgency or entry.urgency,
        settles=settles,
        money_at_stake=stake,
        parameters=parameters,
        source=plausible.source if plausible else entry.source,
    )
