"""The processes that compute: what is too slow, unwanted or too much, and what is answered meanwhile."""

import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path
from threading import Thread
from time import monotonic, sleep
from typing import Any
from urllib.parse import urlsplit

import httpx2
import msgspec
import psutil
import pytest
from litestar.testing import TestClient

from hitchworth.demo import demo_body
from hitchworth.operations.settings import Settings
from hitchworth.web.app import create_app
from hitchworth.web.server import running
from served import served
from web_server import JSON, assert_problem, client, example

SMALL = b'{"build":{"name":"a","currency":"USD"},"as_of":"2026-06-01"}'
ESTIMATES, CURVES, GAPS = "/v1/estimates", "/v1/value-curves", "/v1/gap-statements"


def part(number: int) -> dict[str, Any]:
    schedule = {"method": "straight_line", "life_years": f"{5 + number / 1000}"}
    return {
        "id": f"p{number}",
        "description": "part",
        "category": "wiring",
        "quantity": 1,
        "unit_cost": "100",
        "acquired_on": "2020-01-01",
        "schedule": schedule,
    }


def curve(lines: int, dates: int) -> bytes:
    """A value curve whose cost is lines times dates."""
    days = [date(2021, 1, 1) + timedelta(days=day) for day in range(dates)]
    build = {"name": "x", "currency": "USD", "components": [part(number) for number in range(lines)]}
    return msgspec.json.encode({"build": build, "dates": days})


LONG = curve(1000, 400)
"""Many times longer than any deadline here: the largest that the model allows."""


@contextmanager
def server(**changed: Any) -> Iterator[str]:
    """A server with processes, ready."""
    with running(Settings(**{"port": 0, "access_log": False, "workers": 1} | changed)) as address:
        wait_until(lambda: httpx2.get(f"{address}/ready").status_code == 200)
        yield address


def wait_until(happened: Any, seconds: float = 60) -> None:
    give_up = monotonic() + seconds
    while not happened():
        assert monotonic() < give_up
        sleep(0.05)


def post(address: str, path: str, body: bytes, **more: Any) -> httpx2.Response:
    return httpx2.post(f"{address}{path}", content=body, headers=JSON, timeout=120, **more)


def workers() -> set[int]:
    """The processes of the pools of this process."""
    children = psutil.Process().children(recursive=True)
    return {child.pid for child in children if "anyio.to_process" in child.cmdline()}


@contextmanager
def abandoned(address: str, path: str, body: bytes) -> Iterator[None]:
    """A request whose caller has gone away at the end."""
    parts = urlsplit(address)
    with socket.create_connection((parts.hostname or "", parts.port or 0)) as raw:
        head = f"POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Length: {len(body)}\r\n\r\n"
        raw.sendall(head.encode() + body)
        yield


def in_work(address: str) -> int:
    """The requests in work beside the one that asks."""
    text = httpx2.get(f"{address}/metrics").text
    return int(float(text.partition("\nhitchworth_requests_in_flight ")[2].split("\n")[0])) - 1


def test_an_answer_of_a_process_is_that_of_a_thread_to_the_byte() -> None:
    bodies = [(GAPS, demo_body()), (CURVES, curve(3, 40)), (ESTIMATES, SMALL), (ESTIMATES, b'{"build": 1}')]
    bodies += [("/v1/reports/inventory", example("gap-statement")), (f"{ESTIMATES}?format=xlsx", SMALL)]
    with client() as api, server() as address:
        for path, body in bodies:
            expected, found = api.post(path, content=body, headers=JSON), post(address, path, body)
            assert found.status_code == expected.status_code
            if found.status_code == 200:
                assert found.content == expected.content
            else:
                assert found.json()["errors"] == expected.json()["errors"]
            assert found.headers.get("content-language") == expected.headers.get("content-language")


