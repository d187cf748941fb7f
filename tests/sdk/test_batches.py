"""Batches through the client: iterator in, iterator out, with the real server and with one that is played."""

from collections.abc import Iterator
from datetime import date
from itertools import islice

import httpx2
import pytest

from hitchworth.web.server import running
from hitchworth_sdk import Build, Client, EstimateRequest, GapRequest, UnexpectedResponse
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
