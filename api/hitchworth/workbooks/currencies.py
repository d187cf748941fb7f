"""The currency of a table of receipts: as declared, as its amounts and their headers say, else that of the build.

What hints at another one, and what is there in two, becomes a question.
"""

from collections import Counter
from collections.abc import Mapping
from decimal import Decimal
from typing import TypeAlias

from babel import Locale
from babel.numbers import get_territory_currencies

from hitchworth.localization.locales import resolve_locale
from hitchworth.model.receipt_import import ImportChoice, ImportSettings
from hitchworth.reference.currencies import exponent_of
from hitchworth.reference.receipt_words import hinted_currencies, receipt_words
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cells import Cell, cell_text, column_name
from hitchworth.workbooks.findings import Findings
from hitchworth.workbooks.layout import MONEY, Layout, rival_columns
from hitchworth.workbooks.numbers import CURRENCY_SIGNS, currencies_in, written
from hitchworth.workbooks.rows import Rows

_Cells: TypeAlias = list[tuple[int, int]]
"""Places of cells, row and column counted from 0."""


def currency_of(
    layout: Layout, settings: ImportSettings, locale: str, build_currency: str | None, findings: Findings
) -> tuple[str, bool]:
    """Return the currency of the amounts: as declared or as their signs say, else the build's or the locale's.

    And whether anything says so.
    """
    _ask_which_column(layout, settings, findings)
    _refuse_contradictions(layout, findings)
    stated = _stated_currencies(layout)
    possible = _possible(stated, findings)
    codes = Counter(code for row in layout.rows if (code := _code(layout, row)))
    usual = _usual(codes, build_currency, _locale_currency(locale))
    chosen = next((each for each in (settings.currency, *usual) if each and (each in possible or not possible)), None)
    if chosen is None:
        chosen = min(possible)
        if len(possible) > 1:
            choices = tuple(ImportChoice(value=currency) for currency in sorted(possible))
            findings.ask("currency", "currency", choices, (_first(stated),), sign=next(iter(stated)))
            return chosen, True
    if settings.currency is None:
        _ask_about_few(layout, stated, chosen, usual[0], findings)
    elif settings.currency != chosen:
        others = {sign: cells for sign, cells in stated.items() if settings.currency not in _meant(sign)}
        row, column = _first(others)
        found = cell_text(layout.table.rows[row][column])
        expected = f"amounts in {settings.currency}, or a column that says the currency of each row"
        findings.fault(row, column, "Another currency than declared", expected, found)
    if settings.currency is None and build_currency is None and layout.kind == "components" and len(possible) > 1:
        findings.note("currency_of_sign", sign=next(iter(stated)), currency=chosen)
    is_named = settings.currency is not None or bool(possible) or "currency" in layout.columns
    return chosen, is_named


def _usual(codes: Counter[str], build_currency: str | None, local: str) -> list[str]:
    """Return the currencies that a table may have whose amounts say none, the likeliest first."""
    if len(codes) < 2:
        ways = (build_currency, *codes, local)
    else:  # of several in a column, that of the place, or the one in most rows
        ways = (build_currency, *([local] if local in codes else []), codes.most_common(1)[0][0])
    return [currency for currency in ways if currency]


def _ask_about_few(layout: Layout, stated: Mapping[str, _Cells], chosen: str, usual: str, findings: Findings) -> None:
    """Ask for the currency where only signs beside a few amounts speak against the usual one."""
    others = {sign: cells for sign, cells in stated.items() if usual not in _meant(sign)}
    cells = sorted(cell for each in others.values() for cell in each)
    rows = {row for row, _ in cells}
    of_header = any(row not in layout.rows for row in rows)
    is_consistent = all(chosen in _meant(sign) for sign in stated)  # else a fault says so
    amounts = [row for row in layout.rows if any(_is_amount(layout.cell(row, field)) for field in MONEY)]
    if others and is_consistent and not of_header and len(amounts) > 1 and 2 * len(rows) <= len(amounts):
        choices = ImportChoice(value=chosen), ImportChoice(value=usual)
        count = {"few": str(len(rows)), "all": str(len(amounts))}
        findings.ask("currency_of_few", "currency", choices, tuple(cells), sign=next(iter(others)), **count)


def _is_amount(cell: Cell) -> bool:
    return isinstance(cell, Decimal) or (isinstance(cell, str) and written(cell) is not None)


