"""Quick totals: what a build adds up to on many dates, without the lines, the band and the workings of an estimate."""

from datetime import date
from decimal import localcontext

from hitchworth.model.build import Build
from hitchworth.model.estimate import Totals
from hitchworth.model.options import Options
from hitchworth.valuation.money import PRECISE, Money
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.rollup import totals
from hitchworth.valuation.valued_build import valued_build


class QuickTotals:
    """The totals of the estimate on any date, each date reckoned once."""

    def __init__(self, build: Build, options: Options) -> None:
        self._build = build
        self._options = options
        self._money = Money(build.currency, options.rounding)
        self._known: dict[date, Totals] = {}
        self.lines_valued = 0
        """How much work has been done so far."""

    def on(self, day: date) -> Totals:
        """As `estimate` has them. Raises ValueError as it does."""
        if day not in self._known:
            with localcontext(PRECISE):
                lines, added, _ = valued_build(self._build, day, self._options, self._money, Remarks())
                self._known[day] = totals(lines, added, self._money)
            self.lines_valued += len(lines) + 1
        return self._known[day]
