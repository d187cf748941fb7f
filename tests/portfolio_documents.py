"""Documents of a portfolio whose figures are worked by hand, and the files that they stand in."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

import msgspec

from hitchworth.model.portfolio import RevaluationTerms

TERMS = RevaluationTerms(as_of=date(2026, 11, 28))


def camper(name: str, cost: str = "1000.00", *, limit: str = "1200", planned: str = "500.00") -> dict[str, Any]:
    """A build of two parts that never depreciate: one bought in 2026, one that is bought on 2027-03-01.

    It costs `cost` to replace now, and `cost` and `planned` from that day on. Its policy pays the replacement cost up
    to the limit, less 250; of a theft in November 2026 the gap is 250, as long as the limit covers it.
    """
    parts = (("now", cost, "2026-02-01"), ("later", planned, "2027-03-01"))
    return {
        "build": {
            "name": name,
            "currency": "USD",
            "registered_class": "travel_trailer",
            "components": [
                {
                    "id": part,
                    "description": "Screws",
                    "category": "fasteners",
                    "quantity": 1,
                    "unit_cost": price,
                    "acquired_on": day,
                    "schedule": {"method": "none"},
                }
                for part, price, day in parts
            ],
        },
        "policies": [
            {
                "name": "RV",
                "kind": "recreational_vehicle",
                "basis": "replacement_cost",
                "limit": limit,
                "deductible": "250",
                "coinsurance_rate": "0",
                "sublimits": [],
                "settles_as": "built_use",
                "depreciates_labor": False,
                "holdback": False,
                "excluded_perils": [],
            }
        ],
        "losses": [
            {"name": "theft", "peril": "theft", "extent": "total", "occurred_on": "2026-11-20", "replaced": True}
        ],
    }


def line(identity: object, document: dict[str, Any]) -> bytes:
    return msgspec.json.encode({"id": identity, **document})


def write_lines(path: Path, lines: Sequence[bytes]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(b"".join(each + b"\n" for each in lines))


def folder_of(path: Path, files: int = 3, builds: int = 4) -> str:
    """A folder of files of lines, each with some builds and one that cannot be valued."""
    for file in range(files):
        lines = [
            line(f"{file}-{build}", camper(f"Camper {build}", f"{900 + 100 * build}.00")) for build in range(builds)
        ]
        write_lines(path / f"part-{file}.ndjson", [*lines, line(f"{file}-wrong", {"build": {"name": "Wrong"}})])
    return str(path)
