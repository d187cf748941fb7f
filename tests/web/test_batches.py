"""Batches: a line in, a line out, in order, while the next lines still arrive; a wrong line has its own problem."""

import csv
import json
import socket
import tracemalloc
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection, HTTPResponse, IncompleteRead
from pathlib import Path
from threading import Event, Thread
from time import monotonic, sleep
from typing import Any
from urllib.parse import urlsplit

import httpx2
import msgspec
import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.demo import demo_body
from hitchworth.operations import batches
from hitchworth.operations.settings import Settings
from hitchworth.web.server import running
from kept_access import access, bearer
from served import served
from web_server import JSON, assert_problem, client, example

Api = TestClient[Litestar]
ESTIMATES, GAP_STATEMENTS = "/v1/estimates/batch", "/v1/gap-statements/batch"
NDJSON = {"content-type": "application/x-ndjson"}


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as served:
        yield served


def line(identity: Any, body: bytes) -> bytes:
    return msgspec.json.encode({"id": identity} | msgspec.json.decode(body)) + b"\n"


def small(identity: Any = "a", name: str = "x") -> bytes:
    return line(identity, msgspec.json.encode({"build": {"name": name, "currency": "USD"}, "as_of": "2026-06-01"}))


def answers(response: Any) -> list[dict[str, Any]]:
    assert (response.status_code, response.headers["content-type"]) == (200, "application/x-ndjson"), response.text
    return [json.loads(each) for each in response.content.splitlines()]


@pytest.mark.parametrize(
    ("path", "single", "name", "body"),
    [
        (ESTIMATES, "/v1/estimates", "estimate", example("estimate")),
        (GAP_STATEMENTS, "/v1/gap-statements", "gap_statement", demo_body()),
    ],
)
def test_a_line_has_the_answer_of_the_single_request_to_the_byte(
    api: Api, path: str, single: str, name: str, body: bytes
) -> None:
    expected = api.post(single, content=body, headers=JSON).content
    response = api.post(path, content=line("first", body) + line(2, body) + line(None, body), headers=NDJSON)
    assert response.headers["x-request-id"]
    found = response.content.splitlines(keepends=True)
    assert found == [
        b'{"line":%d,"id":%s,"%s":%s}\n' % (number, identity, name.encode(), expected)
        for number, identity in ((1, b'"first"'), (2, b"2"), (3, b"null"))
    ]


def test_a_wrong_line_has_its_own_problem_and_the_others_their_answers(api: Api) -> None:
    lines = [
        small("a"),
        b'{"id": "b", "build": {"name": "x", "currency": "XXQ"}}\r\n',
        b"no JSON\n",
        b"\n",
        b'{"id": "c", "build": {"name": "x", "cur\n',
        b"[]\n",
        b'{"id": {"x": 1}, "build": {"name": "x", "currency": "USD"}}\n',
        b'{"id": "\xff"}\n',
        b'{"id": "alone", "name": "a build alone", "currency": "USD"}\n',
        small("last").rstrip(),
    ]
    response = api.post(ESTIMATES, content=b"".join(lines), headers=NDJSON)
    found = answers(response)
    assert [each["line"] for each in found] == [1, 2, 3, 5, 6, 7, 8, 9, 10]
    assert [each["id"] for each in found] == ["a", "b", None, None, None, None, None, "alone", "last"]
    assert ["estimate" in each for each in found] == [True, *[False] * 6, True, True]
    problems = [each["problem"] for each in found if "problem" in each]
    assert [problem["type"].rpartition("/")[2] for problem in problems] == [
        *("invalid-input", "malformed-body", "malformed-body", "invalid-input", "invalid-input", "invalid-input"),
    ]
    assert problems[0]["errors"][0]["pointer"] == "/build/currency"
    assert problems[4]["errors"][0]["pointer"] == "/id"
    for number, problem in zip((2, 3, 5, 6, 7, 8), problems, strict=True):
        assert problem["instance"] == f"/requests/{response.headers['x-request-id']}/lines/{number}"
        assert problem["detail"].startswith("The line ")


