"""The running account of a settlement: every step with its amount, and the cause of every amount that is not paid."""

from decimal import Decimal

from hitchworth.model.settlement import Cause, GapPart, Step


class Ledger:
    """Opened with the replacement cost of what was lost; each entry takes from what stands, or adds to it."""

    def __init__(self, replacement_cost: Decimal) -> None:
        self.replacement_cost = replacement_cost
        self.running = replacement_cost
        self.insured_loss = Decimal(0)
        """What the loss comes to on the policy's basis, before its terms; nothing where it is not covered."""
        self.steps = [Step(code="replacement_cost_new", amount=replacement_cost, running=replacement_cost)]
        self._by_cause: dict[Cause, Decimal] = {}

    def take(self, code: str, amount: Decimal, cause: Cause, /, **parameters: str) -> None:
        """Take an amount off (a negative one is added), under its cause. Nothing is entered for zero."""
        if amount:
            self.running -= amount
            self.steps.append(Step(code=code, amount=-amount, running=self.running, parameters=parameters))
            self._by_cause[cause] = self._by_cause.get(cause, Decimal(0)) + amount

    def cap(self, code: str, most: Decimal, cause: Cause, /, **parameters: str) -> None:
        """Take off whatever stands above the most that is paid."""
        self.take(code, max(self.running - most, Decimal(0)), cause, **parameters)

    @property
    def added(self) -> Decimal:
        """Tax and fees that were added on top."""
        return -self._by_cause.get("tax_and_fees", Decimal(0))

    def gap_breakdown(self) -> tuple[GapPart, ...]:
        """The parts of the gap in the order in which they arose; they add up to replacement cost less what stands."""
        return tuple(GapPart(cause=cause, amount=amount) for cause, amount in self._by_cause.items() if amount)
