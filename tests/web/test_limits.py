"""The limits of the server: of the size and the time of a request, and of requests at once."""

import socket
from pathlib import Path
from threading import Event, Thread
from time import monotonic, sleep
from urllib.parse import urlsplit

import httpx2
import pytest
from litestar.testing import TestClient

from hitchworth.operations import readiness, requests
from hitchworth.operations.clock import today
from hitchworth.operations.settings import Settings
from hitchworth.store import open_store
from hitchworth.web.app import create_app
from hitchworth.web.server import running
from hitchworth.web.server_state import ServerState
from web_server import JSON, assert_problem, example


def test_the_limit_of_a_body_is_a_setting() -> None:
    body = example("estimate").ljust(3_000)
    with TestClient(create_app(settings=Settings(max_body_bytes=3_000))) as api:
        assert api.post("/v1/estimates", content=body, headers=JSON).status_code == 200
        response = api.post("/v1/estimates", content=body + b" ", headers=JSON)
    assert_problem(response, 413, "body-too-large")
    assert "3,000" in response.json()["detail"]


def test_a_body_has_to_arrive_in_time() -> None:
    with running(Settings(port=0, receive_seconds=0.3)) as address:
        slow = socket.create_connection((urlsplit(address).hostname or "", urlsplit(address).port or 0))
        slow.sendall(b"POST /v1/estimates HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100\r\n\r\n{")
        slow.settimeout(10)
        answer = slow.recv(10_000)
        slow.close()
        assert answer.startswith(b"HTTP/1.1 408 ")
        assert b"connection: close" in answer
        assert httpx2.get(f"{address}/health").status_code == 200


def test_an_answer_has_to_be_ready_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    over = Event()
    monkeypatch.setattr(requests, "today", lambda: over.wait(20) and today())
    with TestClient(create_app(settings=Settings(answer_seconds=0.2))) as api:
        try:
            response = api.post("/v1/gap-statements", content=example("gap-statement"), headers=JSON)
        finally:
            over.set()
        assert_problem(response, 503, "answer-too-slow")
        assert "0.2 seconds" in response.json()["detail"]


def test_too_many_requests_at_once_are_turned_away_but_not_those_that_watch(monkeypatch: pytest.MonkeyPatch) -> None:
    started, over = Event(), Event()

    def wait() -> object:
        started.set()
        assert over.wait(20)
        return today()

    monkeypatch.setattr(requests, "today", wait)
    answers = []
    with running(Settings(port=0, max_in_flight=1)) as address:

        def post() -> None:
            body = example("gap-statement")
            answers.append(httpx2.post(f"{address}/v1/gap-statements", content=body, headers=JSON, timeout=30))

        thread = Thread(target=post)
        thread.start()
        try:
            assert started.wait(20)
            busy = httpx2.get(f"{address}/v1/schedules")
            watched = [httpx2.get(f"{address}/{path}").status_code for path in ("health", "ready", "metrics")]
        finally:
            over.set()
            thread.join()
        assert_problem(busy, 503, "overloaded")
        assert busy.headers["retry-after"] == "1"
        assert watched == [200, 200, 200]
        assert httpx2.get(f"{address}/v1/schedules").status_code == 200
    assert [answer.status_code for answer in answers] == [200]


def test_a_server_is_ready_until_it_is_asked_to_stop() -> None:
    server = ServerState()
    with TestClient(create_app(server=server)) as api:
        assert api.get("/ready").json() == {"status": "ready"}
        server.draining = True
        assert_problem(api.get("/ready"), 503, "not-ready")
        assert api.get("/health").status_code == 200


def test_a_server_without_its_database_is_not_ready(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "builds.db"))
    with TestClient(create_app(store)) as api:
        assert api.get("/ready").status_code == 200
        with store._database.writing() as connection:
            connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
        assert_problem(api.get("/ready"), 503, "not-ready")
        with store._database.writing() as connection:
            connection.exec_driver_sql("DROP TABLE alembic_version")
        assert "database" in api.get("/ready").json()["detail"]
        assert api.get("/health").status_code == 200
    store.close()


def test_the_reference_data_is_loaded_before_the_first_request() -> None:
    readiness.load_reference_data.cache_clear()
    with TestClient(create_app()):
        assert readiness.load_reference_data.cache_info().currsize == 1


def test_readiness_does_not_wait_behind_long_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    """More long answers are in work than there are threads for them (32 at most), and the probe is answered."""
    over, count = Event(), 40
    with running() as address:
        monkeypatch.setattr(requests, "today", lambda: over.wait(30) and today())

        def post() -> None:
            httpx2.post(f"{address}/v1/gap-statements", content=example("gap-statement"), headers=JSON, timeout=60)

        askers = [Thread(target=post) for _ in range(count)]
        for asker in askers:
            asker.start()
        try:
            deadline = monotonic() + 20
            while f"hitchworth_requests_in_flight {count + 1}" not in httpx2.get(f"{address}/metrics").text:  # and this
                assert monotonic() < deadline
                sleep(0.05)
            assert httpx2.get(f"{address}/ready", timeout=10).status_code == 200
        finally:
            over.set()
            for asker in askers:
                asker.join()
