"""The bodies that take each operation longest, of those that the model and the rules accept and a server receives.

Each is made as large as its bounds allow: so many lines, each as expensive as a line gets, and so much of whatever else
the operation multiplies them with.
"""

from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta
from typing import Any, TypeAlias

Record: TypeAlias = dict[str, Any]
Body: TypeAlias = Callable[[int], Record]
"""A body whose lines, or whatever else is most of it, are divided by a number: 1 is the worst."""

DAY = date(2026, 6, 1)
FIRST = date(2016, 1, 1)


def table(number: int, points: int = 3) -> Record:
    """Return a schedule of one's own, unlike every other; where it has points, so many."""
    ages = range(1, points + 1)
    worn = [{"age_years": f"{age}.{number:05d}", "percent_good": f"{1 - age / (points + 2):.4f}"} for age in ages]
    return {"method": "table", "points": worn, "interpolation": "linear"}


def part(number: int, **fields: Any) -> Record:
    """Return a component, unlike every other in its day, its price and its category."""
    bought = FIRST + timedelta(days=number % 3600)
    return {
        "id": f"c{number}",
        "description": f"part {number}",
        "category": f"kind {number % 500}",
        "quantity": "1.5",
        "unit_cost": f"{100 + number}.37",
        "acquired_on": str(bought),
        **fields,
    }


def task(number: int, **fields: Any) -> Record:
    """Return a labor entry, unlike every other."""
    done = FIRST + timedelta(days=number % 3600)
    return {
        "id": f"l{number}",
        "task": f"task {number}",
        "hours": "3.25",
        "rate": f"{40 + number % 60}.15",
        "performed_on": str(done),
        "component_id": f"c{number}",
        **fields,
    }


def build(parts: int, tasks: int = 0, **fields: Any) -> Record:
    """Return a build of so many lines, in a place with definitions and of which nothing is known."""
    entries = {
        "components": [part(number) for number in range(parts)],
        "labor": [task(number) for number in range(tasks)],
    }
    return {"name": "x", "currency": "USD", "jurisdiction": "US-WA", **entries, **fields}


def unlike(parts: int, points: int) -> Record:
    """Return a build of which each part has a schedule of its own, written out."""
    entries = [part(number, schedule=table(number, points)) for number in range(parts)]
    return build(0, components=entries)


def indexed(parts: int, months: int = 1200, indexes: int = 50) -> Record:
    """Return a build with as many price indexes of its own, each so many months long."""
    names = [f"index {number}" for number in range(indexes)]
    listed = [
        {"month": f"{1930 + month // 12}-{month % 12 + 1:02d}", "value": f"{100 + month}.{month % 97:02d}"}
        for month in range(months)
    ]
    return build(
        0,
        components=[part(number, price_index=names[number % indexes]) for number in range(parts)],
        price_indexes=dict.fromkeys(names, listed),
    )


def policy(number: int, **terms: Any) -> Record:
    """Return a policy of which nothing is known but what is given."""
    return {"name": f"policy {number}", **terms}


def stated(number: int) -> Record:
    """Return a policy with as many sublimits as it may have, and little else that is known."""
    limits = [{"category": f"kind {kind}", "amount": f"{500 + kind + number}"} for kind in range(200)]
    return policy(number, basis="actual_cash_value", sublimits=limits)


def loss(number: int, **fields: Any) -> Record:
    """Return a total loss of which nothing more is known."""
    return {"name": f"loss {number}", "peril": "fire", **fields}


def partial_loss(number: int, damaged: int = 1000, **fields: Any) -> Record:
    """Return a loss of so many parts, each to another share."""
    damage = [{"id": f"c{part}", "fraction": f"0.{1 + (part + number) % 900:03d}"} for part in range(damaged)]
    return loss(number, extent="partial", damage=damage, **fields)


def days(count: int) -> list[str]:
    """Return so many days in their order."""
    return [str(DAY - timedelta(days=30 * (count - number))) for number in range(count)]


def paper(number: int, subjects: int = 500) -> Record:
    """Return a piece of evidence, of so many parts."""
    return {
        "id": f"e{number}",
        "sha256": f"{number:064x}",
        "media_type": "image/jpeg",
        "size": 1000,
        "kind": "receipt",
        "subjects": [f"c{number * subjects + place}" for place in range(subjects)],
    }


def comparable(number: int, **fields: Any) -> Record:
    """Return a sale with as much equipment and as many adjustments as it may have."""
    own = [
        {"element": f"element {each}", "comparable_is": "superior", "rate": "0.001", "reason": "x"}
        for each in range(20)
    ]
    return {
        "description": f"trailer {number}",
        "price": f"{9000 + number}",
        "sold_on": "2025-06-10",
        "source": "x",
        "age_years": "3.5",
        "size": "9",
        "condition": "good",
        "equipment": [f"item {each}" for each in range(number % 2, 100, 2)],
        "adjustments": own,
        **fields,
    }


