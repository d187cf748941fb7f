"""Rules for the pricing of a quote. Pointers are from the root of the request."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from math import prod
from typing import Protocol

from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.model.pricing import Alternative, Contingency, Discount, Markup, OptionGroup, Payment, QuotePricing
from hitchworth.validation.classification_rules import unknown_jurisdiction
from hitchworth.validation.names import duplicates, unknown_name

MAX_COMBINATIONS = 200
MAX_COMBINED_LINES = 100_000
"""Lines times combinations of one quote: a few seconds of computation."""

ONE = Decimal(1)


class PricedRequest(Protocol):
    """A request with a build and how a workshop prices it."""

    @property
    def build(self) -> Build: ...
    @property
    def pricing(self) -> QuotePricing: ...
    @property
    def as_of(self) -> date | None: ...


def duplicate_pricing_names(request: PricedRequest) -> Iterator[Fault]:
    """Each category, kind, group and alternative is priced once, and an allowance has an id of its own."""
    pricing, build = request.pricing, request.build
    yield from duplicates("category", {"/pricing/waste/{}/category": (each.category for each in pricing.waste)})
    rates = (each.category or "" for each in pricing.shop_rates)
    yield from duplicates("category", {"/pricing/shop_rates/{}/category": rates})
    yield from duplicates("kind", {"/pricing/markups/{}/kind": (each.kind for each in pricing.markups)})
    treatments = (each.kind for each in pricing.tax.treatments)
    yield from duplicates("kind", {"/pricing/tax/treatments/{}/kind": treatments})
    yield from duplicates("id", {"/pricing/labor_kinds/{}/id": (each.id for each in pricing.labor_kinds)})
    supplies = (each.id for each in pricing.customer_supplies)
    yield from duplicates("id", {"/pricing/customer_supplies/{}/id": supplies})
    ids = {
        "/build/components/{}/id": (part.id for part in build.components),
        "/build/labor/{}/id": (entry.id for entry in build.labor),
        "/pricing/allowances/{}/id": (each.id for each in pricing.allowances),
    }
    for fault in duplicates("id", ids):
        if fault.pointer.startswith("/pricing"):  # those of the build have a rule of their own
            yield fault
    yield from _duplicate_option_names(pricing)


def _duplicate_option_names(pricing: QuotePricing) -> Iterator[Fault]:
    yield from duplicates("name", {"/pricing/option_groups/{}/name": (each.name for each in pricing.option_groups)})
    for index, group in enumerate(pricing.option_groups):
        names = (each.name for each in group.alternatives)
        yield from duplicates("name", {f"/pricing/option_groups/{index}/alternatives/{{}}/name": names})
    entries = {f"{at}/entries/{{}}": each.entries for at, each in _alternatives(pricing)}
    yield from duplicates("entry", entries)


def unknown_pricing_entries(request: PricedRequest) -> Iterator[Fault]:
    """What the pricing names is in the build, and what is chosen is an alternative of its group."""
    pricing, build = request.pricing, request.build
    components, labor = {part.id for part in build.components}, {entry.id for entry in build.labor}
    for index, kind in enumerate(pricing.labor_kinds):
        yield from _unknown_entry(kind.id, labor, f"/pricing/labor_kinds/{index}/id", "the id of a labor entry")
    for index, supply in enumerate(pricing.customer_supplies):
        at = f"/pricing/customer_supplies/{index}/id"
        yield from _unknown_entry(supply.id, components, at, "the id of a component")
    for at, alternative in _alternatives(pricing):
        for index, entry in enumerate(alternative.entries):
            yield from _unknown_entry(
                entry, components | labor, f"{at}/entries/{index}", "an id of a component or labor"
            )
    for index, group in enumerate(pricing.option_groups):
        if group.chosen is not None:
            names = {each.name for each in group.alternatives}
            at = f"/pricing/option_groups/{index}/chosen"
            yield from _unknown_entry(group.chosen, names, at, "the name of an alternative of the group")


def _unknown_entry(name: str, known: set[str], pointer: str, expected: str) -> Iterator[Fault]:
    return unknown_name(name, known, pointer, "Nothing has this name", expected)


def unknown_tax_place(request: PricedRequest) -> Iterator[Fault]:
    """The place whose rules say what is taxed has a code of its own here."""
    return unknown_jurisdiction(request.pricing.tax.place, "/pricing/tax/place")


def options_without_price(request: PricedRequest) -> Iterator[Fault]:
    """An alternative has a price, or entries that make one."""
    for at, alternative in _alternatives(request.pricing):
        if alternative.price is None and not alternative.entries:
            yield Fault(
                pointer=f"{at}/price",
                detail="The alternative has no price",
                expected="a price, 0 if it costs nothing; or the ids of its entries",
                found="neither",
            )


def too_many_combinations(request: PricedRequest) -> Iterator[Fault]:
    """Every combination of the options is priced, so there is a limit to them."""
    groups = request.pricing.option_groups
    count = prod(_choices(group) for group in groups)
    lines = len(request.build.components) + len(request.build.labor)
    most = min(MAX_COMBINATIONS, MAX_COMBINED_LINES // max(lines, 1))
    if groups and count > most:
        yield Fault(
            pointer="/pricing/option_groups",
            detail="Too many combinations of options",
            expected=f"at most {most:,} for {lines:,} lines; price some options by themselves in another quote",
            found=f"{count:,}",
        )


def _choices(group: OptionGroup) -> int:
    return len(group.alternatives) + (not group.required)


def whole_margins(request: PricedRequest) -> Iterator[Fault]:
    """What is left of the price after overhead and profit as margins is more than nothing."""
    pricing = request.pricing
    markups = [("/pricing/markup", pricing.markup)]
    markups += [(f"/pricing/markups/{index}", markup) for index, markup in enumerate(pricing.markups)]
    for at, markup in markups:
        yield from _margin_faults(at, markup)


def _margin_faults(at: str, markup: Markup) -> Iterator[Fault]:
    margins = {
        name: rate
        for name, rate, basis in (
            ("overhead_rate", markup.overhead_rate, markup.overhead_basis),
            ("profit_rate", markup.profit_rate, markup.profit_basis),
        )
        if basis == "margin"
    }
    for name, rate in margins.items():
        if rate >= ONE:
            yield Fault(
                pointer=f"{at}/{name}",
                detail="A margin must be less than the whole price",
                expected=f"less than 1; or {name.removesuffix('rate')}basis markup",
                found=str(rate),
            )
    if any(rate >= ONE for rate in margins.values()):
        return
    profit = markup.profit_rate if markup.profit_basis == "markup" and markup.compounded else Decimal(0)
    taken = (1 + profit) * margins.get("overhead_rate", Decimal(0)) + margins.get("profit_rate", Decimal(0))
    if taken >= ONE:
        yield Fault(
            pointer=f"{at}/profit_rate",
            detail="Overhead and profit together take the whole price",
            expected="margins that together are less than 1",
            found=str(taken),
        )


def unclear_amounts(request: PricedRequest) -> Iterator[Fault]:
    """Contingency and discount are a rate or an amount; a payment is a share, an amount or what is left."""
    pricing = request.pricing
    for name, record in (("contingency", pricing.contingency), ("discount", pricing.discount)):
        if record is not None and (record.rate is None) == (record.amount is None):
            yield _unclear(f"/pricing/{name}", record)
    for index, payment in enumerate(pricing.payments):
        if payment.share is not None and payment.amount is not None:
            yield Fault(
                pointer=f"/pricing/payments/{index}/amount",
                detail="The payment is given twice",
                expected="either share or amount, or neither for what the others leave",
                found="both",
            )


def _unclear(pointer: str, record: Contingency | Discount) -> Fault:
    return Fault(
        pointer=pointer,
        detail="It is given as a rate or as an amount",
        expected="either rate or amount",
        found="neither" if record.rate is None else "both",
    )


def incomplete_payments(request: PricedRequest) -> Iterator[Fault]:
    """Shares make up the whole, and only one payment is what the others leave. Amounts are compared with the total."""
    payments = request.pricing.payments
    balances = [index for index, payment in enumerate(payments) if _is_balance(payment)]
    for index in balances[1:]:
        yield Fault(
            pointer=f"/pricing/payments/{index}",
            detail=f"Only one payment can be what the others leave, and /pricing/payments/{balances[0]} is",
            expected="a share or an amount",
            found="neither",
        )
    shares = sum((payment.share for payment in payments if payment.share is not None), Decimal(0))
    only_shares = bool(payments) and all(payment.share is not None for payment in payments)
    if shares > ONE or (only_shares and shares != ONE):
        yield Fault(
            pointer="/pricing/payments",
            detail="The shares of the payments do not add up to the whole",
            expected="shares that add up to 1; or one payment without share and amount",
            found=str(shares),
        )


def _is_balance(payment: Payment) -> bool:
    return payment.share is None and payment.amount is None


def dates_before_quote(request: PricedRequest, today: date) -> Iterator[Fault]:
    """A quote is valid on its own day, and promises no day before it."""
    pricing = request.pricing
    quoted_on = pricing.quoted_on or request.as_of or today
    for name, day in (("valid_until", pricing.valid_until), ("completion_on", pricing.completion_on)):
        if day is not None and day < quoted_on:
            yield Fault(
                pointer=f"/pricing/{name}",
                detail="Before the day of the quote",
                expected=f"{quoted_on} or later",
                found=day.isoformat(),
            )


def _alternatives(pricing: QuotePricing) -> Iterator[tuple[str, Alternative]]:
    """Yield every alternative with its pointer."""
    for place, group in enumerate(pricing.option_groups):
        for index, alternative in enumerate(group.alternatives):
            yield f"/pricing/option_groups/{place}/alternatives/{index}", alternative
