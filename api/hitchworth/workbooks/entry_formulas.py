"""What a line costs as formulas of the cells where its figures were entered, so that it moves with them."""

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import cache, partial
from typing import TypeAlias

from hitchworth.localization.localizer import Localizer
from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor
from hitchworth.model.estimate import EstimateLine
from hitchworth.model.workings import Figure, Working
from hitchworth.workbooks.cells import column_name
from hitchworth.workbooks.columns import columns_of
from hitchworth.workbooks.document_sheets import sheet_name

_AS_PAID = ("price_as_paid", "hours_as_paid")
_TREND = re.compile(r"x ([0-9.]+) / ([0-9.]+)$")

_Term: TypeAlias = tuple[str, Decimal]
"""A part of a formula, with its value."""


class EntryFormulas:
    """The costs of a line from the cells of the sheets where they were entered.

    A formula is empty where its cells alone do not give the figure of the line, as with an exchange rate that nobody
    entered. Of what was partly taken back, the units that stay count, with their share of tax and freight.
    """

    def __init__(self, build: Build, localizer: Localizer, places: int) -> None:
        self._rows: dict[tuple[str, str], tuple[int, Component | Labor]] = {
            **{("component", part.id): (row, part) for row, part in enumerate(build.components, start=2)},
            **{("labor", entry.id): (row, entry) for row, entry in enumerate(build.labor, start=2)},
        }
        self._refunds: dict[str, list[tuple[int, Component]]] = {}
        for row, part in enumerate(build.components, start=2):
            if part.refund_of is not None:
                self._refunds.setdefault(part.refund_of, []).append((row, part))
        self._names = {kind: sheet_name(kind, localizer) for kind in ("component", "labor")}
        self._rate_cell = form_cell("indirect_costs.sales_tax_rate", localizer)
        self._rate, self._places = build.indirect_costs.sales_tax_rate, places

    def formulas(self, line: EstimateLine, workings: Mapping[Figure, Working], at: int) -> Iterator[tuple[str, str]]:
        """Yield the formulas of a line by their columns in the sheet of line values, where it is in the row `at`."""
        row, entry = self._rows.get((line.kind, line.id), (0, None))
        if entry is None:
            return
        if paid := self._rounded(self._paid(row, entry), line.historical_cost):
            yield "D", paid
        working = workings.get("direct_cost")
        if working is not None and working.rule in _AS_PAID:
            yield "E", f"D{at}"
        elif working is not None and (now := self._direct(line, working, row, entry)):
            yield "E", now
        if "sales_tax" in workings and (rate := self._tax_rate(line, workings["sales_tax"])):
            yield "H", f"ROUND(E{at}*{rate},{self._places})"

    def tax(self, line: EstimateLine, amount: Decimal) -> str:
        """Return the formula of the sales tax in what a line costs now; empty where it is another amount."""
        row, entry = self._rows.get((line.kind, line.id), (0, None))
        if not isinstance(entry, Component) or not entry.tax:
            return ""
        trend = next((_trend(each) for each in line.workings if each.figure == "direct_cost"), None)
        cell = partial(self._cell, "component", row=row)
        share = self._share(row, entry)
        terms = [_exchanged(_shared((cell("tax"), entry.tax), share), cell("exchange_rate"), entry.exchange_rate)]
        if entry.replacement_unit_cost is not None and entry.unit_cost:
            text = f"{cell('tax')}*{cell('replacement_unit_cost')}/{cell('unit_cost')}"
            quoted = text, entry.tax * entry.replacement_unit_cost / entry.unit_cost
            field = "exchange_rate" if entry.quoted_exchange_rate is None else "quoted_exchange_rate"
            terms.insert(
                0, _exchanged(_shared(quoted, share), cell(field), entry.quoted_exchange_rate or entry.exchange_rate)
            )
        return next(filter(None, (self._rounded(_trended(term, trend), amount) for term in terms)), "")

    def _direct(self, line: EstimateLine, working: Working, row: int, entry: Component | Labor) -> str:
        """Return the formula of what a line costs now: by a quote, a market rate or an index."""
        trend = _trend(working)
        for text, value in self._now(row, entry):
            if formula := self._rounded(_trended((text, value), trend), line.direct_cost):
                return formula
        return ""

    def _tax_rate(self, line: EstimateLine, working: Working) -> str:
        """Return the cell of the sales tax rate, where the tax is that of the line's whole direct cost."""
        taxed = f"{line.direct_cost} x {self._rate:f} ="
        if working.rule != "sales_tax_by_line" or not working.formula.startswith(taxed):
            return ""
        return self._rate_cell

    def _paid(self, row: int, entry: Component | Labor) -> _Term:
        if isinstance(entry, Labor):
            return f"{self._cell('labor', 'hours', row)}*{self._cell('labor', 'rate', row)}", entry.hours * entry.rate
        cell = partial(self._cell, "component", row=row)
        text = f"{cell('quantity')}*{cell('unit_cost')}+{cell('tax')}+{cell('freight')}"
        paid = entry.quantity * entry.unit_cost + (entry.tax or 0) + entry.freight
        return _exchanged(_shared((text, paid), self._share(row, entry)), cell("exchange_rate"), entry.exchange_rate)

    def _share(self, row: int, entry: Component) -> _Term | None:
        """Return the share of its units that stays of a component; null where nothing was taken back."""
        refunds = self._refunds.get(entry.id, ())
        stays = entry.quantity - sum(abs(refund.quantity) for _, refund in refunds)
        if not refunds or not stays:
            return None
        quantity = self._cell("component", "quantity", row)
        taken = "".join(f"-ABS({self._cell('component', 'quantity', at)})" for at, _ in refunds)
        return f"({quantity}{taken})/{quantity}", stays / entry.quantity

    def _now(self, row: int, entry: Component | Labor) -> Iterator[_Term]:
        """Yield what an entry may cost now, before its trend; which it is, the figure of its line says."""
        if isinstance(entry, Labor):
            if entry.market_rate is not None:
                hours, rate = (self._cell("labor", field, row) for field in ("hours", "market_rate"))
                yield f"{hours}*{rate}", entry.hours * entry.market_rate
        elif entry.replacement_unit_cost is not None:
            cell = partial(self._cell, "component", row=row)
            quote, freight = f"{cell('quantity')}*{cell('replacement_unit_cost')}", f"+{cell('freight')}"
            quoted = entry.quantity * entry.replacement_unit_cost + entry.freight
            terms = [(quote + freight, quoted)]
            if entry.tax and entry.unit_cost:
                tax = f"+{cell('tax')}*{cell('replacement_unit_cost')}/{cell('unit_cost')}"
                terms.append(
                    (quote + tax + freight, quoted + entry.tax * entry.replacement_unit_cost / entry.unit_cost)
                )
            field = "exchange_rate" if entry.quoted_exchange_rate is None else "quoted_exchange_rate"
            for term in terms:
                yield _exchanged(
                    _shared(term, self._share(row, entry)),
                    cell(field),
                    entry.quoted_exchange_rate or entry.exchange_rate,
                )
        yield self._paid(row, entry)

    def _cell(self, kind: str, field: str, row: int) -> str:
        return f"'{self._names[kind]}'!{_column(kind, field)}{row}"

    def _rounded(self, term: _Term, figure: Decimal) -> str:
        """Return the formula, rounded to the minor unit; empty where the figure of the line is another one."""
        text, value = term
        is_it = abs(value - figure) <= Decimal(1).scaleb(-self._places) / 2
        return f"ROUND({text},{self._places})" if is_it else ""


