"""What of a document needs attention on a day: limits outgrown, gaps, old answers, quotes that expire. Pure.

A limit is compared with the value that the policy pays by, on every day up to the horizon, by the value curve. Prices
move in it as far as their indexes are known; from there on each index goes on as in its last twelve known months, and
an item that rests on this says so. An index whose last value is more than a year old has no trend.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from functools import cached_property
from typing import NamedTuple

from msgspec.structs import replace

from hitchworth import appraisal
from hitchworth.model.answer import Answer
from hitchworth.model.attention import (
    AttentionCode,
    AttentionItem,
    AttentionList,
    AttentionRequest,
    AttentionThresholds,
    OpenQuote,
)
from hitchworth.model.build import Build, IndexMonth
from hitchworth.model.document import Document
from hitchworth.model.options import Options
from hitchworth.model.policy import Policy
from hitchworth.model.request import SettlementRequest
from hitchworth.model.timeline import oldest_first
from hitchworth.model.value_curve import LimitCrossing, ValueBasis
from hitchworth.reference.price_indexes import MonthlyValues, monthly_values, published_values
from hitchworth.valuation.value_curve import DailyValues, LimitCourse

LOOKED_BACK = 365
"""Days before the day asked about in which the beginning of an exceeded limit is looked for."""

GAP_SHARE = Decimal("0.25")
"""Without an amount, a gap needs attention from this share of the replacement cost on."""

TREND_MONTHS = 12


class Figure(NamedTuple):
    """The least figure that caps a policy's payment for a total loss, and the value that it has to cover."""

    term: str
    amount: Decimal
    basis: ValueBasis


def attention(request: AttentionRequest, as_of: date) -> AttentionList:
    """Return what needs attention, in a fixed order. Raises ValueError as `estimate` does."""
    thresholds = request.thresholds
    answered = appraisal.answered_document(request, as_of)
    items = (
        *limit_items(answered.build, answered.policies, request.options, as_of, thresholds.limit_days),
        *_gap_items(request, as_of, thresholds),
        *_answer_items(request.answers, as_of, thresholds),
        *quote_items(request.quotes, as_of, thresholds),
    )
    build = request.build
    return AttentionList(
        as_of=as_of,
        locale=request.locale,
        currency=build.currency,
        items=tuple(replace(item, name=build.name, currency=build.currency) for item in items),
    )


def limit_items(
    build: Build,
    policies: Sequence[Policy],
    options: Options,
    as_of: date,
    horizon_days: int,
    *,
    basis: ValueBasis | None = None,
) -> Iterator[AttentionItem]:
    """Yield the limits that do not cover the value, or will not on a day of the horizon; of each policy the least.

    basis: the value that each has to cover. None: the one that its policy pays by. Name and currency are still empty.
    """
    ahead = _Ahead(build, options, as_of, horizon_days)
    for policy in policies:
        figure = _figure(policy, build)
        if figure is not None:
            yield from _limit_item(policy, figure if basis is None else figure._replace(basis=basis), ahead)


class _Ahead:
    """The value of a build from before the day asked about to the horizon, each day valued once for all policies."""

    def __init__(self, build: Build, options: Options, as_of: date, horizon_days: int) -> None:
        self.as_of = as_of
        self.last = _day(as_of, horizon_days)
        self._build = build
        self._options = replace(options, workings=False)
        self._dates = tuple(sorted({_day(as_of, -LOOKED_BACK), as_of, self.last}))

    @cached_property
    def expected(self) -> LimitCourse:
        """Prices go on as in their last twelve known months."""
        return self._course(self._projected)

    @cached_property
    def known(self) -> LimitCourse:
        """Prices as far as they are known: the same where no index has a trend."""
        return self.expected if self._projected is self._build else self._course(self._build)

    @cached_property
    def _projected(self) -> Build:
        return with_projected_prices(self._build, self.as_of, self.last)

    def _course(self, build: Build) -> LimitCourse:
        return LimitCourse(DailyValues(build, self._options), build, self._dates)


