"""The processes that compute: what is too slow, unwanted or too much, and what is answered meanwhile."""

import asyncio
import csv
import os
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from tempfile import gettempdir
from threading import Thread
from time import monotonic, sleep
from typing import Any
from urllib.parse import urlsplit

import httpx2
import msgspec
import pytest
from litestar.testing import TestClient

from hitchworth.demo import demo_body
from hitchworth.operations.settings import Settings
from hitchworth.web.app import create_app
from hitchworth.web.server import running
from hitchworth.web.server_state import ServerState
from hitchworth.web.worker import prepare
from hitchworth.web.worker_pool import WorkerPool
from open_files import is_open
from served import served
from web_server import JSON, assert_problem, client, example
from worst_bodies import full
from worst_files import WORST_FILES

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


def inventory(share: int) -> bytes:
    """A gap statement of a build of many lines."""
    return msgspec.json.encode({"build": full(20_000 // share)})


def losses_on_many_days(lines: int, days: int) -> bytes:
    """A build that is valued on each day of a loss."""
    on = [date(2026, 1, 1) + timedelta(days=day) for day in range(days)]
    return msgspec.json.encode(
        {
            "build": {"name": "x", "currency": "USD", "components": [part(number) for number in range(lines)]},
            "as_of": "2026-06-01",
            "policies": [{"name": "a"}],
            "losses": [{"name": f"{day}", "peril": "fire", "occurred_on": day} for day in on],
        }
    )


LONG = losses_on_many_days(2_000, 50)
"""Several times longer than the deadline here: the most lines times days that the model allows."""


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """A server with a process for long computations and one for short ones; one computation may wait."""
    settings = Settings(port=0, access_log=False, workers=1, max_waiting=1, answer_seconds=3.0)
    with running(settings) as served_at:
        wait_until(lambda: httpx2.get(f"{served_at}/ready").status_code == 200)
        yield served_at


@pytest.fixture(autouse=True)
def rested(address: str) -> None:
    """Both processes are there, whatever the test before has done to them."""
    wait_until(lambda: len(workers()) == 2 and gauge(address, "computations_running") == 0)


def wait_until(happened: Any, seconds: float = 60) -> None:
    give_up = monotonic() + seconds
    while not happened():
        assert monotonic() < give_up
        sleep(0.05)


def post(address: str, path: str, body: bytes, **more: Any) -> httpx2.Response:
    return httpx2.post(f"{address}{path}", content=body, headers=JSON, timeout=120, **more)


def workers(server: int | None = None) -> set[int]:
    """The processes of the pool of a server, of this process unless another is named."""
    command = ["ps", "--ppid", str(server or os.getpid()), "-o", "pid=,stat=,args="]
    listed = subprocess.run(command, capture_output=True, text=True, check=False).stdout.splitlines()
    found = [line.split(maxsplit=2) for line in listed]
    return {int(pid) for pid, state, command in found if "anyio.to_process" in command and "Z" not in state}


def is_there(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return "Z" not in Path(f"/proc/{process}/stat").read_text().split()[2]


@contextmanager
def abandoned(address: str, path: str, body: bytes) -> Iterator[None]:
    """A request whose caller has gone away at the end."""
    parts = urlsplit(address)
    with socket.create_connection((parts.hostname or "", parts.port or 0)) as raw:
        head = f"POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Length: {len(body)}\r\n\r\n"
        raw.sendall(head.encode() + body)
        yield


def gauge(address: str, name: str) -> int:
    """What the server counts."""
    text = httpx2.get(f"{address}/metrics").text
    return int(float(text.partition(f"\nhitchworth_{name} ")[2].split("\n")[0]))


def in_work(address: str) -> int:
    """The requests in work beside the one that asks."""
    return gauge(address, "requests_in_flight") - 1


def test_an_answer_of_a_process_is_that_of_a_thread_to_the_byte(address: str) -> None:
    bodies = [(GAPS, demo_body()), (CURVES, curve(3, 40)), (ESTIMATES, SMALL), (ESTIMATES, b'{"build": 1}')]
    bodies += [("/v1/reports/inventory", example("gap-statement")), (f"{ESTIMATES}?format=xlsx", SMALL)]
    with client() as api:
        for path, body in bodies:
            expected, found = api.post(path, content=body, headers=JSON), post(address, path, body)
            assert found.status_code == expected.status_code
            if found.status_code == 200:
                assert found.content == expected.content
            else:
                assert found.json()["errors"] == expected.json()["errors"]
            assert found.headers.get("content-language") == expected.headers.get("content-language")


def test_what_takes_too_long_is_stopped_and_another_process_takes_its_place(address: str) -> None:
    before = workers()
    response = post(address, GAPS, LONG)
    assert_problem(response, 503, "answer-too-slow")
    wait_until(lambda: len(workers() - before) == 1 and len(workers()) == len(before) == 2)
    wait_until(lambda: post(address, GAPS, demo_body()).status_code == 200)


def test_what_is_small_is_answered_while_every_process_is_at_work(address: str) -> None:
    answers: list[httpx2.Response] = []
    others = [Thread(target=lambda: answers.append(post(address, GAPS, LONG))) for _ in range(2)]
    for other in others:
        other.start()
    wait_until(lambda: in_work(address) == 2)
    at_once, short = post(address, ESTIMATES, SMALL), post(address, CURVES, curve(10, 40))
    assert (at_once.status_code, short.status_code) == (200, 200)
    assert answers == []  # the long ones are in work, and short ones have a process of their own
    for other in others:
        other.join()
    assert [each.status_code for each in answers] == [503] * 2


FILES_BESIDE = [
    ("/v1/receipt-imports", "text/csv", WORST_FILES["create_receipt_import"][0]),
    ("/v1/documents", "application/yaml", WORST_FILES["create_document"][0]),
    ("/v1/sheet-values", "text/tab-separated-values", WORST_FILES["create_sheet_values"][0]),
    ("/v1/reports/inventory?format=docx", JSON["content-type"], inventory),
]


@pytest.mark.parametrize(("path", "media_type", "file"), FILES_BESIDE, ids=[path for path, *_ in FILES_BESIDE])
def test_small_requests_do_not_wait_beside_a_file_or_a_report(
    address: str, path: str, media_type: str, file: Callable[[int], bytes]
) -> None:
    """A file that takes longer than the small requests beside it: none of them waits for its end."""
    answers: list[httpx2.Response] = []
    sent: dict[str, Any] = {"content": file(4), "headers": {"content-type": media_type}, "timeout": 60}
    other = Thread(target=lambda: answers.append(httpx2.post(address + path, **sent)))
    other.start()
    wait_until(lambda: in_work(address) == 1)
    small = [post(address, ESTIMATES, SMALL).status_code for _ in range(3)]
    assert (small, answers) == ([200] * 3, [])
    other.join()


def test_more_than_may_wait_is_turned_away(address: str) -> None:
    answers: list[httpx2.Response] = []
    others = [Thread(target=lambda: answers.append(post(address, GAPS, LONG))) for _ in range(3)]
    for other in others:
        other.start()
    wait_until(lambda: in_work(address) == 3)
    refused = post(address, GAPS, LONG)
    assert_problem(refused, 503, "overloaded")
    assert refused.headers["retry-after"] == "1"
    assert post(address, ESTIMATES, SMALL).status_code == 200
    for other in others:
        other.join()
    assert {each.json()["type"] for each in answers} == {"/problems/answer-too-slow"}


def test_the_work_of_a_caller_who_has_gone_is_stopped(address: str) -> None:
    before = workers()
    with abandoned(address, GAPS, LONG):
        wait_until(lambda: in_work(address) == 1)
        sleep(0.3)
    wait_until(lambda: in_work(address) == 0)
    wait_until(lambda: len(workers() - before) == 1)
    assert post(address, CURVES, curve(10, 40)).status_code == 200


def test_a_batch_of_a_caller_who_has_gone_is_stopped(address: str) -> None:
    before = workers()
    with abandoned(address, f"{GAPS}/batch", (LONG + b"\n") * 3):
        wait_until(lambda: in_work(address) == 1)
        sleep(0.3)
    wait_until(lambda: in_work(address) == 0)
    wait_until(lambda: before - workers())


def test_a_process_that_is_ended_from_outside_is_a_problem_and_replaced(address: str) -> None:
    answers: list[httpx2.Response] = []
    asker = Thread(target=lambda: answers.append(post(address, GAPS, LONG)))
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


def test_lines_of_a_batch_are_answered_in_order_by_several_processes(address: str) -> None:
    lines = [b'{"id":%d,"build":{"name":"a","currency":"USD"},"as_of":"2026-06-01"}\n' % each for each in range(3000)]
    lines[1500] = b"no JSON\n"
    with client() as api:
        found = post(address, f"{ESTIMATES}/batch", b"".join(lines)).content.splitlines()
        assert [msgspec.json.decode(each)["line"] for each in found] == list(range(1, 3001))
        few = b"".join(lines[1499:1502])
        expected = api.post(f"{ESTIMATES}/batch", content=few, headers=JSON).content.splitlines()
    without_place = [[each.partition(b",")[2] for each in some] for some in (found[1499:1502], expected)]
    assert without_place[0][::2] == without_place[1][::2]
    assert msgspec.json.decode(found[1500])["problem"]["type"] == "/problems/malformed-body"


def test_a_line_that_takes_too_long_has_its_problem_and_the_next_its_answer(address: str) -> None:
    body = LONG + b"\n" + SMALL + b"\n"
    found = [msgspec.json.decode(each) for each in post(address, f"{GAPS}/batch", body).content.splitlines()]
    assert found[0]["problem"]["type"] == "/problems/answer-too-slow"
    assert found[1]["gap_statement"]["as_of"] == "2026-06-01"


def test_the_rows_of_a_batch_come_from_the_processes_and_a_line_that_takes_too_long_is_one(address: str) -> None:
    table = post(address, f"{GAPS}/batch", LONG + b"\n" + SMALL + b"\n", params={"format": "csv"}).text
    slow, small = csv.DictReader(table.splitlines())
    assert (slow["line"], slow["problem.type"], slow["as_of"]) == ("1", "/problems/answer-too-slow", "")
    assert (small["line"], small["problem.type"], small["as_of"]) == ("2", "", "2026-06-01")
    lines = b'{"id":"a","build":{"name":"a","currency":"USD"},"as_of":"2026-06-01"}\n' * 1000
    asked = {"format": "csv", "table_locale": "de-DE", "first_line": "501"}
    rows = post(address, f"{ESTIMATES}/batch", lines, params=asked).text.splitlines()
    assert [row.partition(";")[0] for row in rows] == [str(number) for number in range(501, 1501)]


def test_a_file_that_a_process_has_made_is_handed_out_and_gone() -> None:
    body = example("gap-statement")
    document = msgspec.json.decode(body)
    chosen = {"loss": document["losses"][0]["name"], "policy": document["policies"][0]["name"]}
    with client() as api, running(Settings(port=0, access_log=False, workers=1)) as other:
        expected = api.post("/v1/claim-packs", content=body, headers=JSON, params=chosen)
        assert expected.headers["content-type"] == "application/zip"
        assert post(other, "/v1/claim-packs", body, params=chosen).content == expected.content
        assert list(Path(gettempdir()).glob("hitchworth-answers-*/*")) == []


@pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc")
def test_a_file_is_closed_before_it_is_deleted_where_the_system_asks_for_it(monkeypatch: pytest.MonkeyPatch) -> None:
    document = msgspec.json.decode(example("gap-statement"))
    chosen = {"loss": document["losses"][0]["name"], "policy": document["policies"][0]["name"]}
    deleted: list[bool] = []
    unlink = Path.unlink

    def noted(path: Path, missing_ok: bool = False) -> None:
        if "hitchworth-answers-" in str(path):
            deleted.append(is_open(path))
        unlink(path, missing_ok)

    monkeypatch.setattr(Path, "unlink", noted)
    monkeypatch.setattr("hitchworth.web.scheduling._DELETES_OPEN_FILES", False)
    with running(Settings(port=0, access_log=False, workers=1)) as other:
        assert post(other, "/v1/claim-packs", example("gap-statement"), params=chosen).content[:2] == b"PK"
    assert deleted == [False]


def test_what_is_kept_is_read_by_a_store_of_the_process(tmp_path: Path) -> None:
    where = tmp_path / "builds.db"
    with served("--database", str(where), "--workers", "1") as one:
        made = httpx2.post(f"{one.address}/v1/builds", json={"name": "Camper", "currency": "USD"})
        kept = f"{one.address}{made.headers['location']}"
        assert httpx2.get(f"{kept}/estimate", timeout=60).json()["currency"] == "USD"
        assert httpx2.get(f"{kept}/reports/inventory", timeout=60).status_code == 200
        assert_problem(httpx2.get(f"{kept}0/estimate", timeout=60), 404, "not-found")
        with sqlite3.connect(where) as database:
            database.execute("UPDATE revisions SET body = 'x'")
        assert_problem(httpx2.get(f"{kept}/estimate", timeout=60), 500, "kept-data-damaged")
        log = one.stop()
    assert "What was asked for cannot be done: DamagedError" in log


@pytest.mark.skipif(sys.platform == "win32", reason="signals of Unix")
@pytest.mark.parametrize("sent", [signal.SIGTERM, signal.SIGKILL])
def test_a_busy_server_is_gone_in_time_and_its_processes_with_it(sent: signal.Signals) -> None:
    with served("--workers", "1", "--stop-seconds", "1") as one:
        wait_until(lambda: httpx2.get(f"{one.address}/ready").status_code == 200)
        processes = workers(one.process.pid)
        assert len(processes) == 2
        for _ in range(3):
            Thread(target=lambda: _post_until_cut(one.address), daemon=True).start()
        wait_until(lambda: in_work(one.address) == 3)
        one.process.send_signal(sent)
        one.process.wait(15)
        wait_until(lambda: not any(map(is_there, processes)), 15)


def _post_until_cut(address: str) -> None:
    with suppress(httpx2.TransportError):
        post(address, GAPS, LONG)


def test_a_process_is_prepared_where_the_system_knows_no_niceness() -> None:
    """Windows does not."""
    code = "import os; del os.nice; from hitchworth.web.worker import prepare; prepare(); print('prepared')"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (told.stdout, told.stderr) == ("prepared\n", "")


def test_it_does_not_become_ready_when_its_processes_cannot_be_prepared(caplog: pytest.LogCaptureFixture) -> None:
    pool = WorkerPool(1, 1, partial(os.remove, "/no/such/file"))
    with TestClient(create_app(server=ServerState(workers=pool))) as api:
        wait_until(lambda: len(caplog.records) >= 2)
        assert {record.getMessage() for record in caplog.records if record.name == "hitchworth.web"} == {
            "a process of the pool cannot be prepared, so the server does not become ready"
        }
        assert "FileNotFoundError" in caplog.text
        assert_problem(api.get("/ready"), 503, "not-ready")


def test_what_waits_is_counted_also_while_processes_are_prepared() -> None:
    """Three processes are, one computation waits."""

    async def counts() -> tuple[int, int]:
        pool = WorkerPool(2, 1, partial(sleep, 2))
        await pool.start()
        while pool.running < 3:
            await asyncio.sleep(0.01)
        before = pool.waiting
        waits = asyncio.create_task(pool.run(os.getpid, is_long=True))
        await asyncio.sleep(0.1)
        found = before, pool.waiting
        waits.cancel()
        with suppress(asyncio.CancelledError):
            await waits
        assert pool.waiting == 0
        await pool.stop()
        return found

    assert asyncio.run(counts()) == (0, 1)


def test_it_is_not_ready_before_its_processes_are() -> None:
    pool = WorkerPool(1, 1, prepare)
    with TestClient(create_app(server=ServerState(workers=pool))) as api:
        assert_problem(api.get("/ready"), 503, "not-ready")
        assert api.get("/health").status_code == 200
        wait_until(lambda: pool.is_started)
        assert api.get("/ready").status_code == 200