def test_a_file_that_a_process_has_made_is_handed_out_and_gone() -> None:
    with client() as api, server() as address:
        before = set(Path("/tmp").glob("hitchworth-*/*"))
        body = example("gap-statement")
        found = post(address, "/v1/claim-packs", body)
        assert found.content == api.post("/v1/claim-packs", content=body, headers=JSON).content
        assert set(Path("/tmp").glob("hitchworth-*/*")) <= before


def test_what_takes_too_long_is_stopped_and_another_process_takes_its_place() -> None:
    with server(answer_seconds=1.0) as address:
        before = workers()
        response = post(address, CURVES, LONG)
        assert_problem(response, 503, "answer-too-slow")
        wait_until(lambda: len(workers() - before) == 1 and len(workers()) == len(before) == 2)
        wait_until(lambda: post(address, GAPS, demo_body()).status_code == 200)


def test_what_is_small_is_answered_while_every_process_is_at_work() -> None:
    with server(answer_seconds=3.0) as address:
        answers: list[httpx2.Response] = []
        others = [Thread(target=lambda: answers.append(post(address, CURVES, LONG))) for _ in range(4)]
        for other in others:
            other.start()
        wait_until(lambda: in_work(address) == 4)
        at_once, short = post(address, ESTIMATES, SMALL), post(address, CURVES, curve(10, 40))
        assert (at_once.status_code, short.status_code) == (200, 200)
        assert answers == []  # the long ones are in work, and short ones have a process of their own
        for other in others:
            other.join()
        assert [each.status_code for each in answers] == [503] * 4


def test_more_than_may_wait_is_turned_away() -> None:
    with server(max_waiting=1, answer_seconds=3.0) as address:
        answers: list[httpx2.Response] = []
        others = [Thread(target=lambda: answers.append(post(address, CURVES, LONG))) for _ in range(3)]
        for other in others:
            other.start()
        wait_until(lambda: in_work(address) == 3)
        refused = post(address, CURVES, LONG)
        assert_problem(refused, 503, "overloaded")
        assert refused.headers["retry-after"] == "1"
        assert post(address, ESTIMATES, SMALL).status_code == 200
        for other in others:
            other.join()
        assert {each.json()["type"] for each in answers} == {"/problems/answer-too-slow"}


def test_the_work_of_a_caller_who_has_gone_is_stopped() -> None:
    with server() as address:
        before = workers()
        with abandoned(address, CURVES, LONG):
            wait_until(lambda: in_work(address) == 1)
            sleep(0.3)
        wait_until(lambda: in_work(address) == 0)
        wait_until(lambda: len(workers() - before) == 1)
        assert post(address, CURVES, curve(10, 40)).status_code == 200


def test_a_batch_of_a_caller_who_has_gone_is_stopped() -> None:
    line = LONG.replace(b'"dates"', b'"x"')
    with server() as address:
        before = workers()
        with abandoned(address, f"{ESTIMATES}/batch", (demo_body().replace(b"\n", b"") + b"\n") * 300 + line):
            wait_until(lambda: in_work(address) == 1)
        wait_until(lambda: in_work(address) == 0)
        assert before - workers()


def test_a_process_that_is_ended_from_outside_is_a_problem_and_replaced() -> None:
    with server() as address:
        answers: list[httpx2.Response] = []
        asker = Thread(target=lambda: answers.append(post(address, CURVES, LONG)))
        asker.start()
        wait_until(lambda: in_work(address) == 1)
        sleep(0.3)
        for process in workers():
            os.kill(process, signal.SIGKILL)
        asker.join()
        assert_problem(answers[0], 503, "computation-lost")
        wait_until(lambda: post(address, GAPS, demo_body()).status_code == 200)


def test_in_the_process_of_a_caller_nothing_is_started() -> None:
    before = workers()
    with client() as api, running() as address:
        assert api.post(GAPS, content=demo_body(), headers=JSON).status_code == 200
        assert post(address, GAPS, demo_body()).status_code == 200
        assert workers() == before


