"""What a refund takes back, or lowers the price of: the purchase that its words and its money fit, or a question."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from msgspec import Struct

from hitchworth.model.entry import Component
from hitchworth.model.receipt_import import Confidence, ImportChoice, ImportGuess
from hitchworth.reference.words import words_of
from hitchworth.workbooks.findings import Findings

_REFUND_WORDS = frozenset(
    words_of("return returned refund retour rückgabe erstattung gutschrift devolución reembolso remboursement credit")
)
_MOST_CHOICES = 5
_CENT = Decimal("0.01")


class Line(Struct):
    """A row on its way to a component."""

    row: int
    description: str
    day: date
    quantity: Decimal
    net: Decimal
    """What was paid for the whole line, without tax and freight; below zero for a refund."""
    paid: Decimal
    """The amount that the row states, as it states it."""
    tax: Decimal | None = None
    freight: Decimal = Decimal(0)
    id: str = ""
    refund_of: str | None = None

    @property
    def is_refund(self) -> bool:
        return self.net < 0 or self.quantity < 0


class Purchase(Struct, frozen=True):
    """A purchase that a refund may take back."""

    id: str
    row: int | None
    """The row, counted from 1; null: it is in the build already."""
    description: str
    day: date
    quantity: Decimal
    net: Decimal
    """Of the whole line."""
    gross: Decimal
    """The same with tax and freight."""

    @property
    def words(self) -> frozenset[str]:
        """The words of its description."""
        return frozenset(words_of(self.description))

    def units_for(self, money: Decimal) -> Decimal | None:
        """Return how many whole units money is for, with or without tax; null where it is for none."""
        for paid in (self.net, self.gross):
            if paid > 0 and self.quantity > 0:
                units = (money * self.quantity / paid).to_integral_value()
                if 0 < units <= self.quantity and abs(units * paid / self.quantity - money) < _CENT * units:
                    return units
        return None


def purchase_of_line(line: Line) -> Purchase:
    """Return a line of the table as a purchase."""
    gross = line.net + (line.tax or Decimal(0)) + line.freight
    return Purchase(line.id, line.row + 1, line.description, line.day, line.quantity, line.net, gross)


def purchase_of_component(part: Component) -> Purchase:
    """Return a component of the build as a purchase."""
    net = part.quantity * part.unit_cost
    gross = net + (part.tax or Decimal(0)) + part.freight
    return Purchase(part.id, None, part.description, part.acquired_on, part.quantity, net, gross)


class RefundMatching:
    """Matches the refunds of one table with purchases, of the table and of the build."""

    def __init__(
        self, purchases: Sequence[Purchase], paid: Mapping[str, Decimal], column: int, findings: Findings
    ) -> None:
        """Take the purchases. `paid`: what the build has as the price of each of its lines, by id."""
        self._purchases, self._paid, self._column, self._findings = purchases, paid, column, findings

    def match(self, line: Line, declared: str | None) -> Purchase | None:
        """Say what a refund takes back, and how many units of it; where that is not clear, ask.

        Returns the purchase of which a part of the price came back, and no unit of it; null where units came back.
        """
        if declared is not None:
            named = (each for each in self._purchases if declared in (each.id, str(each.row)))
            purchase = next(named, None)
            line.refund_of = declared if purchase is None else purchase.id
        else:
            purchase = self._lowered(line) or self._found(line)
        return None if purchase is None else self._taken_back(line, purchase)

    def _lowered(self, line: Line) -> Purchase | None:
        """Return the purchase of the table whose price is lower by this refund in the build: it was declared before."""
        lower = [
            each
            for each in self._purchases
            if each.row is not None
            and each.id in self._paid
            and each.units_for(abs(line.net)) is None
            and abs(each.net - abs(line.net) - self._paid[each.id]) < _CENT
        ]
        return lower[0] if len(lower) == 1 else None

    def _found(self, line: Line) -> Purchase | None:
        words = frozenset(words_of(line.description)) - _REFUND_WORDS
        money = abs(line.net)
        fitting = [each for each in self._purchases if each.day <= line.day and each.units_for(money) is not None]
        alike = [each for each in fitting if words & each.words]
        best = [each for each in alike if words <= each.words or each.words <= words] or alike
        if len(best) == 1:
            confidence: Confidence = "high" if words <= best[0].words else "medium"
            line.refund_of = best[0].id
            self._findings.guess(
                ImportGuess(
                    row=line.row + 1,
                    id=line.id,
                    field="refund_of",
                    value=best[0].id,
                    confidence=confidence,
                    because=best[0].description,
                )
            )
            return best[0]
        by_likeness = sorted(self._purchases, key=lambda each: -len(words & each.words))
        with_its_words = [each for each in by_likeness if words & each.words]
        self._ask(line, best or fitting or with_its_words or by_likeness)
        return None

    def _ask(self, line: Line, choices: Sequence[Purchase]) -> None:
        number = str(line.row + 1)
        shown = tuple(
            ImportChoice(value=f"{number}={each.row or each.id}", reading=each.description)
            for each in choices[:_MOST_CHOICES]
        )
        parameters = {"row": number, "description": line.description, "amount": str(abs(line.net))}
        self._findings.ask("refund_of", "refunds", shown, ((line.row, self._column),), **parameters)

    def _taken_back(self, line: Line, purchase: Purchase) -> Purchase | None:
        money, units = abs(line.net), purchase.units_for(abs(line.net))
        if units is not None:
            line.net, line.quantity = -money, -units
        elif money >= purchase.net:
            expected = f"at most {purchase.net}, what was paid for {purchase.description}"
            self._findings.fault(line.row, self._column, "The refund is more than was paid", expected, str(money))
        elif purchase.row is None:
            lower = ((purchase.net - money) / purchase.quantity).quantize(_CENT)
            expected = (
                f"whole units; else set unit_cost of {purchase.id} to {lower} in the document, and leave the row out: "
                f"--leave-out {line.row + 1}"
            )
            self._findings.fault(line.row, self._column, "The refund is no whole number of units", expected, str(money))
        else:
            return purchase
        return None
