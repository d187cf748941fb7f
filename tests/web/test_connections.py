"""The bounds of connections: how many there are, and how large and how slow the head of a request may be."""

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic, sleep
from urllib.parse import urlsplit

import httpx2
import pytest

from hitchworth.operations.settings import Settings
from hitchworth.web.connections import MAX_HEAD_BYTES
from hitchworth.web.server import running


@contextmanager
def connected(**settings: object) -> Iterator[tuple[socket.socket, str]]:
    """A raw connection to a server, which answers others afterwards."""
    with running(Settings(**{"port": 0, "access_log": False} | settings)) as address:  # type: ignore[arg-type]
        parts = urlsplit(address)
        with socket.create_connection((parts.hostname or "", parts.port or 0), timeout=20) as raw:
            yield raw, address
        assert httpx2.get(f"{address}/health").status_code == 200


def received(raw: socket.socket) -> bytes:
    """What is sent until the connection is closed."""
    pieces = []
    while piece := raw.recv(65_536):
        pieces.append(piece)
    return b"".join(pieces)


def send_until_refused(raw: socket.socket, piece: bytes, most: int) -> int:
    sent = 0
    try:
        while sent < most:
            raw.sendall(piece)
            sent += len(piece)
    except OSError:
        pass
    return sent


BEGUN = b"GET /health HTTP/1.1\r\nHost: localhost\r\nX-Long: "


def test_a_head_that_is_too_large_is_refused_before_all_of_it_has_come() -> None:
    with connected() as (raw, _):
        raw.sendall(BEGUN + b"a" * MAX_HEAD_BYTES)
        answer = received(raw)
    assert answer.startswith(b"HTTP/1.1 431 Request Header Fields Too Large\r\n")
    assert b"content-type: application/problem+json\r\n" in answer
    assert b'"type":"/problems/head-too-large"' in answer


@pytest.mark.parametrize(
    "head",
    [BEGUN + b"a" * MAX_HEAD_BYTES, b"GET /health?" + b"a" * MAX_HEAD_BYTES + b" HTTP/1.1\r\nHost: localhost"],
    ids=["header", "address"],
)
def test_a_head_that_is_too_large_is_refused_also_where_all_of_it_has_come(head: bytes) -> None:
    with connected() as (raw, _):
        raw.sendall(head + b"\r\nContent-Length: 2\r\n\r\n{}GET /health HTTP/1.1\r\nHost: localhost\r\n\r\n")
        answer = received(raw)
    assert answer.startswith(b"HTTP/1.1 431 ")
    assert answer.count(b"HTTP/1.1 ") == 1


def test_a_large_head_is_read_below_the_limit() -> None:
    with connected() as (raw, _):
        raw.sendall(BEGUN + b"a" * (MAX_HEAD_BYTES - 1000) + b"\r\nConnection: close\r\n\r\n")
        assert received(raw).startswith(b"HTTP/1.1 200 ")


@pytest.mark.parametrize("piece", [b"a" * 50_000, b"b: c\r\n" * 8_000], ids=["one header", "many"])
def test_what_follows_a_body_is_bounded_as_well(piece: bytes) -> None:
    head = b"POST /v1/estimates HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n1\r\n{\r\n0\r\nx: "
    with connected() as (raw, _):
        raw.sendall(head)
        assert send_until_refused(raw, piece, 50_000_000) < 50_000_000


def test_bodies_in_many_small_pieces_are_no_head() -> None:
    body = b'{"build":{"name":"a","currency":"USD"}}' + b" " * 20_000
    with connected() as (_, address):
        answer = httpx2.post(f"{address}/v1/estimates", content=(bytes([byte]) for byte in body))
        assert answer.status_code == 200


@pytest.mark.parametrize("sent", [b"", b"\r\n", BEGUN], ids=["nothing", "an empty line", "a part"])
def test_a_head_that_is_too_slow_is_refused(sent: bytes) -> None:
    with connected(head_seconds=0.3) as (raw, _):
        began = monotonic()
        raw.sendall(sent)
        answer = received(raw)
        assert monotonic() - began < 15
    assert answer.startswith(b"HTTP/1.1 408 ")
    assert b'"type":"/problems/head-too-slow"' in answer


