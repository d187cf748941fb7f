"""The open questions: terms and facts not yet known, with the money at stake on each, and what else is worth asking.

A question that settles a term is asked once for each policy, because its money differs; the others are asked once.
"""

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from hitchworth.coverage.claim import COMPARABLE_PRICE, SALVAGE, is_open
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.sensitivity import (
    NO_MONEY,
    plausible_answers_of,
    stake_of_avoidance,
    stake_of_price,
    stake_of_salvage,
    stake_of_verdict,
    stakes_of_terms,
)
from hitchworth.coverage.situation import Situation
from hitchworth.coverage.terms import is_settled_by_rule, rule_on, source_of_answers
from hitchworth.model.assessment import MissingFact
from hitchworth.model.build import FactValue, Measurement
from hitchworth.model.gap import ChecklistFact, MoneyAtStake, PlausibleAnswer, Question, Settles
from hitchworth.model.policy import Policy
from hitchworth.reference.plausible_terms import has_plausible_values
from hitchworth.reference.questions import BankQuestion, question_bank

KEYED_TERMS = ("covers_perils", "covers_situations")
"""Terms that are asked about one peril, or one situation, at a time."""

DISCLOSURE = "knows_built_use"


def ranked_questions(
    situation: Situation, outcomes: Sequence[Outcomes], missing_facts: Sequence[MissingFact]
) -> tuple[Question, ...]:
    """Return every open question that applies: those with the most money first, those of equal money by urgency.

    The outcomes are those of every policy on every loss.
    """
    asked = [
        *_of_terms(situation, outcomes),
        *_of_salvage(outcomes),
        *_of_missing_facts(missing_facts, stake_of_verdict(outcomes)),
        *_of_the_bank(situation, outcomes, {fact.fact for fact in missing_facts}),
    ]
    return tuple(sorted(asked, key=_rank))


def _rank(question: Question) -> tuple[object, ...]:
    stake = question.money_at_stake
    return (-stake.high, -stake.low, question.urgency, question.id)


def _of_terms(situation: Situation, outcomes: Sequence[Outcomes]) -> Iterator[Question]:
    stakes = stakes_of_terms(outcomes)
    for entry in question_bank().questions:
        name = entry.settles.term
        if name is None or not situation.admits(entry.applies):
            continue
        for policy in situation.concerned(entry.applies):
            of_policy = [each for each in outcomes if each.claim.policy.name == policy.name]
            for term in _terms_to_ask(entry, policy, of_policy):
                stake = stakes.get((policy.name, term))
                if term == DISCLOSURE:
                    stake = stake_of_avoidance(of_policy)
                if _is_asked(entry, term, stake, situation):
                    yield _term_question(
                        entry, term, policy, stake or NO_MONEY, outcomes=of_policy, situation=situation
                    )


def _terms_to_ask(entry: BankQuestion, policy: Policy, outcomes: Sequence[Outcomes]) -> tuple[str, ...]:
    """Return the open terms of the entry: one for each peril or situation that a loss needs, else the term itself.

    That the insurer was not told what the trailer is built for stays to be settled although it is known.
    """
    name = entry.settles.term or ""
    if name in KEYED_TERMS:
        needed = (term for each in outcomes for term in each.values if term.startswith(f"{name}."))
        return tuple(dict.fromkeys(needed))
    return (name,) if is_open(policy, name) or entry.applies.knows_built_use is False else ()


def _is_asked(entry: BankQuestion, term: str, stake: MoneyAtStake | None, situation: Situation) -> bool:
    """Return whether money or a rule depends on the term, or a figure is missing to say so."""
    if stake is not None and stake.high > 0:
        return True
    if is_settled_by_rule(term, situation.build.jurisdiction):
        return True
    needs_input = bool(entry.to_see_money) and stake is None
    return needs_input or not (has_plausible_values(term) or term == DISCLOSURE)


def _term_question(
    entry: BankQuestion,
    term: str,
    policy: Policy,
    stake: MoneyAtStake,
    *,
    outcomes: Sequence[Outcomes],
    situation: Situation,
) -> Question:
    build = situation.build
    _, _, key = term.partition(".")
    question = _question(entry, f"{policy.name}.{term}", stake, situation)
    return replace(
        question,
        settles=Settles(policy=policy.name, term=term),
        plausible=_plausible(term, stake, outcomes),
        parameters={"policy": policy.name, **({"key": key} if key else {}), **rule_on(term, build.jurisdiction)},
        source=question.source or source_of_answers(term, policy, build.jurisdiction, build.currency),
    )