SALES: Record = {
    "subject": {"age_years": "1.5", "size": "10", "condition": "good", "equipment": [f"item {n}" for n in range(100)]},
    "comparables": [comparable(number) for number in range(50)],
    "adjustments": {
        "price_index": "us_all_items",
        "equipment": [{"item": f"item {n}", "amount": "7.00", "reason": "x"} for n in range(100)],
    },
}


def pricing(groups: Iterable[int] = (), **fields: Any) -> Record:
    """Return the pricing of a quote with options: so many alternatives in each group, each of a few entries."""
    entries = iter(range(10**6))
    listed = [
        {
            "name": f"group {place}",
            "required": True,
            "alternatives": [{"name": f"{each}", "entries": [f"c{next(entries)}"]} for each in range(alternatives)],
        }
        for place, alternatives in enumerate(groups)
    ]
    return {"markup": {"overhead_rate": "0.1", "profit_rate": "0.1"}, "option_groups": listed, **fields}


def order(number: int, repriced: int) -> Record:
    """Return a change order that reprices so many parts."""
    return {
        "number": f"{number}",
        "dated": "2026-07-01",
        "reason": "x",
        "components": [part(each, unit_cost=f"{200 + number}") for each in range(repriced)],
    }


def full(lines: int = 20_000) -> Record:
    """Return a build of so many lines, half of them components and half labor."""
    return build(lines // 2, lines // 2)


def renamed(lines: int) -> Record:
    """Return a build of as many lines as `full`, none of which is one of its own."""
    half = range(lines // 2)
    parts = [part(number, id=f"d{number}") for number in half]
    return build(
        0, components=parts, labor=[task(number, id=f"m{number}", component_id=f"d{number}") for number in half]
    )


def changed(lines: int) -> Record:
    """Return a build of as many lines as `full`, each of them changed in every way that is compared."""
    half = range(lines // 2)
    new = {"category": "x", "quantity": "7", "unit_cost": "9", "acquired_on": "2020-01-01"}
    parts = [part(number, **new, description=f"other {number}") for number in half]
    return build(
        0, components=parts, labor=[task(number, task=f"other {number}", hours="1", rate="9") for number in half]
    )


def policies(count: int) -> list[Record]:
    """Return so many policies of which nothing is known."""
    return [policy(number) for number in range(count)]


def losses(count: int, **fields: Any) -> list[Record]:
    """Return so many total losses."""
    return [loss(number, **fields) for number in range(count)]


def _compared(other: Callable[[int], Record]) -> Body:
    """Return two builds to compare, a year apart."""

    def compared(share: int) -> Record:
        before, after = full(18_000 // share), other(18_000 // share)
        return {"before": {"build": before, "as_of": "2025-06-01"}, "after": {"build": after, "as_of": str(DAY)}}

    return compared


def _many_days(share: int) -> Record:
    """Return losses on as many days as a build of 20,000 lines may have."""
    on_days = [loss(number, occurred_on=day) for number, day in enumerate(days(5 if share == 1 else 1))]
    return {"build": full(20_000 // share), "policies": policies(1), "losses": on_days}


def _open(share: int) -> Record:
    """Return as many settlements of which nothing is known as there may be, for a build of two lines."""
    return {"build": full(2), "policies": policies(7), "losses": losses(max(9 // share, 1))}


def _limited(share: int) -> Record:
    """Return policies with 200 sublimits each, for partial losses of 1,000 parts."""
    parts = max(1000 // share, 200)
    given = [stated(number) | {"limit": "9000", "deductible": "500", "coinsurance_rate": "1"} for number in range(3)]
    return {
        "build": build(parts),
        "policies": given,
        "losses": [partial_loss(number, parts) for number in range(max(10 // share, 1))],
    }


def _searched(share: int) -> Record:
    """Return policies with limits, each searched for the day on which a build outgrows it to which lines are added.

    Twice: with the prices that are known, and with those to come.
    """
    half, months = 1000 // share, [f"{2000 + month // 12}-{month % 12 + 1:02d}" for month in range(316)]
    added = [str(DAY + timedelta(days=number * 3900 // half - 300)) for number in range(half)]
    entries: Record = {
        "components": [part(number, acquired_on=day, price_index="own") for number, day in enumerate(added)],
        "labor": [task(number, performed_on=day) for number, day in enumerate(added)],
        "price_indexes": {"own": [{"month": month, "value": f"{100 + at}"} for at, month in enumerate(months)]},
    }
    known = {"basis": "actual_cash_value", "order": ["deductible", "limit"], "deductible": "0"}
    given = [policy(number, limit=f"{half * 80 * (number + 1)}", **known) for number in range(50)]
    return {"build": build(0, **entries), "policies": given, "thresholds": {"limit_days": 3650}}


def _papers(share: int) -> Record:
    """Return evidence of 500 parts each, as much as fits."""
    parts = 10_000 // share
    evidence = [
        paper(number % 20, parts // 20) | {"id": f"e{number}", "sha256": f"{number:064x}"} for number in range(1000)
    ]
    return {"build": build(parts), "evidence": evidence}


def _protected(share: int) -> Record:
    """Return as many measures and circuits as there may be, and lines and policies."""
    measure = {"cost": "1", "premium_discount_rate": "0.01", "installed_on": "2025-01-01"}
    circuit = {"load_amps": "4.2", "length_m": "3.6", "awg": 14, "fuse_amps": "7.5"}
    count = 200 // share
    build = full(20_000 // share) | {
        "protections": [measure | {"name": f"m{each}", "policy": f"policy {each % 50}"} for each in range(count)],
        "circuits": [circuit | {"name": f"c{each}"} for each in range(count)],
    }
    return {"build": build, "policies": [policy(number, annual_premium="300") for number in range(50)]}


def _changed_often(share: int) -> Record:
    """Return a quote with as many change orders as there may be and options, each changing 500 lines."""
    orders = [order(number, 500 // share) for number in range(90)]
    return {"build": build(10_000 // share), "pricing": pricing((5,)), "changes": orders}


def _optional(share: int) -> Record:
    """Return a quote with as many combinations of options as there may be."""
    return {"build": full(500), "pricing": pricing((20, max(10 // share, 1)))}


def _billed(share: int) -> Record:
    """Return a bill of every line."""
    lines = 10_000 // share
    progress = [{"id": f"c{number}", "earlier": "1.00"} for number in range(5, lines)]
    return {"build": build(lines), "pricing": pricing((5,)), "progress": progress}


def _lines(share: int) -> Record:
    return {"build": full(20_000 // share)}


def _places(share: int) -> Record:
    """Return a build that goes to as many places as it may."""
    places = ["GB", "DE", "FR", "AT", "US-ID", "US-CA", "US-OR", "US-TX", "US-FL"]
    return _lines(share) | {"travels_to": places}


_STATEMENTS: tuple[Body, ...] = (_open, _many_days, _limited)
_SCHEDULED: tuple[Body, ...] = (
    lambda share: {"build": unlike(1000 // share, 200)},
    lambda share: {"build": indexed(10_000 // share)},
    lambda share: {"build": indexed(10_000 // share, 96_000 // share, 1)},
)
_QUOTES: tuple[Body, ...] = (
    lambda share: {"build": full(20_000 // share), "pricing": pricing((5,))},
    _optional,
    _changed_often,
)


def _accepted(body: Body) -> Body:
    def accepted(share: int) -> Record:
        made = body(share)
        chosen = [{**group, "chosen": "0"} for group in made["pricing"]["option_groups"]]
        acceptance = {"accepted_by": "x", "accepted_on": "2026-06-10"}
        return made | {"pricing": made["pricing"] | {"option_groups": chosen, "acceptance": acceptance}}

    return accepted


WORST: Mapping[str, tuple[Body, ...]] = {
    "create_estimate": (_lines, *_SCHEDULED),
    "create_estimate_comparison": tuple(map(_compared, (full, renamed, changed))),
    "create_document_comparison": tuple(map(_compared, (full, renamed, changed))),
    "create_value_curve": (
        lambda share: {"build": full(500 // share), "dates": days(400), "limit": f"{20_000 // share}"},
        lambda share: {"build": full(20_000 // share), "dates": days(10), "limit": f"{2_000_000 // share}"},
        lambda share: {"build": unlike(500 // share, 200), "dates": days(400)},
    ),
    "create_sales_comparison": (
        lambda share: _lines(share) | SALES,
        lambda share: {"build": indexed(1, 96_000 // share, 1)} | SALES,
    ),
    "create_classification": (_places,),
    "create_settlements": _STATEMENTS,
    "create_gap_statement": _STATEMENTS,
    "create_documentation_score": (_lines, _papers),
    "create_protection_check": (_protected,),
    "create_conversation_sheet": _STATEMENTS,
    "create_report": _STATEMENTS,
    "create_letter": _STATEMENTS,
    "create_claim_pack": _STATEMENTS,
    "create_quote": _QUOTES,
    "create_contract": _QUOTES,
    "create_accepted_document": tuple(map(_accepted, _QUOTES)),
    "create_progress_bill": (_billed,),
    "create_quote_variance": (
        lambda share: {"build": full(18_000 // share), "built": changed(18_000 // share), "pricing": pricing((5,))},
    ),
    "create_quote_report": _QUOTES,
    "create_serial_number_register": (_lines, _papers),
    "create_attention": (_open, _searched, _many_days),
}
"""By the id of the operation."""
