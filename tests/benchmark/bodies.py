"""The bodies to measure with, the same for the same arguments."""

import random
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from itertools import count
from typing import Any, Literal, TypeAlias

import msgspec

Json: TypeAlias = dict[str, Any]
Shape: TypeAlias = Literal["orders", "singles"]
"""orders: parts are bought several on a day, as people buy them. singles: no two lines share a date, which is the worst
case for whatever is computed once a date.
"""

AS_OF = date(2026, 11, 25)
FIRST_DAY = date(2021, 3, 1)
CATEGORIES = (
    "chassis",
    "body_panels",
    "insulation",
    "windows",
    "battery_lithium",
    "wiring",
    "refrigerator",
    "plumbing",
    "cabinets",
    "mattress",
)
BASES = ("actual_cash_value", "replacement_cost", "market_value")
PERILS = ("fire", "hail", "theft", "collision", "flood")
KNOWN_TERMS: Json = {
    "covers_damage": True,
    "deductible": "500",
    "coinsurance_rate": "0",
    "order": ["sublimits", "coinsurance", "deductible", "limit"],
    "sublimits": [],
    "settles_as": "built_use",
    "counts_own_labor": True,
    "values_by": "cost_less_depreciation",
    "depreciates_labor": False,
    "holdback": True,
    "betterment_categories": [],
    "total_loss_tax_rate": "0",
    "excluded_perils": [],
    "knows_built_use": True,
    "without": ["limit", "custom_equipment_limit", "contents_limit", "replacement_years", "total_loss_threshold"],
}
OPENED: Sequence[str] = (
    "deductible",
    "settles_as",
    "depreciates_labor",
    "coinsurance_rate",
    "counts_own_labor",
    "total_loss_tax_rate",
)
"""The terms to leave open, in this order."""


def build(lines: int, shape: Shape = "orders") -> Json:
    """Return a build of parts, every fifth line labor."""
    dice = random.Random(lines)
    days = [FIRST_DAY + timedelta(days=day) for day in dice.sample(range(2000), max(min(40, lines // 6), 1))]

    def day(number: int) -> str:
        return (dice.choice(days) if shape == "orders" else FIRST_DAY + timedelta(days=number)).isoformat()

    work = lines // 5
    components = [
        {
            "id": f"part-{number}",
            "description": f"Part number {number} of the trailer",
            "category": dice.choice(CATEGORIES),
            "quantity": str(dice.randint(1, 12)),
            "unit_cost": _amount(dice, 199, 89900),
            "tax": _amount(dice, 0, 4000) if number % 3 else None,
            "freight": _amount(dice, 0, 3000),
            "acquired_on": day(number),
            "evidence_grade": dice.choice(("receipt", "written_quote", "own_estimate")),
            "supplier": f"Supplier {number % 9}",
        }
        for number in range(lines - work)
    ]
    labor = [
        {
            "id": f"work-{number}",
            "task": f"Task number {number}",
            "hours": f"{dice.randint(2, 40) / 2:.1f}",
            "rate": "0",
            "market_rate": "85.00",
            "performed_on": day(number),
            "component_id": f"part-{number}",
        }
        for number in range(work)
    ]
    indirect_costs = {"overhead_rate": "0.10", "profit_rate": "0.10", "sales_tax_rate": "0.089"}
    return {
        "name": "Benchmark",
        "currency": "USD",
        "components": components,
        "labor": labor,
        "indirect_costs": indirect_costs,
    }


def plain_build(lines: int) -> Json:
    """Return a build that other tools can value too: parts on one straight line over ten years, nothing added."""
    found = build(lines + lines // 4)
    schedule = {"method": "straight_line", "life_years": "10"}
    components = [part | {"schedule": schedule, "tax": part["tax"] or "0"} for part in found["components"][:lines]]
    return {"name": "Plain", "currency": "USD", "components": components}


def request(of: Json, **fields: Any) -> bytes:
    """Return the body of a request about a build."""
    return msgspec.json.encode({"build": of, "as_of": AS_OF, "options": {}} | fields)


def gap_request(of: Json, policies: int, losses: int, open_terms: int) -> bytes:
    """Return the body of a gap statement, each policy with so many terms left open."""
    known = {term: value for term, value in KNOWN_TERMS.items() if term not in OPENED[:open_terms]}
    return request(
        of,
        policies=[
            {"name": f"policy-{number}", "basis": BASES[number % len(BASES)]} | known for number in range(policies)
        ],
        losses=[
            {"name": f"loss-{number}", "peril": PERILS[number % len(PERILS)], "occurred_on": AS_OF.isoformat()}
            for number in range(losses)
        ],
    )


def curve_request(of: Json, dates: int) -> bytes:
    """Return the body of a value curve of so many months."""
    days = [(AS_OF + timedelta(days=30 * number)).isoformat() for number in range(dates)]
    return msgspec.json.encode({"build": of, "dates": days, "limit": "30000"})


def renewed(body: bytes) -> Callable[[], bytes]:
    """Return what returns the body each time with other prices, so that nothing is known of the build beforehand."""
    seeds, content = count(), msgspec.json.decode(body)

    def new() -> bytes:
        dice = random.Random(next(seeds))
        for part in content["build"]["components"]:
            part["unit_cost"] = _amount(dice, 199, 89900)
        return msgspec.json.encode(content)

    return new


def _amount(dice: random.Random, least: int, most: int) -> str:
    return f"{dice.randint(least, most) / 100:.2f}"
