"""Batches through the client: iterator in, iterator out, with the real server and with one that is played."""

from collections.abc import AsyncIterator, Iterator
from datetime import date
from itertools import islice

import httpx2
import pytest
from msgspec import json

from hitchworth.web.server import running
from hitchworth_sdk import (
    AsyncClient,
    BatchAnswer,
    Build,
    Client,
    Estimate,
    EstimateRequest,
    GapRequest,
    TransportError,
    UnexpectedResponse,
)
from sdk_exchanges import PlayedServer

DAY = date(2026, 6, 1)


@pytest.fixture(scope="module")
def api() -> Iterator[Client]:
    with running() as address, Client(address) as connected:
        yield connected


def request(number: int) -> EstimateRequest:
    return EstimateRequest(build=Build(name=f"Camper {number} {'x' * 150}", currency="USD"), as_of=DAY)


def test_answers_in_their_order_with_the_progress(api: Client) -> None:
    told: list[int] = []
    found = list(api.create_estimate_batch((request(number) for number in range(1000)), progress=told.append))
    assert [each.line for each in found] == list(range(1, 1001))
    single = api.create_estimate(request(0))
    assert all(each.answer == single for each in found)
    assert told[-1] == 1000
    assert len(told) > 2  # pieces of 64 kB


def test_a_wrong_request_is_a_problem_in_its_place(api: Client) -> None:
    lines: list[GapRequest | bytes] = [
        GapRequest(build=Build(name="a", currency="USD"), as_of=DAY),
        GapRequest(build=Build(name="b", currency="XXQ"), as_of=DAY),
        b"",
        b'{"id": "mine",\n "build": {"name": "c", "currency": "USD"}}',
    ]
    good, wrong, empty, mine = api.create_gap_statement_batch(lines)
    assert good.answer is not None
    assert good.answer.estimate.currency == "USD"
    assert good.problem is None
    assert (wrong.line, wrong.answer) == (2, None)
    assert wrong.problem is not None
    assert wrong.problem.errors[0].pointer == "/build/currency"
    assert empty.problem is not None
    assert (empty.line, empty.problem.status) == (3, 422)
    assert (mine.line, mine.id, mine.problem) == (4, "mine", None)


def test_no_more_is_taken_than_is_sent(api: Client) -> None:
    taken: list[int] = []

    def endless() -> Iterator[EstimateRequest]:
        while True:
            taken.append(len(taken))
            yield request(len(taken))

    assert [each.line for each in islice(api.create_estimate_batch(endless()), 3)] == [1, 2, 3]
    assert len(taken) < 1000
    assert list(api.create_estimate_batch([])) == []


def test_a_request_larger_than_a_piece_is_sent_alone(api: Client) -> None:
    large = b'{"build": {"name": "a", "currency": "USD"}' + b" " * 100_000 + b"}"
    assert [each.line for each in api.create_estimate_batch([request(1), large, request(2)])] == [1, 2, 3]


class BreakingTransport(httpx2.BaseTransport):
    """Carries so many requests to the real server, and no more."""

    def __init__(self, requests: int) -> None:
        self._left = requests
        self._carrier = httpx2.HTTPTransport()

    def handle_request(self, request: httpx2.Request) -> httpx2.Response:
        if not self._left:
            raise httpx2.ReadError("broken off", request=request)
        self._left -= 1
        return self._carrier.handle_request(request)

    def close(self) -> None:
        self._carrier.close()


def test_a_batch_that_was_broken_off_goes_on_after_its_last_answer(api: Client) -> None:
    requests = [request(number) for number in range(1000)]
    requests[700] = EstimateRequest(build=Build(name="x", currency="XXQ"))
    found: list[BatchAnswer[Estimate]] = []
    breaking = Client(str(api._route.server), retries=0, transport=BreakingTransport(2))
    with breaking, pytest.raises(TransportError):
        found.extend(breaking.create_estimate_batch(requests))
    assert 0 < len(found) < 700
    last = found[-1].line
    found.extend(api.create_estimate_batch(requests[last:], first_line=last + 1))
    assert [each.line for each in found] == list(range(1, 1001))
    assert [each.line for each in found if each.problem is not None] == [701]
    problem = found[700].problem
    assert problem is not None
    assert problem.instance.endswith("/lines/701")


def test_a_table_comes_in_pieces_that_follow_one_another(api: Client) -> None:
    """The names of the columns come once, before line 1."""
    lines = [json.encode(request(number)) for number in range(1000)]
    asked = {"format": "csv", "table_locale": "de-DE"}
    whole = httpx2.post(f"{api._route.server}/v1/estimates/batch", params=asked, content=b"\n".join(lines)).content
    told: list[int] = []
    in_table = api.raw(api.create_estimate_batch, "text/csv", table_locale="de-DE")
    found = [each.content for each in in_table(lines, progress=told.append)]
    assert b"".join(found) == whole
    assert len(found) == len(told) > 2
    rest = in_table(lines[told[0] :], first_line=told[0] + 1)
    assert b"".join(each.content for each in rest) == b"".join(found[1:])
    assert [*in_table([])] == []


def test_the_lines_themselves_come_in_pieces(api: Client) -> None:
    lines = b"".join(each.content for each in api.raw(api.create_gap_statement_batch)([b"{", b"", b"[]"]))
    assert [json.decode(line)["line"] for line in lines.splitlines()] == [1, 2, 3]


@pytest.mark.anyio
@pytest.mark.parametrize("anyio_backend", ["asyncio"])
async def test_the_asynchronous_client_has_the_same_table(anyio_backend: str, api: Client) -> None:
    requests = [request(number) for number in range(500)]

    async def arriving() -> AsyncIterator[EstimateRequest]:
        for each in requests:
            yield each

    blocking = b"".join(each.content for each in api.raw(api.create_estimate_batch, "text/csv")(requests))
    async with AsyncClient(str(api._route.server)) as client:
        pieces = client.raw(client.create_estimate_batch, "text/csv")(arriving())
        assert b"".join([each.content async for each in pieces]) == blocking
        rest = client.create_estimate_batch(requests[400:], first_line=401)
        assert [each.line async for each in rest] == list(range(401, 501))


@pytest.mark.parametrize("content", [b"line,id\r\n1,\r\n", b"line,id\r\n", b""])
def test_a_table_that_is_cut_short(content: bytes) -> None:
    cut = httpx2.Response(200, content=content, headers={"content-type": "text/csv; charset=utf-8"})
    with PlayedServer(cut).client() as played, pytest.raises(UnexpectedResponse, match="to 2 requests"):
        list(played.raw(played.create_estimate_batch, "text/csv")([request(1), request(2)]))


def answer(content: bytes, status: int = 200) -> httpx2.Response:
    return httpx2.Response(status, content=content, headers={"content-type": "application/x-ndjson"})


@pytest.mark.parametrize("content", [b"", b'{"line": 1}\n', b"no JSON\n", b'{"line":1,"id":null,"estimate":1}\n'])
def test_an_answer_that_is_none(content: bytes) -> None:
    with PlayedServer(answer(content)).client() as played, pytest.raises(UnexpectedResponse):
        list(played.create_estimate_batch([request(1)]))


def test_a_piece_is_sent_again_when_no_answer_came() -> None:
    line = b'{"line":1,"id":null,"problem":{"status":422}}\n'
    server = PlayedServer(httpx2.ConnectError("broken"), answer(line))
    with server.client() as played:
        (found,) = played.create_estimate_batch([request(1)], retries=1)
    assert found.problem is not None
    assert [each.headers["content-type"] for each in server.requests] == ["application/x-ndjson"] * 2
