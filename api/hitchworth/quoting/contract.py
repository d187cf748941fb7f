"""What a contract holds: the lines of the quote as they stand after every accepted change, in whole minor units."""

from typing import NamedTuple, TypeAlias

from hitchworth.money import Money
from hitchworth.quoting.entries import QuoteEntry
from hitchworth.quoting.priced_quote import PricedQuote
from hitchworth.quoting.tax import Treatment, rate_of

LineKey: TypeAlias = tuple[str, str]
"""Kind and id of a line: handling has the id of what it handles."""


class ContractLine(NamedTuple):
    """A line as it is in the contract."""

    entry: QuoteEntry
    overhead: int
    profit: int
    discount: int
    tax: int
    treatment: Treatment

    @property
    def key(self) -> LineKey:
        return self.entry.kind, self.entry.id

    @property
    def net(self) -> int:
        """Price less discount."""
        return self.entry.direct + self.overhead + self.profit - self.discount


def contract_lines(priced: PricedQuote) -> list[ContractLine]:
    """Return the lines of a priced quote."""
    return [
        ContractLine(entry, *parts)
        for entry, *parts in zip(
            priced.entries,
            priced.amounts.overhead,
            priced.amounts.profit,
            priced.discounts,
            priced.taxes.amounts[: len(priced.entries)],
            [line.treatment for line in priced.taxes.lines[: len(priced.entries)]],
            strict=True,
        )
    ]


def signed_tax(change: int, treatment: Treatment, money: Money) -> int:
    """Return the tax on a change, rounded away from zero as an amount of its own; 0 while it is not known."""
    tax = money.multiply(abs(change), rate_of(treatment))
    return tax if change >= 0 else -tax
