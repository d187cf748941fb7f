"""Revalued builds to what they come to, by currency. Pure; one pass, and of each build only its gap stays in memory."""

from collections import Counter
from collections.abc import Iterable, Iterator
from decimal import Decimal

from hitchworth.model.portfolio import (
    GapPercentile,
    OutgrownInMonth,
    PortfolioSum,
    PortfolioSummary,
    RevaluationTerms,
    RevaluedBuild,
)
from hitchworth.money import Money, precisely

PERCENTS = (5, 25, 50, 75, 90, 95, 99, 100)


@precisely
def summarize(builds: Iterable[RevaluedBuild], terms: RevaluationTerms) -> PortfolioSummary:
    """Return what the builds come to."""
    sums: dict[str, _Sum] = {}
    count = unreadable = 0
    for build in builds:
        count += 1
        if build.currency is None:
            unreadable += 1
        else:
            found = sums.get(build.currency) or sums.setdefault(build.currency, _Sum(build.currency))
            found.add(build)
    return PortfolioSummary(
        terms=terms,
        builds=count,
        unreadable=unreadable,
        sums=tuple(sums[currency].result() for currency in sorted(sums)),
    )


class _Sum:
    """The builds of one currency, added up as they come, in minor units."""

    def __init__(self, currency: str) -> None:
        self._currency = currency
        self._money = Money(currency)
        self._builds = self._cost = self._value = self._exceeded = self._lacking = 0
        self._gaps: list[int] = []
        self._months: Counter[str] = Counter()

    def add(self, build: RevaluedBuild) -> None:
        units = self._money.to_minor_units
        self._builds += 1
        self._cost += units(build.replacement_cost or Decimal())
        self._value += units(build.actual_cash_value or Decimal())
        if build.gap is not None:
            self._gaps.append(units(build.gap))
        for limit in build.limits:
            if limit.state == "exceeded":
                self._exceeded += 1
                self._lacking += units(limit.lacking)
            elif limit.since is not None:
                self._months[limit.since.isoformat()[:7]] += 1

    def result(self) -> PortfolioSum:
        amount = self._money.from_minor_units
        return PortfolioSum(
            currency=self._currency,
            builds=self._builds,
            replacement_cost=amount(self._cost),
            actual_cash_value=amount(self._value),
            builds_with_gap=len(self._gaps),
            gap=amount(sum(self._gaps)),
            gap_percentiles=tuple(self._percentiles()),
            limits_exceeded=self._exceeded,
            lacking=amount(self._lacking),
            limits_outgrown=self._months.total(),
            outgrown_by_month=tuple(
                OutgrownInMonth(month=month, limits=self._months[month]) for month in sorted(self._months)
            ),
        )

    def _percentiles(self) -> Iterator[GapPercentile]:
        """Yield the value of each nearest rank: the least one that p percent of all are not above."""
        gaps = sorted(self._gaps)
        for percent in PERCENTS if gaps else ():
            rank = -(-percent * len(gaps) // 100)
            yield GapPercentile(percent=percent, gap=self._money.from_minor_units(gaps[rank - 1]))
