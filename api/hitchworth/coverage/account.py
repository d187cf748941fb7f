"""The running account of a settlement, from replacement cost to payment: every entry with its cause."""

from collections.abc import Iterator
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.coverage.loss_lines import LossLines
from hitchworth.model.settlement import Cause, GapPart, Step
from hitchworth.money import Money

DEPRECIATION_CAUSES: tuple[Cause, ...] = ("depreciation", "labor_depreciation", "obsolescence")


NO_LINES = LossLines()


class Entry(NamedTuple):
    """One amount taken off, or added where it is negative."""

    code: str
    amount: int
    cause: Cause
    parameters: dict[str, str]


class Account(Struct, frozen=True, gc=False):
    """An account that is never changed: each entry gives a new one. Amounts are whole minor units."""

    replacement_cost: int
    """Of what the loss destroyed; the account opens with it."""
    running: int
    total: bool
    """The loss is settled as a total loss."""
    constructive: bool = False
    """A partial loss that is settled as a total loss, because its repair costs too much."""
    total_loss_tested: bool = False
    """The repair was compared with what makes a total loss."""
    lines: LossLines = NO_LINES
    """What the policy covers of the loss, by category."""
    insured_loss: int = 0
    """The loss on the policy's basis, before its terms; 0 where it is not covered."""
    value: int = 0
    """The value of the loss on the policy's basis, before tax and fees and the policy's terms."""
    added: int = 0
    """Tax and fees that were added on top of the value."""
    beside_cost: int = 0
    """Sales tax and fees of replacing a total loss that the replacement cost does not include."""
    salvage: int = 0
    """What the wreck of a total loss is worth that the insured keeps, as far as what was insured became a wreck."""
    covered: bool = True
    """Neither excluded nor lost while under construction without coverage for it."""
    entries: tuple[Entry, ...] = ()

    @property
    def cost_to_replace(self) -> int:
        """The replacement cost with the tax and the fees that it does not include."""
        return self.replacement_cost + self.beside_cost

    @property
    def depreciation(self) -> int:
        """What was taken off for depreciation so far."""
        return sum(entry.amount for entry in self.entries if entry.cause in DEPRECIATION_CAUSES)

    def position(self, *, parts: bool) -> tuple[object, ...]:
        """Return what the further settlement depends on, without the way to this point.

        `parts`: with the parts of the value, for a settlement that still looks at them.
        """
        return (self.running, self.total, self.salvage, *((self.value, self.added, self.lines) if parts else ()))

    def take(self, code: str, amount: int, cause: Cause, /, **parameters: str) -> "Account":
        """Take an amount off under its cause (a negative amount is added). Nothing is entered for zero."""
        if not amount:
            return self
        entry = Entry(code, amount, cause, parameters)
        return replace(self, running=self.running - amount, entries=(*self.entries, entry))

    def cap(self, code: str, most: int, cause: Cause, /, **parameters: str) -> "Account":
        """Take off whatever exceeds the most that is paid."""
        return self.take(code, max(self.running - most, 0), cause, **parameters)

    def steps(self, money: Money) -> Iterator[Step]:
        """Yield the opening and every entry, each with the amount that remains after it."""
        running = self.replacement_cost
        yield Step(
            code="replacement_cost_new", amount=money.from_minor_units(running), running=money.from_minor_units(running)
        )
        for entry in self.entries:
            running -= entry.amount
            yield Step(
                code=entry.code,
                amount=money.from_minor_units(-entry.amount),
                running=money.from_minor_units(running),
                parameters=entry.parameters,
            )

    def gap_breakdown(self, money: Money) -> tuple[GapPart, ...]:
        """Return the parts of the gap in the order in which they arose; they add up to the gap exactly."""
        by_cause: dict[Cause, int] = {}
        for entry in (*self.entries, Entry("", self.beside_cost, "tax_and_fees", {})):
            by_cause[entry.cause] = by_cause.get(entry.cause, 0) + entry.amount
        return tuple(
            GapPart(cause=cause, amount=money.from_minor_units(amount)) for cause, amount in by_cause.items() if amount
        )
