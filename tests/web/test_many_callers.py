"""Ten processes change one build through two servers on the same database: nothing is lost, however often they collide.

HITCHWORTH_WRITES sets how many changes each makes (default: 3).
"""

import os
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import httpx2

from adding_caller import add_components
from served import served

CALLERS = 10
CHANGES = int(os.environ.pop("HITCHWORTH_WRITES", "3"))  # a server does not start with a setting that it does not know


def test_ten_processes_on_one_build_lose_nothing(where: str) -> None:
    with (
        served("--database", where) as one,
        served("--database", where) as other,
        ProcessPoolExecutor(CALLERS, mp_context=get_context("spawn")) as processes,
    ):
        made = httpx2.post(f"{one.address}/v1/builds", json={"name": "Camper", "currency": "USD"})
        build = made.headers["location"]
        addresses = [f"{(one, other)[caller % 2].address}{build}" for caller in range(CALLERS)]
        started = [processes.submit(add_components, at, each, CHANGES) for each, at in enumerate(addresses)]
        collisions = sum(each.result(timeout=600) for each in started)
        kept = httpx2.get(addresses[0]).json()
        verified = httpx2.get(f"{addresses[1]}/verify").json()
    print(f"{CALLERS * CHANGES} changes, {collisions} collisions")
    wanted = sorted(f"{caller}-{number}" for caller in range(CALLERS) for number in range(CHANGES))
    assert sorted(component["id"] for component in kept["build"]["components"]) == wanted
    assert kept["revision"] == 1 + CALLERS * CHANGES
    assert (verified["intact"], verified["revisions"]) == (True, kept["revision"])