def entry_column(kind: str, field: str) -> int:
    """Return the column of a field of an entry, counted from 0."""
    return next(at for at, column in enumerate(columns_of(kind)) if column.field == field)


def entry_cell(kind: str, field: str, row: int, localizer: Localizer) -> str:
    """Return the name of the cell of a field of an entry: Components!D14."""
    return f"{sheet_name(kind, localizer)}!{_column(kind, field)}{row}"


def form_cell(field: str, localizer: Localizer) -> str:
    """Return the cell of a field of the build, as a formula in another sheet names it."""
    fields = [column.field for column in columns_of("build")]
    return f"'{sheet_name('build', localizer)}'!B{fields.index(field) + 2}"


@cache
def _column(kind: str, field: str) -> str:
    return column_name(entry_column(kind, field))


def _shared(term: _Term, share: _Term | None) -> _Term:
    return term if share is None else (f"({term[0]})*{share[0]}", term[1] * share[1])


def _exchanged(term: _Term, cell: str, rate: Decimal | None) -> _Term:
    text, value = term
    return (f"({text})*{cell}", value * rate) if rate else term


def _trend(working: Working) -> re.Match[str] | None:
    """Return the index values of a trend, now and then; None for a cost that no index trends."""
    return _TREND.search(working.formula.rpartition("=")[0].strip()) if "index" in working.rule else None


def _trended(term: _Term, trend: re.Match[str] | None) -> _Term:
    text, value = term
    if trend is None:
        return term
    return f"({text})*{trend[1]}/{trend[2]}", value * Decimal(trend[1]) / Decimal(trend[2])
