"""Change orders: each is priced by itself, so that the contract is the quote and the changes, added up on paper.

What is added gets the waste, rates, overhead and profit of the quote, and its discount where that is a rate. What is
dropped or gets cheaper goes back less the discount that it had; whether overhead and profit go back with it is agreed,
or asked.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import localcontext
from fractions import Fraction
from typing import NamedTuple, TypeVar

from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangedLine, ChangeEffect, ChangeOrder, Contract, QuotedChange
from hitchworth.model.entry import Component, Labor
from hitchworth.model.fault import Fault
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.model.pricing import ContingencyDraw, QuotePricing
from hitchworth.model.quote import QuotedContingency, QuotedPayment, QuoteQuestion
from hitchworth.money import PRECISE, Money
from hitchworth.quoting.contingency import quoted_contingency
from hitchworth.quoting.contract import ContractLine, LineKey, contract_lines, signed_tax
from hitchworth.quoting.payments import changed_payments, quoted_payments
from hitchworth.quoting.priced_quote import QuoteFaultsError, Quoting
from hitchworth.quoting.quote import check, quote
from hitchworth.quoting.tax import is_open, rate_of, tax_questions
from hitchworth.valuation.notes import NoteCollector

Kind = TypeVar("Kind", Component, Labor)


class _Change(NamedTuple):
    """What a change order does to a line, and the line after it; None where it is dropped or there is none."""

    line: ChangedLine
    change: int
    tax: int
    key: LineKey | None = None
    after: ContractLine | None = None


class _State(NamedTuple):
    """The contract as it stands between two change orders."""

    lines: dict[LineKey, ContractLine]
    total: int
    payments: tuple[QuotedPayment, ...]
    completion_on: date | None
    draws: tuple[ContingencyDraw, ...]


class Standing(NamedTuple):
    """A contract as it stands after every accepted change, in whole minor units."""

    lines: list[ContractLine]
    total: int
    """With tax."""
    contingency: int
    """What no change order has used of the contingency, with its tax."""
    payments: tuple[QuotedPayment, ...]
    open_tax: bool


def contract(
    build: Build, pricing: QuotePricing, changes: Sequence[ChangeOrder], as_of: date, options: Options
) -> Contract:
    """Return the contract of a validated quote with its change orders. Raises QuoteFaultsError."""
    original = quote(build, pricing, as_of, options)
    with localcontext(PRECISE):
        changing = _Changing(build, pricing, as_of, options)
        state, changed = changing.applied(changes, original.payments)
        money = changing.money
        moved = [each.total_change for each in changed if each.accepted_by is not None]
        return Contract(
            locale="",
            currency=build.currency,
            quote=original,
            changes=tuple(changed),
            contract_total=money.from_minor_units(state.total),
            added=sum((max(each, money.zero) for each in moved), money.zero),
            deducted=sum((max(-each, money.zero) for each in moved), money.zero),
            contingency=changing.contingency(state),
            payments=state.payments,
            completion_on=state.completion_on,
            pending=len(changed) - len(moved),
            open_tax=changing.has_open_tax(state, changes),
            notes=changing.notes.collected(),
        )


def standing_contract(
    build: Build, pricing: QuotePricing, changes: Sequence[ChangeOrder], as_of: date, options: Options
) -> Standing:
    """Return the contract with all accepted changes. Raises QuoteFaultsError."""
    return _Changing(build, pricing, as_of, options).standing(changes)


def accepted_lines(
    build: Build, pricing: QuotePricing, changes: Sequence[ChangeOrder], as_of: date, options: Options
) -> list[ContractLine]:
    """Return the lines of the contract with all accepted changes. Raises QuoteFaultsError."""
    state, _ = _Changing(build, pricing, as_of, options).applied(changes, ())
    return list(state.lines.values())


def changed_build(build: Build, changes: Sequence[ChangeOrder]) -> Build:
    """Return the build with the entries that accepted change orders add, drop or put in another's place."""
    components = {part.id: part for part in build.components}
    labor = {entry.id: entry for entry in build.labor}
    for order in changes:
        if order.accepted_by is not None:
            components = _changed(components, order.components, order.drop)
            labor = _changed(labor, order.labor, order.drop)
    served = (
        entry if entry.component_id in components else replace(entry, component_id=None) for entry in labor.values()
    )
    return replace(build, components=tuple(components.values()), labor=tuple(served))


def _changed(entries: dict[str, Kind], given: Sequence[Kind], dropped: Sequence[str]) -> dict[str, Kind]:
    kept = {name: entry for name, entry in entries.items() if name not in dropped}
    return kept | {entry.id: entry for entry in given}


def _promised(index: int, order: ChangeOrder, state: _State) -> date | None:
    """Return the day that the order moves the promised day to. Raises QuoteFaultsError beyond the calendar."""
    if state.completion_on is None:
        return None
    try:
        return state.completion_on + timedelta(days=order.days)
    except OverflowError:
        fault = Fault(
            pointer=f"/changes/{index}/days",
            detail="The promised day moves out of the calendar",
            expected=f"days from {state.completion_on} to a day of the years 1 to 9999",
            found=str(order.days),
        )
        raise QuoteFaultsError([fault]) from None


