"""A part of a portfolio to revalued builds, one for each document, in their order. Pure: the reader is an argument."""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from hashlib import sha256
from typing import NamedTuple

from msgspec.structs import replace

from hitchworth import appraisal
from hitchworth.attention import limit_items
from hitchworth.canonical import DIGEST_DIGITS
from hitchworth.model.attention import AttentionItem
from hitchworth.model.portfolio import PortfolioLimit, PriceSource, RevaluationTerms, RevaluedBuild
from hitchworth.model.request import GapRequest, SettlementRequest
from hitchworth.validation import InvalidInputError, MalformedBodyError

Reader = Callable[[bytes], GapRequest]
"""Reads, checks and completes a document. Raises MalformedBodyError or InvalidInputError."""


class SourceDocument(NamedTuple):
    """A document as its source has it: its id there, and its JSON. problem: why there is none."""

    id: str
    body: bytes
    problem: str | None = None


class _Gap(NamedTuple):
    amount: Decimal
    policy: str | None
    loss: str


def revalue(documents: Iterable[SourceDocument], terms: RevaluationTerms, read: Reader) -> Iterator[RevaluedBuild]:
    """Yield a revalued build for each document; one that cannot be valued has a problem instead of figures.

    A valuation date in a document does not count: all have that of the terms.
    """
    for document in documents:
        digest = sha256(document.body).hexdigest()[:DIGEST_DIGITS]
        try:
            if document.problem is not None:
                raise MalformedBodyError(document.problem)
            yield _revalued(document.id, digest, read(document.body), terms)
        except MalformedBodyError as error:
            yield RevaluedBuild(id=document.id, document=digest, problem=str(error))
        except InvalidInputError as error:
            places = ", ".join(fault.pointer or "/" for fault in error.faults[:5])
            yield RevaluedBuild(id=document.id, document=digest, problem=f"{error.summary}: {places}")


def _revalued(identity: str, digest: str, request: GapRequest, terms: RevaluationTerms) -> RevaluedBuild:
    day = terms.as_of
    answered = appraisal.answered_document(request, day)
    plain = replace(request.options, workings=False)
    found = appraisal.estimate(answered.build, day, plain, answered.market_value_from)
    gap = _greatest_gap(request, terms)
    limits = limit_items(answered.build, answered.policies, plain, day, terms.horizon_days, basis=terms.basis)
    return RevaluedBuild(
        id=identity,
        document=digest,
        name=answered.build.name,
        currency=answered.build.currency,
        replacement_cost=found.totals.replacement_cost,
        actual_cash_value=found.totals.actual_cash_value,
        gap=None if gap is None else gap.amount,
        gap_policy=None if gap is None else gap.policy,
        gap_loss=None if gap is None else gap.loss,
        limits=tuple(map(_limit, limits)),
    )


def _greatest_gap(request: GapRequest, terms: RevaluationTerms) -> _Gap | None:
    """Return the greatest gap, the first of equal ones: of each policy by itself, or of those that share a loss."""
    fields = {name: getattr(request, name) for name in SettlementRequest.__struct_fields__}
    found = appraisal.settle(SettlementRequest(**{**fields, "as_of": terms.as_of}), terms.as_of)
    sharing = frozenset(request.coordination.policies) if request.coordination else frozenset()
    gaps = [_Gap(each.gap, each.policy, each.loss) for each in found.settlements if each.policy not in sharing]
    gaps += [_Gap(each.gap, None, each.loss) for each in found.combined]
    return max(gaps, key=lambda gap: gap.amount, default=None)


def _limit(item: AttentionItem) -> PortfolioLimit:
    told = item.parameters
    prices: dict[str | None, PriceSource] = {"known": "known", "trend": "trend"}
    return PortfolioLimit(
        policy=told["policy"],
        term=told["term"],
        state="exceeded" if item.code == "limit_exceeded" else "outgrown",
        limit=Decimal(told["limit"]),
        basis="replacement_cost" if told["basis"] == "replacement_cost" else "actual_cash_value",
        since=item.since,
        lacking=Decimal(told["amount"]),
        prices=prices.get(told.get("prices")),
    )
