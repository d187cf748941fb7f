"""Rows of receipts to components: what is a purchase, takes one back, is split over others, or is a total."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from functools import partial
from hashlib import sha256
from typing import Any

import msgspec
from msgspec import Struct

from hitchworth.localization.texts import texts
from hitchworth.model.entry import Component, EvidenceGrade
from hitchworth.model.receipt_import import Confidence, ImportChoice, ImportedRow, ImportGuess, ImportSettings
from hitchworth.money import Money, split
from hitchworth.reference.receipt_words import (
    ExtraKind,
    Language,
    Role,
    extra_kind,
    names_total,
    proposed_category,
    row_role,
    used_phrase,
)
from hitchworth.reference.words import words_of
from hitchworth.validation.fault_texts import with_suggestions
from hitchworth.workbooks.amounts import Amounts
from hitchworth.workbooks.layout import NUMBERS
from hitchworth.workbooks.records import code_of
from hitchworth.workbooks.refunds import Line, RefundMatching, purchase_of_component, purchase_of_line
from hitchworth.workbooks.rows import OR_LEAVE_OUT, Rows

NOT_KNOWN = "other"
"""The category of a component whose description shows none; it follows the general schedule."""

_TOOLS = frozenset(("tools", "hand_tools", "power_tools"))
_HOURS = frozenset(words_of("hour hours hr hrs stunde stunden std hora horas heure heures"))
"""Words of a row that says hours of work."""
_MOST_NAMED = 30
"""A note names at most this many rows."""

_COMPUTED = frozenset(
    ("id", "description", "category", "quantity", "unit_cost", "acquired_on", "currency", "tax", "freight", "refund_of")
)
_PLACES = Decimal("0.000000000001")
_LONGEST = 300
_ZERO = Decimal(0)


class Imported(Struct):
    """What the rows became."""

    entries: tuple[dict[str, Any], ...]
    """Components or labor entries as JSON has them; `validation` makes records of them."""
    sources: tuple[int, ...]
    """The row of each entry, counted from 0."""
    rows: tuple[ImportedRow, ...]
    settings: ImportSettings


class Destination(Struct, frozen=True):
    """The build into which a table is read."""

    currency: str
    components: Sequence[Component] = ()
    """What it has already; a refund may take it back."""
    categories: frozenset[str] = frozenset()
    """The names of categories that it has of its own."""

    @property
    def ids(self) -> frozenset[str]:
        """The ids of its components."""
        return frozenset(part.id for part in self.components)


def read_components(rows: Rows, currency: str, language: Language, build: Destination) -> Imported:
    """Return the components of a table of receipts in a currency, for a build.

    Faults and questions are added to the findings of the rows; with any, the components are not to be used.
    """
    return _Receipts(rows, currency, language, build).imported()


class _Receipts:
    """One table of receipts."""

    def __init__(self, rows: Rows, currency: str, language: Language, build: Destination) -> None:
        self._rows, self._findings, self._settings = rows, rows.findings, rows.settings
        self._currency, self._language, self._build = currency, language, build
        self._money = Money(currency)
        self._amounts = Amounts(rows, self._money)
        self._extras: dict[ExtraKind, list[Line]] = {}
        self._absent: list[Line] = []
        """The purchases that were declared to be left out: they keep their share of what their receipt splits."""
        self._faulty: list[int] = []
        """The rows that could not be read."""
        self._paid_with_tax: frozenset[int] = frozenset()
        """The rows whose price has the sales tax in it."""
        self._known_categories = frozenset(texts().labels["category"]) | build.categories

    def imported(self) -> Imported:
        """Return the components; none as long as a question about the columns is open."""
        for field in ("acquired_on", "description"):
            if not self._rows.has(field):
                self._rows.ask_for_column(field)
        lines, splits = self._lines() if not self._findings.questions else ([], [])
        self._name(lines)
        for role, line in splits:
            self._split(role, line, lines)
        self._match_refunds(lines)
        self._find_tax_within(lines)
        entries = tuple(self._component(line) for line in lines)
        self._note_unused_rate(entries)
        self._note_extras()
        self._note_evidence(lines)
        self._refuse_unknown_categories()
        settings = msgspec.structs.replace(
            self._settings,
            kind="components",
            date_order=self._rows.values.date_order,
            decimal_mark=self._rows.values.decimal_mark,
            currency=self._currency,
            tax_in_amount=self._amounts.tax_in_amount,
        )
        return Imported(entries, tuple(line.row for line in lines), self._rows.outcomes, settings)

    def _find_tax_within(self, lines: Sequence[Line]) -> None:
        """Say which lines were paid with sales tax in the price: as declared, or by the header; or ask."""
        hidden = [line for line in lines if line.tax is None]
        declared = self._settings.tax_in_amount
        if not hidden or declared == "added" or not (declared or self._amounts.may_hide_tax):
            return
        if declared is None and len(hidden) < len(lines):
            if not self._amounts.says_paid:
                return
            header = self._rows.layout.headers[self._amounts.column]
            choices = ImportChoice(value="included"), ImportChoice(value="added")
            self._findings.ask("paid_with_tax", "tax_in_amount", choices, header=header, rows=_numbers(hidden))
            return
        self._findings.note("tax_within_amounts", rows=_numbers(hidden))
        self._paid_with_tax = frozenset(line.row for line in hidden)

    def _lines(self) -> tuple[list[Line], list[tuple[Role, Line]]]:
        """Return the purchases and refunds, and the rows that are split over them, each with what it is."""
        lines: list[Line] = []
        splits: list[tuple[Role, Line]] = []
        since_total, total = _ZERO, _ZERO
        without, all_without = _ZERO, _ZERO  # the same of rows that were declared to be left out
        for row in sorted((*self._rows.numbers, *self._rows.left_out)):
            role = self._role(row)
            if row in self._rows.left_out:
                if role == "total":
                    since_total = without = _ZERO
                else:
                    amount = self._amounts.paid(row) or _ZERO
                    without, all_without = without + amount, all_without + amount
                    if role is None and amount > 0:
                        self._absent.extend(self._left_out_line(row, amount))
                continue
            paid = self._amounts.paid(row)
            sums = (since_total, since_total + without, total, total + all_without)
            is_declared = row + 1 in self._settings.freight
            if paid is not None and not is_declared and self._is_total(row, role, paid, sums if lines else ()):
                since_total = without = _ZERO
            elif paid is None and not is_declared and self._is_heading(row):
                self._rows.leave_out(row, "no_amount")
                self._note_hours(row)
            elif (line := self._line(row, paid)) is not None:
                since_total, total = since_total + line.paid, total + line.paid
                if role in ("tax", "freight", "discount"):
                    splits.append((role, line))
                else:
                    lines.append(line)
            else:
                self._faulty.append(row)
        return lines, splits

    def _role(self, row: int) -> Role | None:
        """Return what a row is that is no purchase: as declared, by its description, or else by its first text."""
        if row + 1 in self._settings.freight:
            return "freight"
        text = self._rows.text(row, "description") or next(iter(self._rows.texts(row)), "")
        return row_role(text)

    def _is_total(self, row: int, role: Role | None, paid: Decimal, sums: Sequence[Decimal]) -> bool:
        """Return whether a row is a total, and leave it out; one that differs from the rows above it is told.

        `sums`: of the rows above, since the last total and in all, without and with those that are left out.
        """
        adds_up = any(self._amounts.is_same(paid, amount) for amount in sums)
        has_day = (row, "acquired_on") in self._rows.values.dates
        if role == "total" and has_day and not adds_up:
            above = sums[-1] if sums else _ZERO
            expected = f"what was bought (the rows above it add up to {above}); {OR_LEAVE_OUT}"
            column = self._rows.column("description")
            self._findings.fault(
                row,
                column,
                "The row says total, and is no total of those above",
                expected,
                self._rows.text(row, "description"),
            )
            return False
        text = self._rows.text(row, "description")
        if role != "total" and (has_day or not adds_up or (text and not names_total(text))):
            return False
        self._rows.leave_out(row, "total")
        if not adds_up:
            above = sums[-1] if sums else _ZERO
            self._findings.note("total_differs", about=str(row + 1), stated=str(paid), sum=str(above))
        return True

    def _is_heading(self, row: int) -> bool:
        """Return whether a row without an amount is no purchase: a heading or a remark between the others."""
        is_purchase = (row, "acquired_on") in self._rows.values.dates and self._rows.text(row, "description")
        return not is_purchase and not self._amounts.states_amount(row)

    def _note_hours(self, row: int) -> None:
        """Tell that a row left out for lack of an amount says hours, and where they belong."""
        text = self._rows.text(row, "description")
        said = {*words_of(text), *words_of(self._rows.text(row, "unit")), self._rows.values.units.get(row, "")}
        if _HOURS & said and (self._rows.number(row, "quantity") or any(map(str.isdigit, text))):
            self._findings.note("hours_among_receipts", row=str(row + 1), description=text)

    def _line(self, row: int, paid: Decimal | None) -> Line | None:
        """Return a row as a line, or null with its faults."""
        day, description = self._rows.day(row, "acquired_on"), self._rows.text(row, "description")
        quantity = self._rows.number(row, "quantity")
        if quantity is None and self._rows.layout.cell(row, "quantity") is None:
            quantity = Decimal(1)
        self._rows.expect_day(row, "acquired_on", day, "the day of purchase")
        self._rows.expect(row, "description", bool(description), "what was bought")
        self._rows.expect(row, "quantity", bool(quantity), "a number other than 0")
        self._expect_numbers(row)
        if paid is None:
            column = self._amounts.column
            cell = self._rows.layout.table.rows[row][column]
            detail = "No amount stands here" if cell is None else "Not a value of its column"
            self._findings.wrong(row, column, cell, detail, f"an amount; {OR_LEAVE_OUT}")
        if day is None or not description or paid is None or not quantity:
            return None
        tax, freight = self._amounts.difference(row)
        return Line(
            row=row,
            description=description,
            day=day,
            quantity=quantity,
            net=self._amounts.net(row, paid, quantity),
            paid=paid,
            tax=tax,
            freight=freight,
        )

    def _left_out_line(self, row: int, paid: Decimal) -> Iterator[Line]:
        """Yield a purchase that was left out, if it can be read."""
        day, quantity = self._rows.day(row, "acquired_on"), self._rows.number(row, "quantity") or Decimal(1)
        if day is not None and quantity > 0:
            net = self._amounts.net_of(row, paid, quantity)
            yield Line(row, self._rows.text(row, "description"), day, quantity, net, paid, id=str(row))

    def _expect_numbers(self, row: int) -> None:
        """Add a fault for each cell of a column of numbers that is none: what it says must not be dropped."""
        for field in NUMBERS:
            is_empty = self._rows.layout.cell(row, field) is None
            self._rows.expect(row, field, is_empty or self._rows.number(row, field) is not None, "a number")

    def _name(self, lines: Sequence[Line]) -> None:
        """Give each line an id that is the same whenever the row is read again, whatever stands beside it.

        The same purchase twice is two lines: the second one in the file has a number behind its id.
        """
        seen: dict[str, int] = {}
        names: dict[int, str] = {}
        for line in lines:
            texts = (self._rows.stated(line.row, field) for field in ("supplier", "description", "receipt_number"))
            parts = (line.day.isoformat(), f"{line.paid.normalize():f}", self._currency_of(line.row), *texts)
            key = sha256(msgspec.json.encode([part.casefold() for part in parts])).hexdigest()[:10]
            name = f"receipt-{line.day.isoformat()}-{key}"
            seen[name] = seen.get(name, 0) + 1
            own = self._rows.text(line.row, "id")
            names[line.row] = own or (name if seen[name] == 1 else f"{name}-{seen[name]}")
        ids = self._rows.ids(names, self._build.ids)
        for line in lines:
            line.id = ids[line.row]

    def _currency_of(self, row: int) -> str:
        return self._rows.text(row, "currency").upper() or self._currency

    def _split(self, role: Role, line: Line, lines: Sequence[Line]) -> None:
        """Split tax, freight or a discount over the purchases of its receipt, in proportion to what each cost.

        One that was left out has its share too, which goes with it.
        """
        self._rows.settle(line.row, "split")
        of_receipt = (other for other in (*lines, *self._absent) if self._receipt(other) == self._receipt(line))
        partners = [other for other in of_receipt if not other.is_refund]
        weights = [self._money.to_minor_units(other.net) for other in partners]
        if not sum(weights):
            if any(self._may_share_receipt(row, line) for row in self._faulty):
                return  # the fault of that row is told; what it is in the receipt is not known
            expected = f"a purchase with the same receipt number, or the same day and supplier; {OR_LEAVE_OUT}"
            column = self._rows.column("description")
            detail = "No purchase shares the receipt of this row"
            self._findings.fault(line.row, column, detail, expected, line.description)
        elif (line.paid < 0) != (role == "discount"):
            expected = "an amount below 0" if role == "discount" else f"an amount of 0 or more; {OR_LEAVE_OUT}"
            self._findings.fault(line.row, self._amounts.column, "The sign does not fit", expected, str(line.paid))
        else:
            parts = split(abs(self._money.to_minor_units(line.paid)), weights, [partner.id for partner in partners])
            for partner, part in zip(partners, parts, strict=True):
                _add(role, partner, self._money.from_minor_units(part))

    def _receipt(self, line: Line) -> tuple[str, ...]:
        """Return what the rows of one receipt share: its number, else day and supplier."""
        number = self._rows.text(line.row, "receipt_number")
        if number:
            return (number.casefold(),)
        return line.day.isoformat(), self._rows.text(line.row, "supplier").casefold()

    def _may_share_receipt(self, row: int, line: Line) -> bool:
        """Return whether a row that could not be read may be on the receipt of a line."""
        numbers = [self._rows.text(each, "receipt_number").casefold() for each in (row, line.row)]
        if all(numbers):
            return numbers[0] == numbers[1]
        suppliers = {self._rows.text(each, "supplier").casefold() for each in (row, line.row)}
        return len(suppliers) == 1 and self._rows.day(row, "acquired_on") in (None, line.day)

    def _match_refunds(self, lines: list[Line]) -> None:
        bought = [purchase_of_line(line) for line in lines if not line.is_refund]
        ids = {line.id for line in lines}
        known = [
            purchase_of_component(part)
            for part in self._build.components
            if part.id not in ids and part.refund_of is None
        ]
        answered = {part.id: part.refund_of for part in self._build.components}
        paid = {part.id: part.quantity * part.unit_cost for part in self._build.components}
        matching = RefundMatching([*bought, *known], paid, self._amounts.column, self._findings)
        refunds = {str(line.row + 1) for line in lines if line.is_refund}
        for row in self._settings.refunds:
            if row not in refunds and lines:
                self._findings.declared("No refund stands in this row", "the number of a row with a refund", row)
        by_id = {line.id: line for line in lines}
        for line in tuple(lines):
            self._rows.settle(line.row, "refund" if line.is_refund else "purchase", id=line.id)
            if line.is_refund:
                declared = self._settings.refunds.get(str(line.row + 1)) or answered.get(line.id)
                lowered = matching.match(line, declared)
                if lowered is not None:
                    self._lower(by_id[lowered.id], line)
                    lines.remove(line)
                elif (purchase := by_id.get(line.refund_of or "")) is not None and purchase.freight:
                    self._note_freight(line, purchase)

    def _note_freight(self, refund: Line, purchase: Line) -> None:
        """Tell that the share of freight of what came back is no longer counted, though a shop seldom pays it back."""
        weights = [int((purchase.quantity + refund.quantity) / _PLACES), int(-refund.quantity / _PLACES)]
        freight = self._money.to_minor_units(purchase.freight)
        _, share = split(freight, weights, [purchase.id, refund.id])
        amount = str(self._money.from_minor_units(share))
        row, description = str(refund.row + 1), purchase.description
        self._findings.note("freight_taken_back", row=row, description=description, amount=amount)

    def _lower(self, purchase: Line, refund: Line) -> None:
        """Lower the price of a purchase, and its tax, by what a refund paid back of it."""
        purchase.net -= abs(refund.net)
        if purchase.tax is not None and refund.tax is not None:
            purchase.tax -= abs(refund.tax)
        self._rows.settle(refund.row, "split")
        amount = str(abs(refund.net))
        self._findings.note("price_lowered", row=str(refund.row + 1), description=purchase.description, amount=amount)

    def _component(self, line: Line) -> dict[str, Any]:
        """Return a line as a component, with the fields that it has."""
        units: Mapping[int, str] = self._rows.values.units
        currency = self._currency_of(line.row)
        fields: dict[str, Any] = {
            "id": line.id,
            "description": line.description[:_LONGEST],
            "category": self._category(line),
            "quantity": line.quantity,
            "unit_cost": self._unit_cost(line),
            "acquired_on": line.day,
            "tax": line.tax,
            "freight": line.freight,
            "refund_of": line.refund_of,
            "evidence_grade": self._evidence(line),
            "unit": units.get(line.row),
            "currency": currency if currency != self._build.currency else None,
            "price_includes": "all" if line.row in self._paid_with_tax else None,
        }
        given = {name: value for name, value in fields.items() if value is not None}
        given |= self._rows.other_fields(line.row, "component", _COMPUTED)
        if "currency" not in given and self._rows.layout.cell(line.row, "exchange_rate") is None:
            given.pop("exchange_rate", None)  # one that was set for all rows is that of the other currency
        if "bought_used" not in given and not line.is_refund:
            given |= self._used(line)
        return given

    def _used(self, line: Line) -> dict[str, Any]:
        """Return that a line was bought used, where its words say so, as a guess."""
        words = used_phrase(line.description)
        if words is None:
            return {}
        guess = ImportGuess(
            row=line.row + 1, id=line.id, field="bought_used", value="true", confidence="medium", because=words
        )
        self._findings.guess(guess)
        return {"bought_used": True}

    def _note_extras(self) -> None:
        """Tell which lines look like no part of a trailer; they count until they are left out."""
        for kind, lines in self._extras.items():
            self._findings.note(f"extra_{kind}", rows=_numbers(lines), first=lines[0].description)

    def _note_unused_rate(self, entries: Sequence[Mapping[str, Any]]) -> None:
        """Tell that an exchange rate was set which no row needs."""
        rate = self._settings.constants.get("exchange_rate")
        if rate is not None and entries and not any("exchange_rate" in entry for entry in entries):
            self._findings.note("exchange_rate_unused", rate=rate, currency=self._build.currency)

    def _note_evidence(self, lines: Sequence[Line]) -> None:
        """Tell what counts as proved by a receipt, and what does not, where nobody has said it."""
        if not lines or self._settings.evidence_grade is not None or self._rows.has("evidence_grade"):
            return
        without = [line for line in lines if not self._rows.text(line.row, "receipt_number")]
        numbered = str(len(lines) - len(without))
        if len(without) == len(lines):
            self._findings.note("no_evidence")
        elif without:
            self._findings.note("evidence_of_some", numbered=numbered, rows=_numbers(without))
        else:
            self._findings.note("evidence_of_all", numbered=numbered)

    def _refuse_unknown_categories(self) -> None:
        """Add a fault for each declared category that there is not: a slip of the pen would follow no schedule."""
        known = self._known_categories
        constant = self._settings.constants.get("category")
        for name in (*self._settings.categories.values(), *((constant,) if constant else ())):
            if code_of(name, "category") not in known:
                meant = proposed_category(name, self._language)
                expected = f"a category, such as {meant.name}" if meant else "the name of a category"
                self._findings.declared("There is no such category", with_suggestions(name, known, expected), name)

    def _unit_cost(self, line: Line) -> Decimal:
        """Return the price of one unit: in minor units where that is exact, else to 12 places."""
        unit_cost = abs(line.net / line.quantity)
        rounded = self._money.from_minor_units(self._money.to_minor_units(unit_cost))
        return rounded if rounded == unit_cost else unit_cost.quantize(_PLACES)

    def _category(self, line: Line) -> str:
        """Return the category that the table states or that was declared; where it states none of ours, a guess."""
        stated = self._rows.text(line.row, "category")
        code = code_of(stated, "category")
        if code in self._known_categories:
            self._note_extra(line, code)
            return code
        declared = self._declared_category(f"{stated} {line.description}")
        if declared:
            return declared
        guess = _guessed_category(line, stated, self._language)
        self._findings.guess(guess)
        self._note_extra(line, guess.value)
        return guess.value

    def _note_extra(self, line: Line, category: str) -> None:
        kind: ExtraKind | None = "tools" if category in _TOOLS else extra_kind(line.description)
        if kind is not None and not line.is_refund:
            self._extras.setdefault(kind, []).append(line)

    def _declared_category(self, description: str) -> str:
        """Return the category that was declared for words of the description, those with most words first."""
        words = frozenset(words_of(description))
        fitting = [text for text in self._settings.categories if words.issuperset(words_of(text))]
        best = max(fitting, key=lambda text: len(words_of(text)), default="")
        return code_of(self._settings.categories[best], "category") if best else ""

    def _evidence(self, line: Line) -> EvidenceGrade | None:
        """Return what proves a cost: as declared, a receipt where it has a number, else null, as nobody said it."""
        if self._settings.evidence_grade is not None:
            return self._settings.evidence_grade
        return "receipt" if self._rows.text(line.row, "receipt_number") else None


def _numbers(lines: Sequence[Line]) -> str:
    """Return the numbers of rows as a list; of very many, the first."""
    shown = ", ".join(str(line.row + 1) for line in lines[:_MOST_NAMED])
    return f"{shown}, …" if len(lines) > _MOST_NAMED else shown


def _guessed_category(line: Line, stated: str, language: Language) -> ImportGuess:
    """Return the category that the words of a description show, or those of a column of categories; else NOT_KNOWN."""
    guess = partial(ImportGuess, row=line.row + 1, id=line.id, field="category", stated=stated)
    named = proposed_category(line.description, language)
    if named is None and (of_column := proposed_category(stated, language)) is not None:
        return guess(value=of_column.name, confidence="low", because=of_column.phrase)
    if named is None:
        return guess(value=NOT_KNOWN, confidence=None)
    confidence: Confidence = "low" if not named.is_exact else "high" if " " in named.phrase else "medium"
    return guess(value=named.name, confidence=confidence, because=named.phrase)


def _add(role: Role, line: Line, amount: Decimal) -> None:
    """Add a part of a split row to a line; a discount lowers what it cost."""
    if role == "tax":
        line.tax = (line.tax or _ZERO) + amount
    elif role == "freight":
        line.freight += amount
    else:
        line.net -= amount
