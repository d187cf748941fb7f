"""Overhead, profit and a sales tax on the total as formulas, so that a line's part follows its quantity and price.

The whole amount is rounded once and split over the lines by largest remainder. Two columns beside the lines make that a
formula: the part of the line's cost that bears the amount, and what the split leaves over, which ranks the lines.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from hitchworth.localization.localizer import Localizer
from hitchworth.model.build import Build
from hitchworth.model.estimate import EstimateLine
from hitchworth.model.workings import Figure, Working
from hitchworth.money import half_up
from hitchworth.valuation.indirect_costs import profit_on_cost
from hitchworth.workbooks.entry_formulas import EntryFormulas, form_cell

_BASE = re.compile(r" x ([0-9.]+) / [0-9.]+ = [0-9.]+$")
_RULES: Mapping[Figure, tuple[str, str]] = {
    "overhead": ("overhead_split", "F"),
    "profit": ("profit_split", "G"),
    "sales_tax": ("sales_tax_split", "H"),
}
"""The rule of each split, and the column of its amounts."""
_FIRST = 2
"""The row of the first line, as a spreadsheet counts."""


class SplitColumns(Struct, frozen=True):
    """One split: the two columns beside the lines, and the formulas of its amounts."""

    figure: Figure
    amount: str
    """The column of the amounts."""
    base: str
    left_over: str
    values: tuple[tuple[Decimal, Decimal], ...]
    """Base, and what is left over, of each line; then of all: the base, and the minor units that are left over."""
    formulas: tuple[tuple[str, str, str], ...]
    """Base, what is left over and amount of each line; the first is empty where it does not follow from cells."""
    totals: tuple[str, str]
    """The formulas of the base and of what is left over, of all lines."""


def split_columns(
    lines: Sequence[EstimateLine],
    build: Build,
    entries: EntryFormulas,
    localizer: Localizer,
    *,
    places: int,
    after: str,
) -> Iterator[SplitColumns]:
    """Yield the splits of an estimate with workings, their columns to the right of the column `after`.

    Amounts that are rounded half to even have no such formulas: a spreadsheet does not round so.
    """
    next_column = ord(after) + 1
    terms = build.indirect_costs
    cells = {name: form_cell(f"indirect_costs.{name}", localizer) for name in terms.__struct_fields__}
    margin = terms.profit_basis == "margin"
    profit = f"{cells['profit_rate']}/(1-{cells['profit_rate']})" if margin else cells["profit_rate"]
    rates: dict[Figure, tuple[Fraction, str]] = {
        "overhead": (Fraction(terms.overhead_rate), cells["overhead_rate"]),
        "profit": (profit_on_cost(terms), profit),
        "sales_tax": (Fraction(terms.sales_tax_rate), cells["sales_tax_rate"]),
    }
    for figure, (rule, amount) in _RULES.items():
        bases = [_base(line, rule) for line in lines]
        if any(bases):
            is_compounded = figure == "profit" and terms.compounded
            own = [
                _base_formula(line, base, _FIRST + at, entries, is_compounded=is_compounded)
                for at, (line, base) in enumerate(zip(lines, bases, strict=True))
            ]
            rate, rate_cell = rates[figure]
            base, left_over = chr(next_column), chr(next_column + 1)
            next_column += 2
            split = _Split(
                figure=figure,
                amount=amount,
                base=base,
                left_over=left_over,
                bases=bases,
                ties=_ties([line.id for line in lines]),
                rate=rate,
                rate_cell=rate_cell,
                unit=10**places,
            )
            yield split.columns(own)


def _ties(ids: Sequence[str]) -> list[tuple[int, int]]:
    """Return for each line a part, as numerator and denominator, that ranks lines whose remainders are equal.

    The ID that comes first has the largest, as in the split itself; all of them together are less than 1.
    """
    count = len(ids)
    order = {name: at for at, name in enumerate(sorted(ids))}
    return [(count - order[name], count * count + 1) for name in ids]


class _Split(Struct, frozen=True, kw_only=True):
    """One split over the lines."""

    figure: Figure
    amount: str
    base: str
    left_over: str
    bases: Sequence[Decimal]
    ties: Sequence[tuple[int, int]]
    rate: Fraction
    rate_cell: str
    unit: int
    """Minor units in one of the currency."""

    def columns(self, bases: Sequence[str]) -> SplitColumns:
        """Return the columns, with the formulas of the bases."""
        units = [int(base * self.unit) for base in self.bases]
        whole = sum(units)
        amount = half_up(whole * self.rate.numerator, self.rate.denominator)
        left = [amount * each % whole for each in units]
        values = [
            (base, rest + Decimal(tie) / of) for base, rest, (tie, of) in zip(self.bases, left, self.ties, strict=True)
        ]
        return SplitColumns(
            figure=self.figure,
            amount=self.amount,
            base=self.base,
            left_over=self.left_over,
            values=(*values, (sum(self.bases, Decimal(0)), Decimal(sum(left) // whole))),
            formulas=tuple(
                (base, self._rest(row, tie), self._part(row))
                for row, (base, tie) in enumerate(zip(bases, self.ties, strict=True), start=_FIRST)
            ),
            totals=(f"SUM({self._all(self.base)})", f"INT(SUM({self._all(self.left_over)})/{self._whole()})"),
        )

    @property
    def _total(self) -> int:
        """The row of the totals."""
        return _FIRST + len(self.bases)

    def _all(self, column: str) -> str:
        return f"{column}{_FIRST}:{column}{self._total - 1}"

    def _whole(self) -> str:
        """Return the base of all lines in minor units, 1 in place of 0, by which nothing can be divided."""
        return f"MAX(1,ROUND({self.base}{self._total}*{self.unit},0))"

    def _product(self, row: int) -> str:
        """Return the rounded whole amount times the base of a line, both in minor units."""
        amount = f"ROUND({self.base}{self._total}*{self.unit}*{self.rate_cell},0)"
        return f"{amount}*ROUND({self.base}{row}*{self.unit},0)"

    def _rest(self, row: int, tie: tuple[int, int]) -> str:
        product, whole = self._product(row), self._whole()
        return f"{product}-INT({product}/{whole})*{whole}+{tie[0]}/{tie[1]}"

    def _part(self, row: int) -> str:
        rank = f"RANK({self.left_over}{row},{self._all(self.left_over)})"
        more = f"IF({rank}<={self.left_over}{self._total},1,0)"
        return f"(INT({self._product(row)}/{self._whole()})+{more})/{self.unit}"


def _working(line: EstimateLine, rule: str) -> Working | None:
    return next((each for each in line.workings if each.rule == rule), None)


def _base(line: EstimateLine, rule: str) -> Decimal:
    """Return the part of the line's cost that bears the amount, as its working has it; 0 without one."""
    working = _working(line, rule)
    found = None if working is None else _BASE.search(working.formula)
    return Decimal(0) if found is None else Decimal(found[1])


def _base_formula(line: EstimateLine, base: Decimal, row: int, entries: EntryFormulas, *, is_compounded: bool) -> str:
    """Return the base as a formula; empty where it does not follow from cells."""
    if not base:
        return ""
    on_top = ""
    if is_compounded:
        overhead = _working(line, "overhead_split")
        on_top = f"+F{row}"
        base -= Decimal(0) if overhead is None else Decimal(overhead.formula.rpartition("=")[2].strip())
    if base == line.direct_cost:
        return f"E{row}{on_top}"
    tax = entries.tax(line, line.direct_cost - base)
    return f"E{row}-{tax}{on_top}" if tax else ""
