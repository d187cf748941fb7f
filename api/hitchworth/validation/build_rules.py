"""Rules for a build: ids, money, dates, circuits and discounts. Pointers are from the root of the build."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from hitchworth.model.build import Build
from hitchworth.model.circuit import Circuit
from hitchworth.model.entry import Component, Labor
from hitchworth.model.fault import Fault
from hitchworth.reference.circuits import rated_gauges
from hitchworth.reference.currencies import exponent_of
from hitchworth.validation.bounds import bound_faults
from hitchworth.validation.names import duplicates, unknown_name

MAX_LINE_COST = Decimal(10**12)
"""In the build's currency, even one with a tiny unit: more than any trailer costs."""

ZERO, ONE = Decimal(0), Decimal(1)
_POSITIVE = "Must be greater than 0"


def duplicate_ids(build: Build) -> Iterator[Fault]:
    """Components and labor entries share one set of ids."""
    components = (part.id for part in build.components)
    labor = (entry.id for entry in build.labor)
    return duplicates("id", {"/components/{}/id": components, "/labor/{}/id": labor})


def unknown_components(build: Build) -> Iterator[Fault]:
    """Labor belongs to a component of the build."""
    ids = {part.id for part in build.components}
    for index, entry in enumerate(build.labor):
        if entry.component_id is not None:
            at, expected = f"/labor/{index}/component_id", "the id of a component of the build"
            yield from unknown_name(entry.component_id, ids, at, "No component has this id", expected)


def unknown_currencies(build: Build) -> Iterator[Fault]:
    """Every currency code is in ISO 4217."""
    if build.currency:
        yield from unknown_currency(build.currency, "/currency")
    for index, part in enumerate(build.components):
        if part.currency:
            yield from unknown_currency(part.currency, f"/components/{index}/currency")


def unknown_currency(code: str, pointer: str) -> Iterator[Fault]:
    """Yield a fault when a currency code is not in ISO 4217."""
    if exponent_of(code) is None:
        yield Fault(
            pointer=pointer,
            detail="Unknown currency",
            expected="an ISO 4217 code such as USD, EUR or GBP",
            found=code,
        )


def missing_exchange_rates(build: Build) -> Iterator[Fault]:
    """A line in another currency needs an exchange rate."""
    for index, part in enumerate(build.components):
        is_foreign = (part.currency or build.currency) != build.currency
        if is_foreign and part.exchange_rate is None and part.refund_of is None:
            yield Fault(
                pointer=f"/components/{index}/exchange_rate",
                detail=f"Exchange rate from {part.currency} to {build.currency} is needed",
                expected=f"{build.currency} for 1 {part.currency}, greater than 0",
                found="nothing",
            )


def zero_exchange_rates(build: Build) -> Iterator[Fault]:
    """An exchange rate, also that of a quote, is greater than 0."""
    for index, part in enumerate(build.components):
        rates = ("exchange_rate", part.exchange_rate), ("quoted_exchange_rate", part.quoted_exchange_rate)
        for name, rate in rates:
            if rate is not None and not rate:
                yield Fault(
                    pointer=f"/components/{index}/{name}",
                    detail=_POSITIVE,
                    expected=f"{build.currency} for 1 {part.currency or build.currency}, greater than 0",
                    found="0",
                )


def unneeded_exchange_rates(build: Build) -> Iterator[Fault]:
    """A line in the build's own currency has no exchange rate other than 1."""
    for index, part in enumerate(build.components):
        has_rate = part.exchange_rate is not None or part.quoted_exchange_rate is not None
        if not has_rate or (part.currency or build.currency) != build.currency:
            continue
        rates = ("exchange_rate", part.exchange_rate), ("quoted_exchange_rate", part.quoted_exchange_rate)
        for name, rate in rates:
            # A rate of 0 and one that is not a number have faults of their own.
            if rate and rate.is_finite() and rate != ONE:
                yield Fault(
                    pointer=f"/components/{index}/{name}",
                    detail=f"The line is in the currency of the build, {build.currency}",
                    expected="no exchange rate, or 1; or a different currency for the line",
                    found=str(rate),
                )


