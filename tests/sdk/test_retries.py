"""When a request is sent again, and how long the client waits first."""

from datetime import UTC, datetime, timedelta
from email.utils import format_datetime

import httpx2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth_sdk import (
    ApiError,
    BadRequest,
    Build,
    EstimateRequest,
    ServerError,
    TooManyRequests,
    TransportError,
    _sending,
)
from hitchworth_sdk._exchange import Operation
from hitchworth_sdk._messages import Response
from hitchworth_sdk._retry import FIRST_PAUSE, LONGEST_PAUSE, backoff, pause_before_retry
from sdk_exchanges import PlayedServer, healthy, problem


@pytest.fixture
def pauses(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The pauses that the client makes, none of them slept."""
    made: list[float] = []
    monkeypatch.setattr(_sending, "sleep", made.append)
    return made


def response(status: int, retry_after: str | None = None, received_at: datetime | None = None) -> Response:
    headers = httpx2.Headers({} if retry_after is None else {"Retry-After": retry_after})
    return Response(status, headers, b"", received_at or datetime(2026, 3, 1, tzinfo=UTC), "id")


@pytest.mark.parametrize(
    "play", [problem(429), problem(502), problem(503), problem(504), httpx2.ConnectError("x"), httpx2.ReadTimeout("x")]
)
def test_a_request_to_a_busy_or_silent_server_is_retried(
    play: httpx2.Response | Exception, pauses: list[float]
) -> None:
    server = PlayedServer(play, play, healthy())
    with server.client() as asking:
        assert asking.get_health().status == "ok"
    assert len(server.requests) == 3
    assert len({request.headers["X-Request-Id"] for request in server.requests}) == 1
    assert 0 < pauses[0] <= FIRST_PAUSE
    assert FIRST_PAUSE <= pauses[1] <= 2 * FIRST_PAUSE


def test_a_computation_may_be_sent_again_though_it_is_a_post(pauses: list[float]) -> None:
    server = PlayedServer(httpx2.ReadError("broken"), problem(400))
    with server.client() as asking, pytest.raises(BadRequest):
        asking.create_estimate(EstimateRequest(build=Build(name="Camper", currency="USD")))
    first, second = server.requests
    assert first.content == second.content != b""
    assert len(pauses) == 1


@pytest.mark.parametrize("status", [400, 404, 422, 500, 501])
def test_a_problem_that_would_only_come_again_is_not_retried(status: int, pauses: list[float]) -> None:
    server = PlayedServer(problem(status), healthy())
    with server.client() as asking, pytest.raises(ApiError, match=str(status)):
        asking.get_health()
    assert len(server.requests) == 1
    assert pauses == []


def test_retries_end(pauses: list[float]) -> None:
    server = PlayedServer(problem(503))
    with server.client(retries=3) as asking, pytest.raises(ServerError):
        asking.get_health()
    assert len(server.requests) == 4
    assert len(pauses) == 3


def test_a_call_may_have_its_own_number_of_retries(pauses: list[float]) -> None:
    server = PlayedServer(httpx2.ConnectError("refused"))
    with server.client(retries=3) as asking, pytest.raises(TransportError):
        asking.get_health(retries=0)
    assert len(server.requests) == 1
    assert pauses == []


def test_an_operation_that_is_not_repeatable_is_sent_once(pauses: list[float]) -> None:
    server = PlayedServer(problem(503))
    creation = Operation(method="POST", path="/v1/things", decode=bytes)
    with server.client() as asking, pytest.raises(ServerError):
        asking._call(creation, None, {})
    assert len(server.requests) == 1
    assert pauses == []


def test_the_client_waits_as_long_as_the_server_asks(pauses: list[float]) -> None:
    server = PlayedServer(problem(503, headers={"Retry-After": "7"}), healthy())
    with server.client() as asking:
        asking.get_health()
    assert pauses == [7.0]


def test_a_retry_after_of_the_longest_pause_is_still_waited_for(pauses: list[float]) -> None:
    """The guide promises a minute: 60 seconds are waited for, 61 are not."""
    server = PlayedServer(problem(503, headers={"Retry-After": "60"}), healthy())
    with server.client() as asking:
        asking.get_health()
    assert pauses == [60.0]
    assert pause_before_retry(response(503, "61"), 0, 0.5) is None


def test_a_longer_retry_after_is_raised_and_not_waited_for(pauses: list[float]) -> None:
    server = PlayedServer(problem(429, headers={"Retry-After": "3600"}))
    with server.client() as asking, pytest.raises(TooManyRequests) as caught:
        asking.get_health()
    assert caught.value.retry_after == 3600
    assert len(server.requests) == 1
    assert pauses == []


@pytest.mark.parametrize(
    ("value", "seconds"),
    [
        ("0", 0.0),
        ("120", 120.0),
        (" 5 ", 5.0),
        ("Sun, 01 Mar 2026 00:00:30 GMT", 30.0),
        ("Sun, 01 Mar 2026 00:00:30 -0000", 30.0),
        ("Sat, 28 Feb 2026 23:59:00 GMT", 0.0),
        ("-5", None),
        ("soon", None),
        ("1.5", None),
        ("", None),
        (None, None),
    ],
)
def test_retry_after_is_seconds_or_a_date(value: str | None, seconds: float | None) -> None:
    """Both forms of RFC 9110, section 10.2.3."""
    assert response(503, value).retry_after == seconds


@given(st.integers(-100_000, 100_000))
def test_a_date_gives_the_seconds_from_the_answer_to_it(seconds: int) -> None:
    now = datetime(2026, 3, 1, tzinfo=UTC)
    value = format_datetime(now + timedelta(seconds=seconds), usegmt=True)
    assert response(503, value, now).retry_after == max(0, seconds)


@given(st.integers(0, 1000), st.floats(0, 1))
def test_a_pause_grows_up_to_the_longest(attempt: int, jitter: float) -> None:
    assert FIRST_PAUSE / 2 <= backoff(attempt, jitter) <= LONGEST_PAUSE
    assert backoff(attempt, jitter) <= backoff(attempt + 1, jitter)


@pytest.mark.parametrize(
    ("attempt", "jitter", "seconds"),
    [
        (0, 0.0, 0.25),  # half of the first pause of 0.5 s
        (0, 1.0, 0.5),
        (1, 0.5, 0.75),  # 1 s x (0.5 + 0.5 / 2)
        (3, 1.0, 4.0),  # 0.5 s x 2^3
        (20, 1.0, 60.0),
    ],
)
def test_a_pause_doubles_and_has_its_jitter(attempt: int, jitter: float, seconds: float) -> None:
    assert backoff(attempt, jitter) == seconds


@given(st.integers(0, 10**9))
def test_no_pause_is_longer_than_the_longest(seconds: int) -> None:
    pause = pause_before_retry(response(503, str(seconds)), 0, 0.5)
    assert pause == (seconds if seconds <= LONGEST_PAUSE else None)