def test_lines_of_a_batch_are_answered_in_order_by_several_processes() -> None:
    lines = [b'{"id":%d,"build":{"name":"a","currency":"USD"},"as_of":"2026-06-01"}\n' % each for each in range(3000)]
    lines[1500] = b"no JSON\n"
    with server(workers=2) as address, client() as api:
        found = post(address, f"{ESTIMATES}/batch", b"".join(lines)).content.splitlines()
        assert [msgspec.json.decode(each)["line"] for each in found] == list(range(1, 3001))
        few = b"".join(lines[1499:1502])
        expected = api.post(f"{ESTIMATES}/batch", content=few, headers=JSON).content.splitlines()
    without_place = [[each.partition(b",")[2] for each in some] for some in (found[1499:1502], expected)]
    assert without_place[0][::2] == without_place[1][::2]
    assert msgspec.json.decode(found[1500])["problem"]["type"] == "/problems/malformed-body"


def test_a_line_that_takes_too_long_has_its_problem_and_the_next_its_answer() -> None:
    slow = msgspec.json.decode(demo_body())
    slow["policies"] = [{"name": f"p{number}"} for number in range(20)]
    slow["losses"] = [{"name": f"l{number}", "peril": "fire"} for number in range(20)]
    body = msgspec.json.encode(slow | {"answers": []}) + b"\n" + SMALL + b"\n"
    with server(answer_seconds=2.0) as address:
        found = [msgspec.json.decode(each) for each in post(address, f"{GAPS}/batch", body).content.splitlines()]
    assert found[0]["problem"]["type"] == "/problems/answer-too-slow"
    assert found[1]["gap_statement"]["as_of"] == "2026-06-01"


def test_a_failure_in_a_process_is_logged_with_its_places_alone(tmp_path: Path) -> None:
    """The store of the process finds no database: the log says which error, as that of the server."""
    where = tmp_path / "builds.db"
    with served("--database", str(where), "--workers", "1") as one:
        made = httpx2.post(f"{one.address}/v1/builds", json={"name": "Camper", "currency": "USD"})
        kept = httpx2.get(f"{one.address}{made.headers['location']}/estimate", timeout=60)
        assert kept.status_code == 200
        for file in tmp_path.glob("builds.db*"):
            file.unlink()
        lost = httpx2.get(f"{one.address}{made.headers['location']}/estimate", timeout=60)
        assert lost.status_code in (404, 500, 503)
        one.stop()


@pytest.mark.skipif(sys.platform == "win32", reason="signals of Unix")
@pytest.mark.parametrize("sent", [signal.SIGTERM, signal.SIGKILL])
def test_a_busy_server_is_gone_in_time_and_its_processes_with_it(sent: signal.Signals) -> None:
    with served("--workers", "1", "--stop-seconds", "1") as one:
        wait_until(lambda: httpx2.get(f"{one.address}/ready").status_code == 200)
        processes = psutil.Process(one.process.pid).children()
        for _ in range(3):
            Thread(target=lambda: _post_until_cut(one.address), daemon=True).start()
        wait_until(lambda: in_work(one.address) == 3)
        one.process.send_signal(sent)
        one.process.wait(15)
        gone, alive = psutil.wait_procs(processes, timeout=15)
        assert (len(gone) >= 2, alive) == (True, [])


def _post_until_cut(address: str) -> None:
    try:
        post(address, CURVES, LONG)
    except httpx2.TransportError:
        pass


def test_it_says_that_it_is_not_ready_until_its_processes_are() -> None:
    from hitchworth.web.server_state import ServerState
    from hitchworth.web.worker_pool import WorkerPool

    state = ServerState(workers=WorkerPool(1, 1, lambda: None))
    with TestClient(create_app(server=state)) as api:
        assert state.workers is not None
        state.workers._started = None
        assert_problem(api.get("/ready"), 503, "not-ready")
        assert api.get("/health").status_code == 200