def invalid_refunds(build: Build) -> Iterator[Fault]:
    """A refund takes back what was bought, not before, and no more of it."""
    if all(part.refund_of is None for part in build.components):
        return
    bought = {part.id: part for part in build.components if part.refund_of is None}
    left = {name: part.quantity for name, part in bought.items()}
    for index, part in enumerate(build.components):
        at = f"/components/{index}"
        if part.refund_of is None:
            continue
        if part.refund_of not in bought:
            detail = "No component that could be taken back has this id"
            expected = "the id of a component that was bought"
            yield from unknown_name(part.refund_of, bought, f"{at}/refund_of", detail, expected)
        else:
            left[part.refund_of] -= abs(part.quantity)
            yield from _refund_faults(part, bought[part.refund_of], left[part.refund_of], at)


def unknown_obsolescence_categories(build: Build) -> Iterator[Fault]:
    """Obsolescence of one category needs an entry of it, or it would take nothing without a word."""
    if not build.obsolescence:
        return
    categories = {part.category for part in build.components} | {work.category for work in build.labor}
    for index, terms in enumerate(build.obsolescence):
        if terms.category is not None:
            at, detail = f"/obsolescence/{index}/category", "No entry of the build has this category"
            expected = "a category of the build's entries, or none for all"
            yield from unknown_name(terms.category, categories, at, detail, expected)


def _refund_faults(refund: Component, part: Component, left: Decimal, at: str) -> Iterator[Fault]:
    """Yield the faults of a refund of a component, of which `left` units stay after it."""
    if refund.acquired_on < part.acquired_on:
        yield Fault(
            pointer=f"{at}/acquired_on",
            detail="Taken back before it was bought",
            expected=f"{part.acquired_on} or later, the day of {part.id}",
            found=refund.acquired_on.isoformat(),
        )
    if not refund.quantity or left < 0:
        taken_back = abs(refund.quantity)
        yield Fault(
            pointer=f"{at}/quantity",
            detail="More is taken back than was bought" if taken_back else "Nothing is taken back",
            expected=f"more than 0 and at most {max(left + taken_back, ZERO)}, what is left of {part.id}",
            found=str(refund.quantity),
        )


def excessive_line_costs(build: Build) -> Iterator[Fault]:
    """No line costs more than MAX_LINE_COST."""
    for index, part in enumerate(build.components):
        exchange_rate, extras = part.exchange_rate or ONE, part.freight + (part.tax or ZERO)
        if (paid := (part.quantity * part.unit_cost + extras) * exchange_rate) > MAX_LINE_COST:
            yield from _excessive_cost(part, paid, f"/components/{index}/unit_cost")
        if part.replacement_unit_cost is not None:
            quoted = part.quantity * part.replacement_unit_cost + extras
            if (cost := quoted * (part.quoted_exchange_rate or exchange_rate)) > MAX_LINE_COST:
                yield from _excessive_cost(part, cost, f"/components/{index}/replacement_unit_cost")
    for index, entry in enumerate(build.labor):
        if (paid := entry.hours * entry.rate) > MAX_LINE_COST:
            yield from _excessive_cost(entry, paid, f"/labor/{index}/rate")
        if entry.market_rate is not None and (cost := entry.hours * entry.market_rate) > MAX_LINE_COST:
            yield from _excessive_cost(entry, cost, f"/labor/{index}/market_rate")


def _excessive_cost(line: Component | Labor, cost: Decimal, pointer: str) -> Iterator[Fault]:
    # A number that is out of bounds has a fault of its own.
    if not any(bound_faults(line)):
        yield Fault(
            pointer=pointer,
            detail="The line costs too much",
            expected=f"a cost of at most {MAX_LINE_COST:,} in the currency of the build",
            found=f"{cost:,.0f}",
        )


def cost_ranges_out_of_order(build: Build) -> Iterator[Fault]:
    """The low cost is at most the likely one, and the likely one at most the high one."""
    lines: tuple[tuple[str, tuple[Component | Labor, ...]], ...] = (
        ("components", build.components),
        ("labor", build.labor),
    )
    for group, index, line in ((group, index, line) for group, entries in lines for index, line in enumerate(entries)):
        if line.low is None and line.likely is None:  # a high alone has nothing to be compared with
            continue
        points = (("low", line.low), ("likely", line.likely), ("high", line.high))
        given = [(name, point) for name, point in points if point is not None]
        for (name, lower), (_, upper) in pairwise(given):
            if lower > upper:
                yield Fault(
                    pointer=f"/{group}/{index}/{name}",
                    detail="low, likely and high are out of order",
                    expected=f"at most {upper}",
                    found=str(lower),
                )