class _Changing:
    """Applies change orders to a quote, one after the other."""

    def __init__(self, build: Build, pricing: QuotePricing, as_of: date, options: Options) -> None:
        self._build, self._pricing, self._options = build, pricing, options
        self._quoting = Quoting(build, pricing, as_of, options)
        self._priced = self._quoting.priced(self._quoting.chosen)
        self.money: Money = self._quoting.money
        self.notes = NoteCollector()

    def applied(
        self, changes: Sequence[ChangeOrder], payments: tuple[QuotedPayment, ...]
    ) -> tuple[_State, list[QuotedChange]]:
        """Return the contract after all accepted changes, and each change on what was accepted before it."""
        lines = {line.key: line for line in contract_lines(self._priced)}
        draws = () if self._pricing.contingency is None else self._pricing.contingency.draws
        state = _State(lines, self._priced.total, payments, self._pricing.completion_on, draws)
        changed = []
        for index, order in enumerate(changes):
            each, after = self._apply(index, order, state)
            changed.append(each)
            state = state if order.accepted_by is None else after
        return state, changed

    def standing(self, changes: Sequence[ChangeOrder]) -> Standing:
        """Return the contract after all accepted changes. Raises QuoteFaultsError as the quote does."""
        priced, money = self._priced, self.money
        check(self._quoting, priced)
        state, changed = self.applied(changes, quoted_payments(self._pricing, priced.total, money))
        used = sum((each.from_contingency for each in changed if each.accepted_by is not None), money.zero)
        kept = priced.contingency + priced.taxes.amounts[-1] - money.to_minor_units(used)
        open_tax = self.has_open_tax(state, changes)
        return Standing(list(state.lines.values()), state.total, kept, state.payments, open_tax)

    def contingency(self, state: _State) -> QuotedContingency | None:
        """Return the contingency after the draws of quote and change orders."""
        kept = self._pricing.contingency
        if kept is None:
            return None
        return quoted_contingency(replace(kept, draws=state.draws), self._priced.price, self.money, self.notes)

    def has_open_tax(self, state: _State, changes: Sequence[ChangeOrder]) -> bool:
        """Return whether the tax on something that the contract comes to is not known."""
        treatments = self._quoting.treatments
        fixed = (each for order in changes if order.accepted_by is not None for each in order.fixed)
        return (
            any(line.net and is_open(line.treatment) for line in state.lines.values())
            or any(each.amount and is_open(treatments[each.taxed_as]) for each in fixed)
            or bool(self._priced.contingency and is_open(treatments["contingency"]))
        )

    def _apply(self, index: int, order: ChangeOrder, state: _State) -> tuple[QuotedChange, _State]:
        money = self.money
        questions: list[QuoteQuestion] = []
        changes = [*self._given(order, state, questions), *self._dropped(order, state), *self._fixed(order, questions)]
        change, tax = sum(each.change for each in changes), sum(each.tax for each in changes)
        drawn = self._drawn(index, order, change, state)
        paid = 0 if drawn is None else change + (tax if self._contingency_is_taxed else 0)
        moved = change + tax - paid
        after = _State(
            self._lines_after(changes, state),
            state.total + moved,
            changed_payments(self._pricing, state.payments, moved, order, money),
            _promised(index, order, state),
            state.draws if drawn is None else (*state.draws, drawn),
        )
        return (
            QuotedChange(
                number=order.number,
                dated=order.dated,
                reason=order.reason,
                accepted_by=order.accepted_by,
                accepted_on=order.accepted_on,
                lines=tuple(each.line for each in changes),
                change=money.from_minor_units(change),
                tax=money.from_minor_units(tax),
                from_contingency=money.from_minor_units(paid),
                total_change=money.from_minor_units(moved),
                contract_total=money.from_minor_units(after.total),
                completion_on=after.completion_on,
                payments=after.payments,
                questions=(*questions, *self._credit_questions(order, changes)),
            ),
            after,
        )

    @property
    def _contingency_is_taxed(self) -> bool:
        return bool(rate_of(self._quoting.treatments["contingency"]))

    def _lines_after(self, changes: Sequence[_Change], state: _State) -> dict[LineKey, ContractLine]:
        lines = dict(state.lines)
        for each in changes:
            if each.after is not None:
                lines[each.after.key] = each.after
            elif each.key is not None:
                del lines[each.key]
        return lines

    def _drawn(self, index: int, order: ChangeOrder, change: int, state: _State) -> ContingencyDraw | None:
        """Return what the contingency pays of a change; None where it pays nothing. Raises QuoteFaultsError."""
        if not order.from_contingency:
            return None
        taken = sum(self.money.to_minor_units(draw.amount) for draw in state.draws)
        left = self._priced.contingency - taken
        if not 0 <= change <= left:
            fault = Fault(
                pointer=f"/changes/{index}/from_contingency",
                detail="The contingency cannot pay this change",
                expected=f"a change from 0 to {self.money.from_minor_units(left)}, what is left of it, before tax",
                found=str(self.money.from_minor_units(change)),
            )
            raise QuoteFaultsError([fault])
        amount = self.money.from_minor_units(change)
        return ContingencyDraw(event=order.reason, amount=amount, drawn_on=order.dated, work_done=order.work_done)

    def _given(self, order: ChangeOrder, state: _State, questions: list[QuoteQuestion]) -> Iterator[_Change]:
        """The entries that the order adds, or puts in the place of others, priced together by themselves."""
        categories = {part.category for part in order.components}
        discount = self._pricing.discount
        pricing = replace(
            self._pricing,
            quoted_on=order.dated,
            waste=tuple(each for each in self._pricing.waste if each.category in categories),
            labor_kinds=(*self._pricing.labor_kinds, *order.labor_kinds),
            discount=discount if discount is not None and discount.rate is not None else None,
            contingency=None,
            option_groups=(),
            allowances=(),
            customer_supplies=(),
        )
        build = replace(self._build, components=order.components, labor=order.labor, indirect_costs=IndirectCosts())
        quoting = Quoting(build, pricing, order.dated, self._options)
        priced = quoting.price_entries(quoting.entries)
        questions.extend(tax_questions(priced.taxes, self.money))
        for note in quoting.notes.collected():
            self.notes.add(note.code, note.about, **note.parameters)
        for line in contract_lines(priced):
            before = state.lines.get(line.key)
            yield self._added(line) if before is None else self._repriced(before, line, order)

    def _added(self, line: ContractLine) -> _Change:
        return _Change(
            self._line(line, "added", (0, line.net, 0, line.net, line.tax)), line.net, line.tax, line.key, line
        )

    def _repriced(self, before: ContractLine, line: ContractLine, order: ChangeOrder) -> _Change:
        """A line in the place of another; it keeps a discount that was agreed as an amount."""
        if self._pricing.discount is not None and self._pricing.discount.rate is None:
            line = line._replace(discount=min(before.discount, line.net))
        moved = line.net - before.net
        less = before.overhead + before.profit - line.overhead - line.profit
        kept = 0 if order.credits_overhead_and_profit else max(min(less, -moved), 0)
        change = moved + kept
        tax = signed_tax(change, line.treatment, self.money)
        line = line._replace(tax=before.tax + tax)
        shown = self._line(line, "repriced", (before.net, line.net, kept, change, tax))
        return _Change(shown, change, tax, line.key, line)

    def _dropped(self, order: ChangeOrder, state: _State) -> Iterator[_Change]:
        for name in order.drop:
            for line in [each for each in state.lines.values() if each.entry.id == name]:
                parts = line.overhead + line.profit
                kept = 0 if order.credits_overhead_and_profit else min(parts, line.net)
                change = kept - line.net
                tax = signed_tax(change, line.treatment, self.money) if kept else -line.tax
                yield _Change(self._line(line, "dropped", (line.net, 0, kept, change, tax)), change, tax, line.key)

    def _fixed(self, order: ChangeOrder, questions: list[QuoteQuestion]) -> Iterator[_Change]:
        money = self.money
        for each in order.fixed:
            treatment = self._quoting.treatments[each.taxed_as]
            amount = money.to_minor_units(each.amount)
            change = -amount if each.credit else amount
            tax = signed_tax(change, treatment, money)
            if is_open(treatment) and amount:
                at_stake = None if treatment.rate is None else money.multiply(amount, Fraction(treatment.rate))
                questions.append(
                    QuoteQuestion(
                        code="taxed_kind" if treatment.taxed is None else "tax_rate",
                        about=each.taxed_as,
                        base=money.from_minor_units(amount),
                        at_stake=None if at_stake is None else money.from_minor_units(at_stake),
                    )
                )
            yield _Change(
                ChangedLine(
                    id="",
                    kind=None,
                    effect="fixed",
                    description=each.description,
                    before=money.zero,
                    after=money.from_minor_units(change),
                    kept=money.zero,
                    change=money.from_minor_units(change),
                    tax=money.from_minor_units(tax),
                ),
                change,
                tax,
            )

    def _credit_questions(self, order: ChangeOrder, changes: Sequence[_Change]) -> Iterator[QuoteQuestion]:
        """Whether overhead and profit go back, where that is not agreed and there are some."""
        if order.credits_overhead_and_profit is None:
            for each in changes:
                if each.line.kept:
                    yield QuoteQuestion(
                        code="credit", about=each.line.description, base=each.line.kept, at_stake=-each.line.kept
                    )

    def _line(self, line: ContractLine, effect: ChangeEffect, amounts: Sequence[int]) -> ChangedLine:
        """Return what is shown of a change. `amounts`: before, after, kept, change and tax."""
        before, after, kept, change, tax = map(self.money.from_minor_units, amounts)
        return ChangedLine(
            id=line.entry.id,
            kind=line.entry.kind,
            effect=effect,
            description=line.entry.description,
            before=before,
            after=after,
            kept=kept,
            change=change,
            tax=tax,
        )
