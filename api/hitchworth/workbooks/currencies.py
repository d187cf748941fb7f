"""The currency of a table of receipts: as declared, as its amounts and their headers say, else that of the build.

What hints at another one, and what is there in two, becomes a question.
"""

from collections.abc import Iterator, Mapping

from babel import Locale
from babel.numbers import get_territory_currencies

from hitchworth.localization.locales import resolve_locale
from hitchworth.model.receipt_import import ImportChoice, ImportSettings
from hitchworth.reference.receipt_words import hinted_currencies, receipt_words
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cells import cell_text, column_name
from hitchworth.workbooks.findings import Findings
from hitchworth.workbooks.layout import MONEY, Layout, rival_columns
from hitchworth.workbooks.numbers import CURRENCY_SIGNS, currencies_in, written
from hitchworth.workbooks.rows import Rows


def currency_of(
    layout: Layout, settings: ImportSettings, locale: str, build_currency: str | None, findings: Findings
) -> tuple[str, bool]:
    """Return the currency of the amounts: as declared or as their signs say, else the build's or the locale's.

    And whether anything says so.
    """
    _ask_which_column(layout, settings, findings)
    stated = dict(_stated_currencies(layout))
    possible = _possible(stated, findings)
    codes = {cell_text(layout.cell(row, "currency")).upper() for row in layout.rows} - {""}
    of_column = next(iter(codes)) if len(codes) == 1 else None
    ways = (settings.currency, build_currency, of_column, _locale_currency(locale))
    wanted = [currency for currency in ways if currency]
    chosen = next((currency for currency in wanted if currency in possible or not possible), None)
    if chosen is None:
        chosen = min(possible)
        if len(possible) > 1:
            choices = tuple(ImportChoice(value=currency) for currency in sorted(possible))
            findings.ask("currency", "currency", choices, (min(stated.values()),), sign=next(iter(stated)))
            return chosen, True
    if settings.currency not in (None, chosen):
        row, column = min(stated.values())
        found = cell_text(layout.table.rows[row][column])
        findings.fault(row, column, "Another currency than declared", f"amounts in {settings.currency}", found)
    if settings.currency is None and build_currency is None and layout.kind == "components" and len(possible) > 1:
        findings.note("currency_of_sign", sign=next(iter(stated)), currency=chosen)
    is_named = settings.currency is not None or bool(possible) or "currency" in layout.columns
    return chosen, is_named


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


def _stated_currencies(layout: Layout) -> Iterator[tuple[str, tuple[int, int]]]:
    """Yield the signs and codes beside amounts and in their headers, each with a cell."""
    fields = [(field, layout.columns[field]) for field in MONEY if field in layout.columns]
    for field, column in reversed(fields):
        for row in reversed(layout.rows):
            cell = layout.cell(row, field)
            part = written(cell) if isinstance(cell, str) else None
            if part is not None and part.currency:
                yield part.currency, (row, column)
        for word in currencies_in(layout.headers[column]):
            yield word, (max(layout.rows.start - 1, 0), column)


def _possible(stated: Mapping[str, tuple[int, int]], findings: Findings) -> frozenset[str]:
    """Return the currencies that all the signs can stand for; empty without any. A sign of another one is a fault."""
    possible: frozenset[str] = frozenset()
    for sign, (row, column) in sorted(stated.items(), key=lambda item: item[1]):
        meant = frozenset(CURRENCY_SIGNS.get(sign, (sign,)))
        if possible and not possible & meant:
            expected = "one currency in the table, or a column that says which"
            findings.fault(row, column, "Another currency than in other cells", expected, sign)
        else:
            possible = possible & meant if possible else meant
    return possible


def _locale_currency(locale: str) -> str:
    territory = Locale.parse(resolve_locale(locale).formats, sep="-").territory or "US"
    return str(get_territory_currencies(territory)[0])