def _code(layout: Layout, row: int) -> str:
    """Return the code of a currency that a column states for a row; empty without one."""
    return cell_text(layout.cell(row, "currency")).strip().upper()


def _refuse_contradictions(layout: Layout, findings: Findings) -> None:
    """Add a fault for each amount whose sign is not of the currency that a column states for its row."""
    for field, column in _columns_of_money(layout):
        for row in layout.rows:
            code, sign = _code(layout, row), _sign(layout.cell(row, field))
            if sign and exponent_of(code) is not None and code not in _meant(sign):
                findings.fault(row, column, "Another currency than its row states", f"an amount in {code}", sign)


def _ask_which_column(layout: Layout, settings: ImportSettings, findings: Findings) -> None:
    """Ask which of two columns counts whose headers differ in their currency at most, unless one is declared unread."""
    for place, other in rival_columns(layout):
        header, other_header = layout.headers[place], layout.headers[other]
        if other_header in settings.columns or column_name(other) in settings.columns:
            continue
        have_one_header = words_of(header) == words_of(other_header)
        field = layout.matches[place].field
        row = next(row for row in layout.rows if layout.table.rows[row][other] is not None)
        choices = tuple(
            ImportChoice(
                value=f"{column_name(column) if have_one_header else layout.headers[column]}={field}",
                reading=cell_text(layout.table.rows[row][column]),
            )
            for column in (place, other)
        )
        if have_one_header:
            findings.ask("amounts_with_one_header", "columns", choices, header=header)
        else:
            findings.ask("amounts_in_two_currencies", "columns", choices, header=header, other=other_header)


def tell_unnamed_currency(rows: Rows, currency: str) -> None:
    """Say what the amounts of a table are taken as that names no currency; ask, where something hints at another."""
    if rows.layout.kind != "components" or "currency" in rows.settings.constants:
        return
    hint = hinted_currencies(rows.layout.headers)
    if hint is not None and currency not in hint[1]:
        choices = tuple(ImportChoice(value=each) for each in (*hint[1], currency))
        rows.findings.ask("currency_of_words", "currency", choices, word=hint[0], currency=currency)
    elif hint is None and rows.values.decimal_mark == "comma" and currency in receipt_words().point_currencies:
        choices = ImportChoice(value="EUR"), ImportChoice(value=currency)
        rows.findings.ask("currency_of_decimals", "currency", choices, currency=currency)
    else:
        rows.findings.note("currency_assumed", currency=currency)


def _columns_of_money(layout: Layout) -> list[tuple[str, int]]:
    return [(field, layout.columns[field]) for field in MONEY if field in layout.columns]


def _sign(cell: Cell) -> str:
    """Return the sign or code beside an amount; empty without one."""
    part = written(cell) if isinstance(cell, str) else None
    return part.currency if part is not None else ""


def _meant(sign: str) -> frozenset[str]:
    """Return the currencies that a sign or code can stand for."""
    return frozenset(CURRENCY_SIGNS.get(sign, (sign,)))


def _first(stated: Mapping[str, _Cells]) -> tuple[int, int]:
    return min(cell for cells in stated.values() for cell in cells)


def _stated_currencies(layout: Layout) -> dict[str, _Cells]:
    """Return the signs and codes beside amounts and in their headers, each with its cells.

    Those in rows for which a column states the currency say nothing of the others.
    """
    stated: dict[str, _Cells] = {}
    for field, column in _columns_of_money(layout):
        for word in currencies_in(layout.headers[column]):
            stated.setdefault(word, []).append((max(layout.rows.start - 1, 0), column))
        for row in layout.rows:
            sign = _sign(layout.cell(row, field))
            if sign and not _code(layout, row):
                stated.setdefault(sign, []).append((row, column))
    return stated


def _possible(stated: Mapping[str, _Cells], findings: Findings) -> frozenset[str]:
    """Return the currencies that all the signs can stand for; empty without any. A sign of another one is a fault."""
    possible: frozenset[str] = frozenset()
    for sign, cells in sorted(stated.items(), key=lambda item: min(item[1])):
        row, column = min(cells)
        meant = _meant(sign)
        if possible and not possible & meant:
            expected = "one currency in the table, or a column that says which"
            findings.fault(row, column, "Another currency than in other cells", expected, sign)
        else:
            possible = possible & meant if possible else meant
    return possible


def _locale_currency(locale: str) -> str:
    territory = Locale.parse(resolve_locale(locale).formats, sep="-").territory or "US"
    return str(get_territory_currencies(territory)[0])
