"""What goes over the wire and how long it may take: deadlines, HTTP clients of one's own, closed clients, headers."""

import time
from collections.abc import Iterator
from pathlib import Path

import httpx2
import pytest

from hitchworth_sdk import (
    Build,
    Client,
    ClientClosedError,
    ConfigurationError,
    EstimateRequest,
    HitchworthError,
    Response,
    ResponseTimeoutError,
    UnreadableFile,
)
from hitchworth_sdk._timing import Timing, timing_of
from sdk_exchanges import PlayedServer, healthy, problem


class Trickle(httpx2.SyncByteStream):
    """An answer that comes byte by byte, for ever, each before a silence would be too long."""

    def __init__(self) -> None:
        self.sent = 0

    def __iter__(self) -> Iterator[bytes]:
        while True:
            self.sent += 1
            yield b" "
            time.sleep(0.02)


def test_a_deadline_ends_an_answer_that_trickles_in() -> None:
    """No silence is longer than the timeout, so that alone would wait for ever."""
    trickle = Trickle()

    def answer(request: httpx2.Request) -> httpx2.Response:
        return httpx2.Response(200, stream=trickle)

    began = time.monotonic()
    with (
        Client("http://server.test", timeout=30, transport=httpx2.MockTransport(answer)) as client,
        pytest.raises(ResponseTimeoutError, match=r"before the deadline of 0\.2 s"),
    ):
        client.get_health(deadline=0.2)
    assert 0.2 <= time.monotonic() - began < 2
    time.sleep(0.1)
    seen = trickle.sent
    time.sleep(0.2)
    assert trickle.sent == seen  # nobody reads on


def test_a_deadline_counts_what_is_sent_again() -> None:
    """A pause that ends after the deadline is not begun: what came is raised at once."""
    server = PlayedServer(problem(503, headers={"Retry-After": "30"}), healthy())
    began = time.monotonic()
    with server.client() as client, pytest.raises(HitchworthError, match="503"):
        client.get_health(deadline=5)
    assert time.monotonic() - began < 2
    assert len(server.requests) == 1


def test_a_silence_may_last_to_the_deadline_at_most() -> None:
    """By hand: 30 s of silence are allowed, 12 s remain of a deadline of 20 s after 8 s."""
    timing = timing_of(30, 20, now=100)
    assert timing.silence(now=108) == 12
    assert timing.silence(now=121) == 0.001
    assert timing_of(5, 20, now=100).silence(now=108) == 5
    assert Timing(30).silence(now=10**9) == 30
    assert timing.allows(11.9, now=108)
    assert not timing.allows(12, now=108)
    assert Timing(30).allows(10**9, now=0)


@pytest.mark.parametrize("deadline", [0, -1, float("nan"), float("inf")])
def test_a_deadline_is_checked(deadline: float) -> None:
    with pytest.raises(ConfigurationError, match="a deadline is a number of seconds above zero"):
        Client("http://server.test", deadline=deadline)


def test_an_error_in_a_call_with_a_deadline_is_that_without_one() -> None:
    with (
        PlayedServer(healthy()).client() as client,
        pytest.raises(UnreadableFile),
    ):
        client.add_evidence("b", Path("/not/there.jpg"), deadline=5)


def test_an_http_client_of_ones_own_carries_the_requests() -> None:
    """With its certificates, proxies and limits; who made it closes it."""
    server = PlayedServer(healthy())
    with httpx2.Client(transport=httpx2.MockTransport(server), headers={"X-Shop": "a"}) as mine:
        with Client("http://server.test", http_client=mine, timeout=3) as client:
            assert client.get_health().status == "ok"
        assert not mine.is_closed
        with pytest.raises(ClientClosedError):
            client.get_health()
        assert mine.get("http://server.test/health").status_code == 200
    assert server.requests[0].headers["X-Shop"] == "a"
    assert server.requests[0].extensions["timeout"]["read"] == 3


def test_a_closed_client_says_so() -> None:
    server = PlayedServer(healthy())
    client = server.client()
    client.close()
    client.close()
    with pytest.raises(ClientClosedError, match="the client is closed"):
        client.get_health()
    mine = httpx2.Client(transport=httpx2.MockTransport(server))
    client = Client("http://server.test", http_client=mine)
    mine.close()
    with pytest.raises(ClientClosedError):
        client.get_health()
    assert server.requests == []


def test_every_answer_of_a_call_is_handed_out() -> None:
    """Those before a retry too; and each call has its own, whatever other threads do."""
    server = PlayedServer(
        problem(503, headers={"Retry-After": "0", "X-Request-Id": "one"}),
        httpx2.Response(200, json={"status": "ok", "version": "1"}, headers={"X-Request-Id": "two", "ETag": '"a"'}),
    )
    answers: list[Response] = []
    with server.client() as client:
        assert client.get_health(on_response=answers.append).status == "ok"
    assert [(each.status, each.request_id) for each in answers] == [(503, "one"), (200, "two")]
    assert answers[1].headers["etag"] == '"a"'
    assert answers[1].content == b'{"status":"ok","version":"1"}'
    assert (answers[1].media_type, answers[1].text) == ("application/json", answers[1].content.decode())


@pytest.mark.parametrize(
    "headers", [{"X-Shop": "Caf\xe9"}, {"X-Shop": "a\r\nX-Other: b"}, {"X Shop": "a"}, {"": "a"}, {"X-Shop": " a"}]
)
def test_a_header_that_http_does_not_allow_is_told_before_anything_is_sent(headers: dict[str, str]) -> None:
    """RFC 9110, section 5.5; and the value, which may be a secret, is not in the message."""
    server = PlayedServer(healthy())
    with pytest.raises(ConfigurationError, match="has a character that HTTP does not allow") as caught:
        server.client(headers=headers)
    assert "Caf" not in str(caught.value)
    with server.client() as client, pytest.raises(ConfigurationError):
        client.get_health(headers=headers)
    assert server.requests == []


def test_a_request_that_is_none_is_told_before_anything_is_sent() -> None:
    server = PlayedServer(healthy())
    wrong = EstimateRequest(build=Build(name="Camper", currency="USD", facts={"width_m": object()}))  # type: ignore[dict-item]
    with server.client() as client, pytest.raises(ConfigurationError, match="cannot be written as JSON"):
        client.create_estimate(wrong)
    assert server.requests == []


def test_a_file_that_cannot_be_read_is_in_the_family(tmp_path: Path) -> None:
    server = PlayedServer(healthy())
    with server.client() as client, pytest.raises(HitchworthError) as caught:
        client.add_evidence("b", tmp_path)
    assert isinstance(caught.value, OSError)
    assert caught.value.filename == str(tmp_path)
    assert server.requests == []