def excessive_margins(build: Build) -> Iterator[Fault]:
    """A profit that is a share of the price leaves some of the price for the cost."""
    costs = build.indirect_costs
    if costs.profit_basis == "margin" and costs.profit_rate >= 1:
        yield Fault(
            pointer="/indirect_costs/profit_rate",
            detail="A margin must be less than the whole price",
            expected="less than 1; or profit_basis markup",
            found=str(costs.profit_rate),
        )


def dates_out_of_order(build: Build) -> Iterator[Fault]:
    """A component is not removed before it is acquired and in service.

    It may be in service before it is acquired: a used part was.
    """
    for index, part in enumerate(build.components):
        if part.removed_on is None:
            continue
        start = max(part.acquired_on, part.in_service_on or part.acquired_on)
        if part.removed_on < start:
            yield Fault(
                pointer=f"/components/{index}/removed_on",
                detail="Removed before it was acquired or in service",
                expected=f"{start} or later, the later of acquired_on and in_service_on",
                found=part.removed_on.isoformat(),
            )


def missing_effective_ages(build: Build) -> Iterator[Fault]:
    """The date of an effective age comes with the age."""
    for index, part in enumerate(build.components):
        if part.effective_age_on is None:
            continue
        if part.effective_age_years is None and part.remaining_life_years is None:
            yield Fault(
                pointer=f"/components/{index}/effective_age_years",
                detail="Required with effective_age_on",
                expected="the effective age on that date, in years; or remaining_life_years",
                found="nothing",
            )


def duplicate_circuit_names(build: Build) -> Iterator[Fault]:
    """Each circuit has a name of its own."""
    return duplicates("name", {"/circuits/{}/name": (circuit.name for circuit in build.circuits)})


def zero_circuit_values(build: Build) -> Iterator[Fault]:
    """The figures of a circuit are greater than 0; a fuse of 0 A is none, and one may sit on the battery itself."""
    for index, circuit in enumerate(build.circuits):
        for name, number in _circuit_values(circuit).items():
            if number is not None and not number:
                yield Fault(
                    pointer=f"/circuits/{index}/{name}",
                    detail=_POSITIVE,
                    expected="a number greater than 0",
                    found=str(number),
                )


def _circuit_values(circuit: Circuit) -> dict[str, Decimal | None]:
    return {
        "load_amps": circuit.load_amps,
        "length_m": circuit.length_m,
        "area_mm2": circuit.area_mm2,
        "fuse_interrupt_amps": circuit.fuse_interrupt_amps,
        "battery_fault_amps": circuit.battery_fault_amps,
        "start_amps": circuit.start_amps,
        "volts": circuit.volts,
    }


def invalid_conductors(build: Build) -> Iterator[Fault]:
    """The size of a conductor is a gauge with a known rating, or an area, not both."""
    for index, circuit in enumerate(build.circuits):
        if circuit.awg is not None and circuit.awg not in rated_gauges():
            yield Fault(
                pointer=f"/circuits/{index}/awg",
                detail="No rating is known for this gauge",
                expected=f"one of {', '.join(map(str, rated_gauges()))}"
                " (0 is 1/0, -1 is 2/0, and so on), or use area_mm2",
                found=str(circuit.awg),
            )
        if circuit.awg is not None and circuit.area_mm2 is not None:
            yield Fault(
                pointer=f"/circuits/{index}/area_mm2",
                detail="The size of the conductor is given twice",
                expected="either awg or area_mm2",
                found="both",
            )


def conflicting_discounts(build: Build) -> Iterator[Fault]:
    """The discount for a protection is an amount or a rate, not both."""
    for index, protection in enumerate(build.protections or ()):
        if protection.annual_discount is not None and protection.premium_discount_rate is not None:
            yield Fault(
                pointer=f"/protections/{index}/premium_discount_rate",
                detail="The discount is given twice",
                expected="either annual_discount or premium_discount_rate",
                found="both",
            )
