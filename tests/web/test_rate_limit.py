"""How many requests a key may make in a minute."""

from pathlib import Path

from hitchworth.operations.settings import Settings
from hitchworth.web import rate_limit
from hitchworth.web.rate_limit import MAX_KEYS, RateLimit
from kept_access import access, bearer
from web_server import assert_problem


class Seconds:
    now = 0.0

    def __call__(self) -> float:
        return self.now


def test_a_window_begins_with_the_first_request_and_lasts_a_minute() -> None:
    clock = Seconds()
    limit = RateLimit(3, clock)
    seen = []
    for at in (0.0, 10.0, 59.5, 59.9, 60.0, 119.0):
        clock.now = at
        quota = limit.take("a")
        assert quota is not None
        seen.append((quota.remaining, quota.seconds))
    # the fourth, 0.1 seconds before the minute is over, is one too many; the fifth begins another minute
    assert seen == [(2, 60), (1, 50), (0, 1), (-1, 1), (2, 60), (1, 1)]


def test_each_key_has_its_own() -> None:
    limit = RateLimit(1, Seconds())
    left = [quota.remaining for key in ("a", "b", "a") if (quota := limit.take(key))]
    assert left == [0, 0, -1]


def test_no_limit_is_no_quota() -> None:
    assert RateLimit(0).take("a") is None


def test_no_more_keys_are_remembered_than_it_says() -> None:
    limit = RateLimit(5, Seconds())
    for number in range(MAX_KEYS + 50):
        limit.take(str(number))
    assert len(limit._windows) == MAX_KEYS
    newest, oldest = limit.take(str(MAX_KEYS + 49)), limit.take("0")
    assert newest is not None
    assert oldest is not None
    assert (newest.remaining, oldest.remaining) == (3, 4)


def test_the_answers_say_what_is_left_and_when_there_is_more(tmp_path: Path) -> None:
    assert rate_limit.WINDOW_SECONDS == 60
    with access(tmp_path, Settings(require_keys=True, rate_limit=2)) as server:
        key, other = server.key("read"), server.key("read", "other")
        first, second, third = (server.api.get("/v1/builds", headers=bearer(key)) for _ in range(3))
        # the fields of draft-ietf-httpapi-ratelimit-headers-10; its text was not read again
        assert first.headers["ratelimit-policy"] == '"default";q=2;w=60'
        assert first.headers["ratelimit"] == '"default";r=1;t=60'
        assert second.headers["ratelimit"].startswith('"default";r=0;t=')
        assert_problem(third, 429, "rate-limited")
        assert 0 < int(third.headers["retry-after"]) <= 60
        assert third.headers["ratelimit"].startswith('"default";r=0;t=')
        assert server.api.get("/v1/builds", headers=bearer(other)).status_code == 200
        assert server.api.get("/health", headers=bearer(key)).status_code == 200
        # a problem of another kind says it, too
        assert "ratelimit" in server.api.get("/v1/builds/x", headers=bearer(other)).headers


def test_on_loopback_without_a_key_nothing_is_limited(tmp_path: Path) -> None:
    with access(tmp_path, Settings(rate_limit=1)) as server:
        answers = [server.api.get("/v1/builds") for _ in range(3)]
        assert [answer.status_code for answer in answers] == [200] * 3
        assert "ratelimit" not in answers[0].headers


def test_a_link_is_limited_like_a_key(tmp_path: Path) -> None:
    with access(tmp_path, Settings(require_keys=True, rate_limit=3)) as server:
        key = server.key("write")
        build = server.build(key)
        wanted = {"name": "Agent", "expires_at": "2027-01-31T00:00:00Z"}
        path = server.api.post(f"/v1/builds/{build}/shares", json=wanted, headers=bearer(key)).json()["path"]
        assert [server.api.get(path).status_code for _ in range(4)] == [200, 200, 200, 429]