def _plausible(term: str, stake: MoneyAtStake, outcomes: Sequence[Outcomes]) -> tuple[PlausibleAnswer, ...]:
    return plausible_answers_of(term, outcomes) if stake.high > 0 and term != DISCLOSURE else ()


def _of_missing_facts(missing: Sequence[MissingFact], stake: MoneyAtStake) -> Iterator[Question]:
    """Yield one checklist of all facts that could change the verdict; together they carry what the verdict moves."""
    if not missing:
        return
    entry = question_bank().facts_to_find
    first = sorted(missing, key=lambda fact: not fact.decisive)
    yield Question(
        id=entry.id,
        entry=entry.id,
        topic=entry.topic,
        phase=entry.phase,
        to=entry.to,
        urgency=entry.urgency,
        settles=Settles(fact=first[0].fact),
        money_at_stake=stake,
        checklist=tuple(
            ChecklistFact(fact=fact.fact, question=fact.question, measure=fact.measure, decisive=fact.decisive)
            for fact in first
        ),
        parameters={"count": str(len(missing))},
    )


def _of_salvage(outcomes: Sequence[Outcomes]) -> Iterator[Question]:
    """Yield a question for each loss whose wreck has an unknown worth that moves a payment.

    What is paid under each answer is that of the policy on which it moves the most.
    """
    entry = question_bank().salvage_value
    asked = [each for each in outcomes if each.stake(SALVAGE)]
    for loss in dict.fromkeys(each.claim.loss.name for each in asked):
        of_loss = [each for each in asked if each.claim.loss.name == loss]
        most = max(of_loss, key=lambda each: each.stake(SALVAGE))
        yield Question(
            id=f"{loss}.{SALVAGE}",
            entry=entry.id,
            topic=entry.topic,
            phase=entry.phase,
            to=entry.to,
            urgency=entry.urgency,
            settles=Settles(loss=loss, term=SALVAGE),
            plausible=plausible_answers_of(SALVAGE, [most]),
            money_at_stake=stake_of_salvage(of_loss),
            parameters={"loss": loss},
            source=source_of_answers(SALVAGE, most.claim.policy, None, most.claim.context.build.currency),
        )


def _of_the_bank(situation: Situation, outcomes: Sequence[Outcomes], listed: set[str]) -> Iterator[Question]:
    """Yield what settles no term: asked once, naming the policies where it concerns only some of them."""
    for entry in question_bank().questions:
        fact = entry.settles.fact
        concerned = situation.concerned(entry.applies)
        is_answered = fact is not None and (fact in listed or _is_known(situation.build.facts.get(fact)))
        is_for_policies = bool(entry.applies.bases or entry.applies.kinds) or entry.to == "insurer"
        if entry.settles.term is None and not is_answered and situation.admits(entry.applies):
            if is_for_policies and not concerned:
                continue
            if fact == COMPARABLE_PRICE and not stake_of_price(outcomes).high:
                continue
            some = ", ".join(policy.name for policy in concerned) if concerned != situation.policies else ""
            question = _question(entry, f"fact.{fact}" if fact else entry.id, _bank_stake(entry, outcomes), situation)
            yield replace(
                question,
                settles=Settles(fact=fact),
                parameters={"policies": some} if some else {},
                plausible=plausible_answers_of(COMPARABLE_PRICE, outcomes) if fact == COMPARABLE_PRICE else (),
            )


def _bank_stake(entry: BankQuestion, outcomes: Sequence[Outcomes]) -> MoneyAtStake:
    """Return the money at stake on the price of a plain trailer, and on a change of class: what the verdict, or
    settling by the class, moves.
    """
    if entry.settles.fact == COMPARABLE_PRICE:
        return stake_of_price(outcomes)
    if entry.id != "class_change":
        return NO_MONEY
    stakes = [stake_of_verdict(outcomes), *_stakes_of(outcomes, "settles_as")]
    return max(stakes, key=lambda stake: stake.high)


def _stakes_of(outcomes: Sequence[Outcomes], name: str) -> Iterator[MoneyAtStake]:
    return (stake for (_, term), stake in stakes_of_terms(outcomes).items() if term == name)


def _question(entry: BankQuestion, name: str, stake: MoneyAtStake, situation: Situation) -> Question:
    return Question(
        id=name,
        entry=entry.id,
        topic=entry.topic,
        phase=entry.phase,
        to=entry.to,
        urgency=entry.urgency,
        settles=Settles(),
        money_at_stake=stake,
        source=entry.source if situation.is_in(entry.source_places) else "",
    )


def _is_known(fact: FactValue) -> bool:
    return (fact.value if isinstance(fact, Measurement) else fact) is not None
