"""A caller that adds components to one build over HTTP, for the tests of many callers at once.

Every other component is added by reading the whole document and putting it back, as a script does that knows no better
way; where somebody else was faster, it reads and puts again.
"""

from itertools import count
from typing import Any

import httpx2


def add_components(build: str, caller: int, number: int) -> int:
    """Add so many components, and return how often somebody else was faster. build: its whole address."""
    with httpx2.Client(timeout=60) as api:
        return sum(_add(api, build, component(f"{caller}-{each}"), whole=each % 2 == 0) for each in range(number))


def component(name: str) -> dict[str, Any]:
    return {
        "id": name,
        "description": "Screws",
        "category": "fasteners",
        "quantity": 1,
        "unit_cost": "4.00",
        "acquired_on": "2026-03-01",
    }


def _add(api: httpx2.Client, build: str, part: dict[str, Any], *, whole: bool) -> int:
    if not whole:
        added = api.post(f"{build}/components", json=part)
        assert added.status_code == 201, added.text
        return 0
    for collisions in count():
        read = api.get(build)
        document = read.json()
        document["build"].setdefault("components", []).append(part)
        put = api.put(build, json=document, headers={"if-match": read.headers["etag"]})
        if put.status_code == 200:
            return collisions
        assert put.status_code == 412, put.text
    raise AssertionError("unreachable")