@pytest.mark.parametrize("content", [b"", b"\n", b" \r\n\n"])
def test_a_body_without_a_line(api: Api, content: bytes) -> None:
    assert_problem(api.post(ESTIMATES, content=content, headers=NDJSON), 400, "malformed-body")
    in_body = api.post(f"{ESTIMATES}?faults=in-body", content=content, headers=NDJSON)
    assert (in_body.status_code, in_body.json()["status"]) == (200, 400)


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),
        ({"content-type": "application/json"}, 200),
        ({"content-type": "application/x-www-form-urlencoded"}, 200),
        ({"content-type": "application/x-ndjson; charset=utf-8"}, 200),
        ({"content-type": "application/x-ndjson; charset=latin-1"}, 415),
        ({"content-type": "multipart/form-data; boundary=x"}, 415),
        ({"content-type": "application/x-ndjson", "content-encoding": "gzip"}, 415),
        ({"accept": "application/json"}, 406),
    ],
)
def test_how_the_body_may_be_named(api: Api, headers: dict[str, str], status: int) -> None:
    assert api.post(ESTIMATES, content=small(), headers=headers).status_code == status


def test_a_failure_of_the_server_is_that_of_one_line(api: Api, monkeypatch: pytest.MonkeyPatch) -> None:
    wrong = msgspec.structs.replace(batches._ESTIMATES, operation=lambda request: 1 // len(request.build.components))
    monkeypatch.setattr(batches, "_ESTIMATES", wrong)
    (found,) = answers(api.post(ESTIMATES, content=small(), headers=NDJSON))
    assert found["problem"]["type"] == "/problems/internal-error"


def test_a_batch_needs_what_the_single_request_needs_and_counts_as_one(tmp_path: Path) -> None:
    with access(tmp_path) as served:
        body = small() * 20
        assert_problem(served.api.post(ESTIMATES, content=body, headers=NDJSON), 401, "key-required")
        answered = served.api.post(ESTIMATES, content=body, headers=NDJSON | bearer(served.key("read")))
        assert len(answers(answered)) == 20
        limit = Settings().rate_limit
        assert answered.headers["ratelimit"].startswith(f'"default";r={limit - 1};')


def table(content: str) -> list[dict[str, str]]:
    return list(csv.DictReader(content.splitlines()))


def test_a_table_by_accept_or_by_format_in_the_locale_that_is_asked_for(api: Api) -> None:
    """In that of the source where none is asked for: each line has a locale of its own."""
    body = line("ä", b'{"build": {"name": "x", "currency": "EUR"}, "locale": "de-DE"}') + b"no JSON\n"
    by_accept = api.post(ESTIMATES, content=body, headers=NDJSON | {"accept": "text/csv", "x-request-id": "mine"})
    by_format = api.post(f"{ESTIMATES}?format=csv", content=body, headers=NDJSON | {"x-request-id": "mine"})
    assert by_accept.headers["content-type"] == by_format.headers["content-type"] == "text/csv; charset=utf-8"
    assert by_accept.headers["cache-control"] == "no-store"
    assert by_accept.content == by_format.content
    good, wrong = table(by_accept.text)
    assert (good["line"], good["id"], good["totals.replacement_cost"], good["problem.type"]) == ("1", "ä", "0.00", "")
    assert (wrong["line"], wrong["totals.replacement_cost"]) == ("2", "")
    assert (wrong["problem.status"], wrong["problem.instance"]) == ("400", "/requests/mine/lines/2")
    german = api.post(f"{ESTIMATES}?format=csv&table=answers&table_locale=de-DE", content=body)
    assert german.content.startswith(b"\xef\xbb\xbfline;id;as_of;")
    assert ";0,00;" in german.text


def test_what_is_wrong_before_the_first_line_is_no_table_unless_that_is_asked_for(api: Api) -> None:
    assert_problem(api.post(f"{ESTIMATES}?format=csv", content=b"\n"), 400, "malformed-body")
    told = api.post(f"{ESTIMATES}?format=csv&faults=in-body&table_locale=de-DE", content=b"\n")
    assert told.content.startswith(b"\xef\xbb\xbfproblem;pointer;")


@pytest.mark.parametrize(("path", "body"), [(ESTIMATES, example("estimate")), (GAP_STATEMENTS, demo_body())])
def test_a_batch_goes_on_where_it_was_broken_off(api: Api, path: str, body: bytes) -> None:
    """The rest with the number of its first line gives what was missing, to the byte; of a table, without names."""
    lines = [line(1, body), b"\n", b"no JSON\n", line(4, body)]
    for name, end in (("ndjson", b"\n"), ("csv", b"\r\n")):
        asked: dict[str, Any] = {"params": {"format": name}, "headers": {"x-request-id": "mine"}}
        whole = api.post(path, content=b"".join(lines), **asked).content
        asked["params"]["first_line"] = "3"
        rest = api.post(path, content=b"".join(lines[2:]), **asked).content
        assert rest.count(end) == 2
        assert whole.endswith(end + rest)


@pytest.mark.parametrize("number", ["0", "-1", "x", "1.5", "1000000000001"])
def test_a_first_line_that_is_no_number_of_a_line(api: Api, number: str) -> None:
    assert_problem(api.post(f"{ESTIMATES}?first_line={number}", content=small()), 400, "invalid-parameter")


def test_only_lines_have_a_first_one(api: Api) -> None:
    body = example("estimate")
    assert_problem(api.post("/v1/estimates?first_line=1", content=body), 400, "invalid-parameter")


@contextmanager
def connected(settings: Settings, query: str = "") -> Iterator[HTTPConnection]:
    """A connection to a real server, over which a chunked body is sent while its answers are read."""
    with running(settings) as address:
        with sending(address, query) as connection:
            yield connection
        assert httpx2.get(f"{address}/health").json()["status"] == "ok"


@contextmanager
def sending(address: str, query: str = "") -> Iterator[HTTPConnection]:
    connection = HTTPConnection(urlsplit(address).netloc, timeout=30)
    connection.putrequest("POST", ESTIMATES + query)
    connection.putheader("Transfer-Encoding", "chunked")
    connection.endheaders()
    try:
        yield connection
    finally:
        connection.close()


def send(connection: HTTPConnection, content: bytes) -> None:
    connection.send(b"%x\r\n%s\r\n" % (len(content), content))


def server_settings(**changed: Any) -> Settings:
    return Settings(port=0, access_log=False, **changed)


def next_answer(response: HTTPResponse) -> Any:
    return json.loads(response.readline())


def test_a_line_is_answered_before_the_next_is_sent() -> None:
    with connected(server_settings()) as connection:
        send(connection, small(1))
        response = connection.getresponse()
        assert next_answer(response)["id"] == 1
        half = len(small(2)) // 2
        send(connection, small(2)[:half])
        send(connection, small(2)[half:])
        assert next_answer(response)["id"] == 2
        send(connection, b"")
        assert response.read() == b""


def test_a_line_that_is_too_long_is_not_kept_and_the_next_is_answered() -> None:
    with connected(server_settings(max_body_bytes=100_000)) as connection:
        send(connection, small(1))
        response = connection.getresponse()
        assert next_answer(response)["id"] == 1
        for _ in range(110):  # 11 MB, which no line may have even by default
            send(connection, b" " * 100_000)
        send(connection, b"\n" + small(3))
        problem = next_answer(response)
        assert (problem["line"], problem["problem"]["status"]) == (2, 413)
        assert problem["problem"]["detail"] == "The line is longer than 100,000 bytes."
        assert next_answer(response)["line"] == 3


def test_a_body_that_comes_too_slowly_ends_with_a_problem() -> None:
    with connected(server_settings(receive_seconds=0.5)) as connection:
        send(connection, small(1) + b'{"id": 2')
        response = connection.getresponse()
        assert [next_answer(response)["line"], next_answer(response)["problem"]["status"]] == [1, 408]
        assert response.read() == b""


def test_a_row_comes_before_the_next_line_is_sent_and_what_stops_the_lines_is_one() -> None:
    """The names of the columns come with the first line; a line that is too long, and one that does not come."""
    with connected(server_settings(max_body_bytes=1_000, receive_seconds=0.5), "?format=csv") as connection:
        send(connection, small(1))
        response = connection.getresponse()
        names = response.readline()
        first = response.readline()
        send(connection, b" " * 2_000 + b"\n")
        second = response.readline()
        send(connection, b'{"id": 3')
        last = response.read()
    found = table((names + first + second + last).decode())
    assert [each["line"] for each in found] == ["1", "2", "3"]
    assert [each["problem.status"] for each in found] == ["", "413", "408"]
    assert last.count(b"\r\n") == 1


@pytest.mark.parametrize("name", ["ndjson", "csv"])
def test_a_server_that_ends_in_the_middle_leaves_an_answer_that_is_not_whole(name: str) -> None:
    """So that nobody takes it for the end; what came before is whole answers."""
    with served() as server, sending(server.address, f"?format={name}") as connection:
        send(connection, small(1) + small(2))
        response = connection.getresponse()
        began = [response.readline() for _ in range(3 if name == "csv" else 2)]
        assert all(each.endswith(b"\n") for each in began)
        server.process.kill()
        with pytest.raises((IncompleteRead, ConnectionResetError)):
            response.read()


def test_the_memory_of_a_server_does_not_grow_with_the_rows() -> None:
    """Lines that are no JSON are answered fastest. Even 1,000 are more than is received at once."""
    hundred = (b"no JSON" * 200 + b"\n") * 100
    peaks = []
    for count in (1_000, 1_000, 10_000):  # the first fills what is kept once
        with connected(server_settings(), "?format=csv") as connection:
            tracemalloc.start()
            try:
                sender = Thread(target=send_often, args=(connection, hundred, count // 100))
                sender.start()
                assert count_lines(connection.getresponse(), count) == count
                sender.join()
                peaks.append(tracemalloc.get_traced_memory()[1])
            finally:
                tracemalloc.stop()
    assert peaks[2] < peaks[1] + 1_000_000


def count_lines(response: HTTPResponse, enough: int) -> int:
    """Read until so many problems have come."""
    found = 0
    while found < enough:
        found += response.read1(64_000).count(b"The line is not JSON")
    return found


def test_a_first_line_that_comes_too_slowly_is_a_problem_of_the_request() -> None:
    with connected(server_settings(receive_seconds=0.5)) as connection:
        response = connection.getresponse()
        assert (response.status, json.loads(response.read())["type"]) == (408, "/problems/body-too-slow")


class Slow:
    """An estimate that takes a while, and counts."""

    def __init__(self, seconds: float) -> None:
        self.seconds, self.count, self.began = seconds, 0, Event()
        self._compute = batches._ESTIMATES.operation

    def __call__(self, request: Any) -> Any:
        self.count += 1
        self.began.set()
        sleep(self.seconds)
        return self._compute(request)


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> Slow:
    counted = Slow(0.02)
    monkeypatch.setattr(batches, "_ESTIMATES", msgspec.structs.replace(batches._ESTIMATES, operation=counted))
    return counted


@pytest.mark.parametrize("is_whole", [True, False])
def test_a_client_that_goes_away_ends_the_work(slow: Slow, is_whole: bool) -> None:
    with running(server_settings()) as address:
        host, port = urlsplit(address).netloc.split(":")
        body = small() * 500
        length = len(body) if is_whole else len(body) + 1
        with socket.create_connection((host, int(port))) as raw:
            head = f"POST {ESTIMATES} HTTP/1.1\r\nHost: {host}\r\nContent-Length: {length}\r\n\r\n"
            raw.sendall(head.encode() + body)
            assert slow.began.wait(10)
        sleep(0.5)
        seen = slow.count
        sleep(0.5)
        assert slow.count <= seen + 1 < 400
        assert httpx2.get(f"{address}/health").json()["status"] == "ok"


def send_often(connection: HTTPConnection, content: bytes, times: int) -> None:
    for _ in range(times):
        send(connection, content)


def test_a_client_that_does_not_read_is_not_worked_for(slow: Slow) -> None:
    slow.seconds = 0
    part = {"category": "stove", "quantity": 1, "unit_cost": "1.00", "acquired_on": "2025-01-01", "description": "x"}
    build = {"name": "x", "currency": "USD", "components": [part | {"id": f"{number}"} for number in range(200)]}
    large = line("a", msgspec.json.encode({"build": build, "as_of": "2026-06-01"}))
    with connected(server_settings()) as connection:
        assert connection.sock is not None
        connection.sock.settimeout(2)
        began = monotonic()
        with pytest.raises(TimeoutError):  # the buffers between the two are full: some megabytes
            send_often(connection, large, 3000)
        assert monotonic() - began > 1
        seen = slow.count
        sleep(0.5)
        assert slow.count <= seen + 1 < 3000