def _limit_item(policy: Policy, figure: Figure, ahead: _Ahead) -> Iterator[AttentionItem]:
    """Yield the item of a figure that does not cover the value now, or will not on a day of the horizon."""
    crossings, _ = ahead.expected.crossings(figure.amount, figure.basis)
    now = next(crossing for crossing in reversed(crossings) if crossing.on <= ahead.as_of)
    about = {"policy": policy.name, "term": figure.term, "limit": str(figure.amount), "basis": figure.basis}
    if not now.covered:
        value = ahead.expected.value(ahead.as_of, figure.basis)
        since = now.on if now.found_by != "first_date" else None
        lacking = value - figure.amount
        told = {**about, "value": str(value), "amount": str(lacking), **({"since": since.isoformat()} if since else {})}
        yield _item("limit_exceeded", f"limit_exceeded:{policy.name}", since, lacking, told)
        return
    first = _first_uncovered(crossings, ahead.as_of)
    if first is None:
        return
    lacking = max(first.value, ahead.expected.value(ahead.last, figure.basis)) - figure.amount
    sure = _first_uncovered(ahead.known.crossings(figure.amount, figure.basis)[0], ahead.as_of)
    prices = "known" if sure is not None and sure.on == first.on else "trend"
    told = {**about, "value": str(first.value), "amount": str(lacking), "since": first.on.isoformat(), "prices": prices}
    yield _item("limit_outgrown", f"limit_outgrown:{policy.name}", first.on, lacking, told)


def _first_uncovered(crossings: Sequence[LimitCrossing], as_of: date) -> LimitCrossing | None:
    return next((crossing for crossing in crossings if crossing.on > as_of and not crossing.covered), None)


def _figure(policy: Policy, build: Build) -> Figure | None:
    """Return the figure of a policy that has to cover the value; None where it has none, or none that is known.

    Replacement cost and an agreed value have to cover the replacement cost, everything else the actual cash value: so
    does a limit whose basis is not known, because whatever the basis, it pays no less than that. A market value follows
    no curve.
    """
    if policy.covers_damage is False:
        return None
    if policy.basis == "market_value" and (policy.amount is not None or build.market_value is not None):
        return None
    basis: ValueBasis = "actual_cash_value"
    if policy.basis in ("replacement_cost", "agreed_value"):
        basis = "replacement_cost"
    figures = [] if policy.limit is None else [Figure("limit", policy.limit, basis)]
    if policy.amount is not None and policy.basis in ("agreed_value", "stated_amount"):
        figures.append(Figure("amount", policy.amount, basis))
    return min(figures, key=lambda figure: figure.amount, default=None)


def with_projected_prices(build: Build, as_of: date, until: date) -> Build:
    """Return the build with its price indexes continued up to a day, each as its last twelve known months moved.

    The value of a month to come is the last known one plus a twelfth of the change of these twelve months for each
    month after the valuation month. Without an index that has a trend, the build itself is returned.
    """
    names = {entry.price_index for entry in build.components} | {entry.price_index for entry in build.labor}
    continued = {}
    for name in sorted(filter(None, names)):
        own = build.price_indexes.get(name)
        series = monthly_values(own) if own else published_values(name)
        ahead = () if series is None or not series.months else tuple(_continued(series, as_of, until))
        if series is not None and ahead:
            months = zip(series.months, series.values, strict=True)
            continued[name] = (*(IndexMonth(month=month, value=value) for month, value in months), *ahead)
    return replace(build, price_indexes={**build.price_indexes, **continued}) if continued else build


def _continued(series: MonthlyValues, as_of: date, until: date) -> Iterator[IndexMonth]:
    last, now, end = _number(series.months[-1]), as_of.year * 12 + as_of.month - 1, until.year * 12 + until.month - 1
    before = [
        value
        for month, value in zip(series.months, series.values, strict=True)
        if _number(month) <= last - TREND_MONTHS
    ]
    if not before or last < now - TREND_MONTHS:
        return
    latest = series.values[-1]
    change = latest - before[-1]
    start = max(last, now)
    for step in range(1, end - start + 1):
        value = latest + change * step / TREND_MONTHS
        if not change or value <= 0:
            return
        year, month = divmod(start + step, 12)
        rounded = value.quantize(Decimal("0.000001"), ROUND_HALF_UP)
        yield IndexMonth(month=f"{year:04}-{month + 1:02}", value=rounded)


def _number(month: str) -> int:
    return int(month[:4]) * 12 + int(month[5:]) - 1


