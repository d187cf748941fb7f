"""The real server: over a socket, on a free port, and stopped again."""

import gc
import os
import re
import signal
import socket
import subprocess
import sys
from datetime import date
from http.client import HTTPConnection
from threading import Event, Thread
from time import sleep
from urllib.parse import urlsplit

import httpx2
import pytest
import uvicorn

from hitchworth.operations import requests
from hitchworth.operations.settings import Settings
from hitchworth.web.scheduling import AT_ONCE_BYTES
from hitchworth.web.server import running, serve
from web_server import JSON, client, example


def test_it_responds_while_it_runs_and_no_longer() -> None:
    with running() as address:
        assert httpx2.get(f"{address}/health").json()["status"] == "ok"
        with running() as other:
            assert other != address
    with pytest.raises(httpx2.ConnectError):
        httpx2.get(f"{address}/health")


def test_a_port_in_use_is_an_error() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(OSError, match="in use"), running(Settings(port=port)):
            pass


def test_a_server_that_ends_before_it_starts_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(uvicorn.Server, "run", lambda *_: None)
    with pytest.raises(RuntimeError, match="did not start"), running():
        pass


def test_a_server_that_does_not_start_in_time_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    def hang(server: uvicorn.Server, *_: object) -> None:
        while not server.should_exit:
            sleep(0.01)

    monkeypatch.setattr(uvicorn.Server, "run", hang)
    monkeypatch.setattr("hitchworth.web.server._START_TIMEOUT", 0.05)
    with pytest.raises(RuntimeError, match="did not start"), running():
        pass


def test_serving_ends_quietly_when_it_is_interrupted() -> None:
    command = [sys.executable, "-c", "from hitchworth.cli import main; main()", "serve", "--port", "0"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as server:
        assert server.stderr is not None
        address = re.search(r"Serving on (\S+),", server.stderr.readline())
        assert address
        assert httpx2.get(f"{address[1]}/health").status_code == 200
        server.send_signal(signal.SIGINT)
        rest = server.stderr.read()
    assert server.returncode == 0
    assert "Traceback" not in rest


def test_bodies_come_in_pieces_or_much_too_large_or_not_at_all() -> None:
    with running() as address:
        pieces = (bytes([byte]) for byte in example("classification"))
        assert httpx2.post(f"{address}/v1/classifications", content=pieces, headers=JSON).status_code == 200

        # A caller that writes its whole body before it reads still gets the answer.
        plain = HTTPConnection(urlsplit(address).netloc)
        plain.request("POST", "/v1/estimates", body=b" " * 50_000_000, headers=JSON)
        assert plain.getresponse().status == 413
        plain.close()

        broken = socket.create_connection((urlsplit(address).hostname or "", urlsplit(address).port or 0))
        broken.sendall(b"POST /v1/estimates HTTP/1.1\r\nHost: x\r\nContent-Length: 100\r\n\r\n{")
        broken.close()
        assert httpx2.get(f"{address}/health").status_code == 200


def test_what_has_no_content_has_no_length() -> None:
    with running() as address, httpx2.Client(base_url=address) as connection:
        tag = connection.get("/v1/facts").headers["etag"]
        for _ in range(2):  # the connection is still in order
            assert connection.get("/v1/facts", headers={"if-none-match": tag}).status_code == 304
            assert connection.head("/v1/facts").status_code == 200


SMALL = b'{"build":{"name":"a","currency":"USD"}}'


@pytest.mark.parametrize(
    ("path", "body"),
    [("/v1/estimates", SMALL.ljust(AT_ONCE_BYTES + 1)), ("/v1/gap-statements", example("gap-statement"))],
    ids=["large body", "long computation"],
)
def test_work_that_takes_long_holds_up_no_other_request(
    path: str, body: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    started, other_was_answered = Event(), Event()

    def today() -> date:
        started.set()
        assert other_was_answered.wait(20)
        return date(2026, 11, 1)

    monkeypatch.setattr(requests, "today", today)
    responses: list[httpx2.Response] = []
    with running() as address:

        def post() -> None:
            responses.append(httpx2.post(f"{address}{path}", content=body, headers=JSON, timeout=30))

        thread = Thread(target=post)
        thread.start()
        assert started.wait(20)
        try:
            assert httpx2.get(f"{address}/health").status_code == 200
        finally:
            other_was_answered.set()
            thread.join()
    assert [response.status_code for response in responses] == [200]


def collector() -> tuple[object, int]:
    return gc.get_threshold(), gc.get_freeze_count()


def test_an_embedded_application_leaves_the_garbage_collector_alone() -> None:
    before = collector()
    with client() as api, running() as address:
        assert api.get("/health").status_code == httpx2.get(f"{address}/health").status_code == 200
        assert collector() == before


def test_serving_tunes_the_garbage_collector(monkeypatch: pytest.MonkeyPatch) -> None:
    before, during = gc.get_threshold(), []
    monkeypatch.setattr(uvicorn.Server, "run", lambda *_: during.append(collector()))
    try:
        serve(Settings(port=0))
    finally:
        gc.unfreeze()
        gc.set_threshold(*before)
    ((threshold, frozen),) = during
    assert threshold == (50_000, 20, 20)
    assert frozen > 100_000  # what the application has loaded


@pytest.mark.skipif(sys.platform == "win32", reason="a terminal of this kind is of Unix")
def test_on_a_terminal_the_address_is_one_plain_line() -> None:
    import pty  # noqa: PLC0415  (Unix only)

    ours, theirs = pty.openpty()
    command = [sys.executable, "-c", "from hitchworth.cli import main; main()", "serve", "--port", "0"]
    with subprocess.Popen(command, stderr=theirs, stdout=subprocess.DEVNULL) as server:
        os.close(theirs)
        try:
            first = ""
            while first.count("\n") < 2:
                first += os.read(ours, 1000).decode()
        finally:
            server.terminate()
        os.close(ours)
    said = re.match(r"Serving on (http://127\.0\.0\.1:\d+), until Ctrl\+C\.\r\n", first)
    assert said
    assert first.endswith(f"\r\nA page for people, to open in a browser: {said[1]}/\r\n")
