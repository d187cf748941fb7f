"""Parts, labor and builds for the tests of the valuation, with defaults for what a test does not state."""

from datetime import date
from decimal import Decimal
from typing import Any

from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor
from hitchworth.model.estimate import Estimate
from hitchworth.model.options import Options
from hitchworth.valuation.estimate import estimate

BOUGHT = date(2022, 6, 15)
DAY = date(2026, 6, 15)


def part(name: str = "part", unit_cost: str = "100", **terms: Any) -> Component:
    """One piece at a price, bought on BOUGHT, of a category that loses nothing."""
    given: dict[str, Any] = {"description": name, "category": "permits", "quantity": Decimal(1), "acquired_on": BOUGHT}
    return Component(id=name, unit_cost=Decimal(unit_cost), **(given | terms))


def work(name: str = "work", hours: str = "10", rate: str = "50", **terms: Any) -> Labor:
    """Hours of one's own at a rate, done on BOUGHT."""
    given: dict[str, Any] = {"performed_on": BOUGHT, "hired": False}
    return Labor(id=name, task=name, hours=Decimal(hours), rate=Decimal(rate), **(given | terms))


def build(*entries: Component | Labor, **terms: Any) -> Build:
    """A build of these entries, in US dollars."""
    return Build(
        name="Trailer",
        currency="USD",
        components=tuple(entry for entry in entries if isinstance(entry, Component)),
        labor=tuple(entry for entry in entries if isinstance(entry, Labor)),
        **terms,
    )


def valued(*entries: Component | Labor, as_of: date = DAY, options: Options | None = None, **terms: Any) -> Estimate:
    """The estimate of a build of these entries."""
    return estimate(build(*entries, **terms), as_of, options or Options())


def codes(found: Estimate) -> list[str]:
    """The codes of the notes."""
    return [note.code for note in found.notes]