def test_the_next_head_has_its_own_time() -> None:
    whole = b"GET /health HTTP/1.1\r\nHost: localhost\r\n\r\n"
    with connected(head_seconds=0.5) as (raw, _):
        raw.sendall(whole)
        assert raw.recv(65_536).startswith(b"HTTP/1.1 200 ")
        raw.sendall(whole[:20])
        assert b"HTTP/1.1 408 " in received(raw)


def test_more_connections_than_allowed_are_refused() -> None:
    with connected(max_connections=2) as (raw, address):
        parts = urlsplit(address)
        at = parts.hostname or "", parts.port or 0
        with socket.create_connection(at) as second, socket.create_connection(at, timeout=20) as third:
            answer = received(third)
            second.sendall(b"GET /health HTTP/1.1\r\nHost: localhost\r\n\r\n")
            assert second.recv(100).startswith(b"HTTP/1.1 200 ")
        raw.close()
    assert answer.startswith(b"HTTP/1.1 503 ")
    assert b"retry-after: 1\r\n" in answer
    assert b'"type":"/problems/overloaded"' in answer


def test_what_is_no_http_is_a_problem() -> None:
    with connected() as (raw, _):
        raw.sendall(b"no HTTP\r\n\r\n")
        assert b'"type":"/problems/bad-request"' in received(raw)


ASKING = b'{"build":{"name":"a","currency":"USD"}}'
OFFER = b"Connection: Upgrade, HTTP2-Settings\r\nUpgrade: h2c\r\nHTTP2-Settings: AAEAAEAAAAIAAAAB\r\n"
"""What Java's HTTP client sends of itself with each request over an open connection (RFC 7540, 3.2)."""


def posted(body: str, *fields: bytes) -> bytes:
    """A head with an offer to go over to HTTP/2, and a body."""
    head = (
        b"POST /v1/estimates HTTP/1.1\r\nHost: localhost\r\n" + OFFER + b"Content-Type: application/json\r\n",
        *fields,
    )
    return b"".join(head) + body.encode()


LENGTH = b"Content-Length: %d\r\n\r\n" % len(ASKING)
CHUNKED = b"Transfer-Encoding: chunked\r\n\r\n"


@pytest.mark.parametrize(
    "sent",
    [
        [posted(ASKING.decode(), LENGTH)],
        [posted("", LENGTH), ASKING],
        [posted("", LENGTH)[:150], posted("", LENGTH)[150:], ASKING[:9], ASKING[9:]],
        [posted(f"{len(ASKING):x}\r\n{ASKING.decode()}\r\n0\r\n\r\n", CHUNKED)],
    ],
    ids=["at once", "head and body", "in pieces", "chunked"],
)
def test_an_offer_of_another_protocol_is_ignored(sent: list[bytes]) -> None:
    with connected() as (raw, _):
        for piece in sent:
            raw.sendall(piece)
            sleep(0.05)
        answer = raw.recv(65_536)
        assert answer.startswith(b"HTTP/1.1 200 ")
        assert b'"actual_cash_value"' in answer
        raw.sendall(BEGUN + b"a\r\nConnection: close\r\n\r\n")  # the connection goes on
        assert received(raw).startswith(b"HTTP/1.1 200 ")


def test_requests_after_an_offer_that_came_with_it() -> None:
    with connected() as (raw, _):
        raw.sendall(posted(ASKING.decode(), LENGTH) * 3 + BEGUN + b"a\r\nConnection: close\r\n\r\n")
        assert received(raw).count(b"HTTP/1.1 200 ") == 4


def test_an_offer_without_a_body_is_answered() -> None:
    with connected() as (raw, _):
        raw.sendall(BEGUN + b"a\r\n" + OFFER + b"\r\n" + BEGUN + b"a\r\nConnection: close\r\n\r\n")
        assert received(raw).count(b"HTTP/1.1 200 ") == 2


def test_the_head_of_an_offer_has_its_limits() -> None:
    with connected(head_seconds=0.5) as (raw, _):
        raw.sendall(BEGUN + b"a\r\n" + OFFER)
        assert received(raw).startswith(b"HTTP/1.1 408 ")
    with connected() as (raw, _):
        raw.sendall(BEGUN + b"a\r\n" + OFFER + b"X: " + b"a" * MAX_HEAD_BYTES)
        assert received(raw).startswith(b"HTTP/1.1 431 ")


def test_a_tunnel_is_refused() -> None:
    with connected() as (raw, _):
        raw.sendall(b"CONNECT localhost:1 HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert received(raw).startswith(b"HTTP/1.1 400 ")
