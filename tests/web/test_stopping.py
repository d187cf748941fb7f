"""How a server stops: it says that it is about to, finishes what is in work for a limited time, and is gone."""

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Thread
from time import monotonic, sleep

import httpx2
import pytest

from hitchworth.operations.settings import Settings
from hitchworth.web.server import _KILL_AFTER
from web_server import JSON, assert_problem, example

SLOW = """
import time, sys
from datetime import date
from hitchworth.operations import requests

def today():
    print("at work", flush=True)
    time.sleep(float(sys.argv[1]))
    return date(2026, 11, 1)

requests.today = today
from hitchworth.cli import main
from hitchworth.operations import readiness
readiness.load_reference_data = lambda: None
from hitchworth.web import app, service
app.load_reference_data = service.load_reference_data = lambda: None
main(["serve", "--port", "0", "--workers", "0", *sys.argv[2].split()])
"""
"""A server whose next gap statement takes as many seconds as are given."""


@contextmanager
def slow_server(seconds: float, options: str = "") -> Iterator[tuple[str, subprocess.Popen[str]]]:
    command = [sys.executable, "-c", SLOW, str(seconds), options]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as server:
        try:
            assert server.stderr is not None
            address = re.search(r"Serving on (\S+),", server.stderr.readline())
            assert address
            wait_until_up(address[1])
            yield address[1], server
        finally:
            if server.poll() is None:
                server.kill()


def wait_until_up(address: str) -> None:
    give_up = monotonic() + 20
    while monotonic() < give_up:
        try:
            httpx2.get(f"{address}/health")
        except httpx2.TransportError:
            sleep(0.05)
        else:
            return
    raise AssertionError("the server does not answer")


@contextmanager
def one_request(address: str, server: "subprocess.Popen[str]") -> Iterator[list[httpx2.Response | None]]:
    """A gap statement in work meanwhile; afterwards its answer, None where the connection was cut off."""
    answers: list[httpx2.Response | None] = []

    def post() -> None:
        try:
            body = example("gap-statement")
            answers.append(httpx2.post(f"{address}/v1/gap-statements", content=body, headers=JSON, timeout=60))
        except httpx2.TransportError:
            answers.append(None)

    thread = Thread(target=post)
    thread.start()
    assert server.stdout is not None
    assert server.stdout.readline() == "at work\n"
    yield answers
    thread.join(30)


def refused(address: str) -> bool:
    try:
        httpx2.get(f"{address}/health")
    except httpx2.TransportError:
        return True
    return False


def test_what_is_in_work_is_finished_and_nothing_new_begun() -> None:
    with slow_server(1.5) as (address, server):
        with one_request(address, server) as answers:
            server.send_signal(signal.SIGTERM)
            sleep(0.5)
            assert refused(address)
            assert server.poll() is None
        (answer,) = answers
        assert answer is not None
        assert answer.status_code == 200
        assert server.wait(10) == -signal.SIGTERM


@pytest.mark.parametrize(("sent", "code"), [(signal.SIGTERM, -signal.SIGTERM), (signal.SIGINT, 1)])
def test_what_takes_too_long_is_cut_off_and_the_process_is_gone(sent: signal.Signals, code: int) -> None:
    with slow_server(60, "--stop-seconds 1") as (address, server):
        with one_request(address, server) as answers:
            started = monotonic()
            server.send_signal(sent)
            assert server.wait(20) == code
            assert monotonic() - started < 1 + _KILL_AFTER + 5
        (answer,) = answers
        assert_problem(answer, 503, "not-ready")
        assert server.stderr is not None
        assert ("a request was still in work" in server.stderr.read()) == (code == 1)


def test_while_it_drains_it_answers_but_is_not_ready() -> None:
    with slow_server(0, "--drain-seconds 1.5") as (address, server):
        assert httpx2.get(f"{address}/ready").json() == {"status": "ready"}
        server.send_signal(signal.SIGTERM)
        sleep(0.4)
        not_ready = httpx2.get(f"{address}/ready")
        assert_problem(not_ready, 503, "not-ready")
        assert "about to stop" in not_ready.json()["detail"]
        assert not_ready.headers["retry-after"]
        assert httpx2.get(f"{address}/health").status_code == 200
        assert httpx2.post(f"{address}/v1/estimates", content=example("estimate"), headers=JSON).status_code == 200
        assert server.wait(15) == -signal.SIGTERM


def test_a_second_signal_ends_the_drain() -> None:
    with slow_server(0, "--drain-seconds 60") as (address, server):
        server.send_signal(signal.SIGTERM)
        sleep(0.3)
        assert not refused(address)
        server.send_signal(signal.SIGTERM)
        assert server.wait(15) == -signal.SIGTERM


@pytest.mark.parametrize(
    ("environment", "told"),
    [
        ({"HITCHWORTH_PORT": "x", "HITCHWORTH_LOG_LEVEL": "loud"}, ("HITCHWORTH_PORT", "HITCHWORTH_LOG_LEVEL")),
        ({"HITCHWORTH_PROT": "80"}, ("HITCHWORTH_PROT", "HITCHWORTH_PORT")),
    ],
)
def test_it_does_not_start_with_settings_that_have_faults(environment: dict[str, str], told: tuple[str, ...]) -> None:
    command = [sys.executable, "-c", "import sys; from hitchworth.cli import main; sys.exit(main(['serve']))"]
    run = subprocess.run(command, env=os.environ | environment, capture_output=True, text=True, timeout=60, check=False)
    assert run.returncode == 2
    assert "Traceback" not in run.stderr
    assert all(name in run.stderr for name in told)


def test_the_default_is_to_stop_at_once() -> None:
    assert Settings().drain_seconds == 0