def _gap_items(request: Document, as_of: date, thresholds: AttentionThresholds) -> Iterator[AttentionItem]:
    """Yield the losses of which too much would not be paid: by each policy, or by those that share a loss."""
    fields = {name: getattr(request, name) for name in Document.__struct_fields__}
    found = appraisal.settle(SettlementRequest(**fields, as_of=as_of), as_of)
    sharing = frozenset(request.coordination.policies) if request.coordination else frozenset()
    for each in found.settlements:
        if each.policy not in sharing and _is_beyond(each.gap, each.replacement_cost, thresholds):
            told = {"policy": each.policy, "loss": each.loss, "cost": str(each.replacement_cost)}
            yield _gap_item(each.gap, told, len(each.assumed))
    for combined in found.combined:
        if _is_beyond(combined.gap, combined.replacement_cost, thresholds):
            told = {"loss": combined.loss, "cost": str(combined.replacement_cost)}
            of_loss = [each for each in found.settlements if each.loss == combined.loss and each.policy in sharing]
            yield _gap_item(combined.gap, told, sum(len(each.assumed) for each in of_loss))


def _is_beyond(gap: Decimal, cost: Decimal, thresholds: AttentionThresholds) -> bool:
    return gap > (GAP_SHARE * cost if thresholds.gap_over is None else thresholds.gap_over)


def _gap_item(gap: Decimal, told: dict[str, str], unknown: int) -> AttentionItem:
    """Return the item of a gap. unknown: terms that are not known, so that less may be lacking."""
    about = f"gap:{told.get('policy', '')}:{told['loss']}"
    open_terms = {"unknown": str(unknown)} if unknown else {}
    return _item("gap", about, None, gap, {**told, "amount": str(gap), **open_terms})


def _answer_items(answers: Iterable[Answer], as_of: date, thresholds: AttentionThresholds) -> Iterator[AttentionItem]:
    """Yield the answers that count and are old: about a policy, a wreck or a price. What was measured does not age."""
    newest = {(answer.policy, answer.loss, answer.term, answer.fact): answer for answer in oldest_first(answers)}
    for (policy, loss, term, fact), answer in newest.items():
        ages = fact in appraisal.BUILD_ANSWERS or fact is None
        if not ages or answer.value is None or answer.said_on is None:
            continue
        if (as_of - answer.said_on).days <= thresholds.answer_days:
            continue
        subject = term or fact or ""
        about = policy or loss or ""
        told = {
            "subject": about,
            "term": subject,
            "said_on": answer.said_on.isoformat(),
            "days": str((as_of - answer.said_on).days),
        }
        since = answer.said_on + timedelta(days=thresholds.answer_days + 1)
        condition = f"answer_old:{about}:{subject}:{answer.said_on}"
        yield replace(_item("answer_old", condition, since, None, told), policy=policy, loss=loss)


def quote_items(quotes: Iterable[OpenQuote], as_of: date, thresholds: AttentionThresholds) -> Iterator[AttentionItem]:
    """Yield the quotes that expire soon, or have expired. Name and currency of their builds are still empty."""
    for quote in quotes:
        days = (quote.valid_until - as_of).days
        if days > thresholds.quote_days:
            continue
        told = {"quote": quote.name, "since": quote.valid_until.isoformat(), "days": str(days)}
        if quote.total is not None:
            told["amount"] = str(quote.total)
        condition = f"quote_expires:{quote.name}:{quote.valid_until}"
        yield _item("quote_expires", condition, quote.valid_until, quote.total, told)


def _item(
    code: AttentionCode, condition: str, since: date | None, amount: Decimal | None, told: dict[str, str]
) -> AttentionItem:
    """Return an item. The name of the build and its currency are put in for all items at once."""
    return AttentionItem(
        code=code,
        condition=condition,
        name="",
        policy=told.get("policy"),
        loss=told.get("loss"),
        since=since,
        amount=amount,
        currency=None,
        parameters=told,
    )


def _day(as_of: date, days: int) -> date:
    """Return the day so many days later; the last but one of the calendar, or the second, where it ends before."""
    return date.fromordinal(min(max(as_of.toordinal() + days, 2), date.max.toordinal() - 1))
