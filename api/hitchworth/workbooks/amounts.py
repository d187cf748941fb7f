"""What the columns of amounts of a table of receipts mean: a price for one unit, what a line cost, tax in it or not."""

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from hitchworth.model.receipt_import import ImportChoice, TaxInAmount
from hitchworth.money import Money
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cells import column_name
from hitchworth.workbooks.rows import Rows

_NET = frozenset({"net", "netto", "nettobetrag", "neto", "ht"})
"""Words of a header that say that tax comes on top."""
_PAID = frozenset(words_of("paid spent bezahlt gezahlt ausgegeben pagado gastado payé dépensé"))
"""Words of a header that say that an amount is what was paid: with tax, as shops ask it."""
_WITH_TAX = frozenset(
    words_of("gross incl inclusive including inkl inklusive mwst brutto bruto incluido ttc incluses vat iva tva")
)
"""Words of a header that say that tax is in it."""

_ZERO = Decimal(0)
_MOST_EXTRA = 3
"""Tax or freight is less than a third of what was paid; where a total is more, something else is wrong."""


class Amounts:
    """The amounts of the rows of one table. What its columns do not decide becomes a question."""

    def __init__(self, rows: Rows, money: Money) -> None:
        self._rows, self._money = rows, money
        self._unit: str | None = "unit_cost" if "unit_cost" in rows.layout.columns else None
        """The field that is the price of one unit."""
        stated = [field for field in ("amount", "gross") if field in rows.layout.columns]
        self._line: str | None = stated[0] if stated else None
        """The field that is what a row cost."""
        self._total: str | None = "gross" if len(stated) == 2 else None
        """The field that is what a row cost with tax and freight, where that is another one."""
        if "price" in rows.layout.columns:
            self._place_price()
        if not (self._unit or self._line or rows.has("credit") or rows.findings.questions):
            rows.ask_for_column("amount")
        self._is_negative_paid = self._paid_negative()
        if self._rows.settings.difference is None:
            self._ask_about_difference()
        self.tax_in_amount = self._tax_in_amount()

    @property
    def column(self) -> int:
        """The column in which faults of an amount are told."""
        return self._rows.column(self._line or self._unit or "credit")

    @property
    def may_hide_tax(self) -> bool:
        """Whether the header of the amounts says that they were paid or have tax in them, and no tax stands beside."""
        if self._line is None or self._rows.has("tax"):
            return False
        if self._unit is not None:  # beside a price, a total is often without tax
            return bool(self._words & _WITH_TAX)
        return self._is_gross(self._line) or self.says_paid

    @property
    def says_paid(self) -> bool:
        """Whether the header of the amounts says that they were paid."""
        return bool(self._words & _PAID)

    @property
    def _words(self) -> frozenset[str]:
        return frozenset(words_of(self._rows.layout.headers[self.column]))

    def paid(self, row: int) -> Decimal | None:
        """Return the amount that a row states, above zero for a purchase; null without one."""
        amount = self._stated(row)
        if amount is None and self._unit is not None:
            price, quantity = self._rows.number(row, self._unit), self._quantity(row)
            amount = None if price is None else price * (Decimal(1) if quantity is None else quantity)
        credit = self._rows.number(row, "credit")
        if credit and not amount:
            return -abs(credit)
        return -amount if amount is not None and self._is_negative_paid else amount

    def states_amount(self, row: int) -> bool:
        """Return whether something stands where a row states its amount, a number or not."""
        fields = (self._line, self._unit, "credit")
        return any(field is not None and self._rows.layout.cell(row, field) is not None for field in fields)

    def net(self, row: int, paid: Decimal, quantity: Decimal) -> Decimal:
        """Return what a row cost without tax and freight. Where price and amount contradict each other: a fault."""
        price, stated = self._price(row), self._stated(row)
        if price is not None and stated is not None and not self._difference(row):
            total, extras = price * quantity, self._extras(row)
            allowed = (total,) if self.tax_in_amount == "included" else (total, total + extras)
            if not any(self.is_same(abs(amount), abs(stated)) for amount in allowed):
                with_extras = f", or {total + extras:f} with tax and freight" if extras else ""
                expected = f"{quantity:f} x {price} = {total:f}{with_extras}"
                self._rows.findings.fault(row, self.column, "Not the quantity times the price", expected, str(stated))
        return self.net_of(row, paid, quantity)

    def net_of(self, row: int, paid: Decimal, quantity: Decimal) -> Decimal:
        """Return the same, whether or not price and amount fit each other."""
        price, extras = self._price(row), self._extras(row) if self.tax_in_amount == "included" else _ZERO
        if price is None:
            return paid - extras if self._line is not None else paid
        if self._difference(row):
            return price * quantity
        net = price * quantity - extras
        return -abs(net) if paid < 0 else net

    def _price(self, row: int) -> Decimal | None:
        return self._rows.number(row, self._unit) if self._unit is not None else None

    def is_same(self, one: Decimal, other: Decimal) -> bool:
        """Return whether two amounts differ by less than a minor unit."""
        return abs(one - other) < self._money.unit

    def _quantity(self, row: int) -> Decimal | None:
        """Return the quantity of a row: 1 where none stands, null where what stands there is no number."""
        quantity = self._rows.number(row, "quantity")
        return Decimal(1) if quantity is None and self._rows.layout.cell(row, "quantity") is None else quantity

    def _stated(self, row: int) -> Decimal | None:
        return self._rows.number(row, self._line) if self._line is not None else None

    def _extras(self, row: int) -> Decimal:
        return (self._rows.number(row, "tax") or _ZERO) + (self._rows.number(row, "freight") or _ZERO)

    def difference(self, row: int) -> tuple[Decimal | None, Decimal]:
        """Return tax and freight of a row: as its columns say, or what its total is more than its price."""
        tax, freight = self._rows.number(row, "tax"), self._rows.number(row, "freight") or _ZERO
        more = self._difference(row)
        if more and self._rows.settings.difference == "tax":
            tax = (tax or _ZERO) + more
        elif more and self._rows.settings.difference == "freight":
            freight += more
        return tax, freight

    def _difference(self, row: int) -> Decimal:
        """Return what the total of a purchase is more than its price, tax and freight; 0 where that is not declared."""
        return self._more(row) if self._rows.settings.difference is not None else _ZERO

    def _more(self, row: int) -> Decimal:
        total = self._rows.number(row, self._total or self._line or "")
        price = self._rows.number(row, self._unit) if self._unit is not None else None
        quantity = self._quantity(row)
        if total is None or price is None or quantity is None:
            return _ZERO
        more = total - price * quantity - self._extras(row)
        return more if more >= self._money.unit and total > 0 else _ZERO

    def _ask_about_difference(self) -> None:
        """Ask what it is when most totals are somewhat more than the quantity times the price."""
        higher = [
            row for row in self._rows.numbers if _ZERO < self._more(row) * _MOST_EXTRA < (self._stated(row) or _ZERO)
        ]
        totals = [row for row in self._rows.numbers if self._line is not None and self._stated(row)]
        if self._unit is None or 2 * len(higher) <= len(totals):
            return
        total, more = self._stated(higher[0]) or _ZERO, self._more(higher[0])
        reading = f"{total - more} + {more} = {total}"
        choices = ImportChoice(value="tax", reading=reading), ImportChoice(value="freight", reading=reading)
        header = self._rows.layout.headers[self.column]
        cells = tuple((row, self.column) for row in higher)
        self._rows.findings.ask("difference", "difference", choices, cells, header=header)

    def _place_price(self) -> None:
        """Say what a column of plain prices is: of a unit where an amount stands beside it, else of the line."""
        if self._line is not None and self._unit is None:
            self._unit = "price"
        elif self._line is None and self._unit is None:
            several = [row for row in self._rows.numbers if (self._rows.number(row, "quantity") or 1) != 1]
            if several:
                self._ask_what_price_means(several[0])
            else:
                self._line = "price"

    def _ask_what_price_means(self, row: int) -> None:
        layout = self._rows.layout
        column = layout.columns["price"]
        header = layout.headers[column] or column_name(column)
        quantity = self._rows.number(row, "quantity") or Decimal(1)
        price = self._rows.number(row, "price") or _ZERO
        each = self._money.from_minor_units(self._money.to_minor_units(price / quantity))
        choices = (
            ImportChoice(value=f"{header}=unit_cost", reading=f"{quantity:f} x {price} = {quantity * price:f}"),
            ImportChoice(value=f"{header}=amount", reading=f"{quantity:f} x {each} = {price}"),
        )
        self._rows.findings.ask("price_meaning", "columns", choices, ((row, column),), header=header)

    def _paid_negative(self) -> bool:
        """Return whether what was paid is below zero; asked where most amounts are."""
        sign = self._rows.settings.sign
        field = self._line or self._unit
        if sign is not None or field is None:
            return sign == "paid-negative"
        amounts = [amount for row in self._rows.numbers if (amount := self._rows.number(row, field))]
        below = sum(1 for amount in amounts if amount < 0)
        if 2 * below > len(amounts):
            choices = ImportChoice(value="paid-negative"), ImportChoice(value="paid-positive")
            self._rows.findings.ask("sign", "sign", choices, below=str(below), above=str(len(amounts) - below))
        return False

    def _tax_in_amount(self) -> TaxInAmount | None:
        """Return whether amounts include tax and freight: as declared, by arithmetic, by the words, or asked."""
        extras = [row for row in self._rows.numbers if self._extras(row)]
        header = self._rows.layout.headers[self.column] or column_name(self.column)
        way = self._rows.settings.tax_in_amount or (self._recognized_tax(extras) if extras else None)
        if not extras:
            return way
        if way is None:
            self._ask_about_tax(extras[0], header)
        elif way == "added":
            self._rows.findings.note("tax_added", header=header)
        else:
            self._rows.findings.note("tax_included", header=header)
        return way

    def _recognized_tax(self, extras: Sequence[int]) -> TaxInAmount | None:
        """Return whether amounts include the tax beside them, as arithmetic or words say; null where neither does."""
        if self._line is None:
            return "added"
        if self._unit or self._total:
            by_arithmetic = self._tax_by_arithmetic(extras)
            if by_arithmetic != "either":
                return by_arithmetic or self._tax_by_words()
            return self._tax_beside_products()
        return self._tax_by_words()

    def _tax_by_words(self) -> TaxInAmount | None:
        if self._is_gross(self._line):
            return "included"
        return "added" if _NET & self._words else None

    def _tax_beside_products(self) -> TaxInAmount | None:
        """Return where the tax is of amounts that are the quantity times the price: on top, as on an invoice.

        Unless the words of their headers say that it is in them. A total may be one without tax, or with prices that
        include it: null.
        """
        prices = self._rows.layout.headers[self._rows.column(self._unit or "")]
        if (self._words | set(words_of(prices))) & (_WITH_TAX | _PAID):
            return "included"
        return None if self._is_gross(self._line) else "added"

    def _is_gross(self, field: str | None) -> bool:
        """Return whether the words of its header say that an amount includes tax."""
        if field is None:
            return False
        match = self._rows.layout.matches[self._rows.layout.columns[field]]
        return match.field == "gross"

    def _ask_about_tax(self, row: int, header: str) -> None:
        paid, more = self._stated(row) or _ZERO, self._extras(row)
        choices = (
            ImportChoice(value="included", reading=f"{paid - more} + {more} = {paid}"),
            ImportChoice(value="added", reading=f"{paid} + {more} = {paid + more}"),
        )
        self._rows.findings.ask("tax_in_amount", "tax_in_amount", choices, ((row, self.column),), header=header)

    def _tax_by_arithmetic(self, rows: Sequence[int]) -> TaxInAmount | Literal["either"] | None:
        """Return what quantity, price, tax and total of most rows say together; null where they say nothing clear.

        Either: the only total is the quantity times the price, which says nothing of the tax. A slip in one row is a
        fault of that row, and changes what the others mean in nothing.
        """
        ways: Counter[TaxInAmount | Literal["either"] | None] = Counter()
        without: TaxInAmount | Literal["either"] = "included" if self._total else "either"
        for row in rows:
            if self._unit and self._quantity(row) is None:
                continue  # the fault of its quantity is told
            quantity = self._quantity(row) if self._unit else None
            price = self._rows.number(row, self._unit or self._line or "")
            total = self._rows.number(row, self._total or self._line or "")
            if price is not None and total is not None:
                net = price * (Decimal(1) if quantity is None else quantity)
                with_extras = self.is_same(net + self._extras(row), total)
                ways["added" if with_extras else without if self.is_same(net, total) else None] += 1
        clear = [way for way in ways if way is not None]
        return clear[0] if len(clear) == 1 and 2 * ways[clear[0]] > ways.total() else None
