"""Names of the server: a page in a browser cannot reach, under a name of its own, a server that trusts its machine."""

from pathlib import Path

import httpx2
import pytest
from litestar.testing import TestClient

from hitchworth.model.access import KeyRequest
from hitchworth.operations.keys import new_key
from hitchworth.operations.settings import Settings
from hitchworth.store import open_store
from hitchworth.web.app import create_app
from hitchworth.web.hosts import allowed_names, host_of, is_loopback, keys_are_required
from hitchworth.web.server import running
from web_server import JSON, assert_problem, example


@pytest.mark.parametrize(
    ("host", "expected"),
    [
        ("127.0.0.1", True),
        ("127.8.9.1", True),
        ("::1", True),
        ("localhost", True),
        ("0.0.0.0", False),
        ("::", False),
        ("192.168.1.4", False),
        ("example.com", False),
        ("localhost.example.com", False),
        ("", False),
    ],
)
def test_which_hosts_are_this_machine_alone(host: str, expected: bool) -> None:
    assert is_loopback(host) is expected


@pytest.mark.parametrize(
    ("settings", "required"),
    [
        (Settings(), False),
        (Settings(host="::1"), False),
        (Settings(allowed_hosts="localhost"), False),
        (Settings(require_keys=True), True),
        (Settings(host="0.0.0.0"), True),
        # another server passes on what comes under this name
        (Settings(allowed_hosts="localhost, builds.example.com"), True),
    ],
)
def test_when_keys_are_required(settings: Settings, required: bool) -> None:
    assert keys_are_required(settings) is required


def test_the_host_of_a_header() -> None:
    assert [host_of(text) for text in ("LOCALHOST:80", "[::1]:8000", "127.0.0.1", "[::1", "")] == [
        "localhost",
        "::1",
        "127.0.0.1",
        "",
        "",
    ]
    assert allowed_names(Settings(host="127.0.0.5")) == {"localhost", "127.0.0.1", "::1", "127.0.0.5"}
    assert allowed_names(Settings(host="0.0.0.0")) == frozenset()
    assert allowed_names(Settings(host="0.0.0.0", allowed_hosts=" A.example ,b.example,")) == {"a.example", "b.example"}


def test_on_loopback_only_its_own_names_are_answered(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "builds.db"))
    with running(store=store) as address:
        port = address.rpartition(":")[2]
        for host in (f"127.0.0.1:{port}", f"localhost:{port}", "LocalHost", "[::1]:1"):
            assert httpx2.get(f"{address}/v1/builds", headers={"host": host}).status_code == 200
        for host in ("evil.example", f"evil.example:{port}", "127.0.0.1.evil.example", "localhost.evil.example"):
            response = httpx2.get(f"{address}/v1/builds", headers={"host": host})
            assert_problem(response, 421, "wrong-host")
            assert httpx2.get(f"{address}/health", headers={"host": host}).status_code == 200
    store.close()


@pytest.mark.parametrize("header", ["X-Forwarded-For", "Forwarded", "Via", "X-Real-IP"])
def test_what_a_proxy_passes_on_needs_a_key(header: str, tmp_path: Path) -> None:
    """The proxy is on this machine, and calls the server by its own name; who called the proxy is anybody."""
    store = open_store(str(tmp_path / "builds.db"))
    key = new_key(store, "default", "local", KeyRequest(name="Anna", scope="read")).key
    with running(store=store) as address:
        passed_on = {header: "203.0.113.7"}
        for path in ("/v1/builds", "/v1/keys", "/v1/access-log"):
            response = httpx2.get(address + path, headers=passed_on)
            assert_problem(response, 401, "forwarded")
            assert "hitchworth keys create" in response.json()["detail"]
        with_key = httpx2.get(f"{address}/v1/builds", headers=passed_on | {"authorization": f"Bearer {key}"})
        assert with_key.status_code == 200
        assert httpx2.get(f"{address}/v1/schedules", headers=passed_on).status_code == 200
    store.close()


def test_a_page_of_another_server_cannot_write(tmp_path: Path) -> None:
    """A form or script of any page may send a POST without asking first, even one without a Content-Type."""
    store = open_store(str(tmp_path / "builds.db"))
    with running(store=store) as address:
        for origin in ("https://evil.example", "null", "http://localhost.evil.example", "http://[::1"):
            response = httpx2.post(f"{address}/v1/builds", content=example("kept-build"), headers={"origin": origin})
            assert_problem(response, 403, "foreign-page")
        own = httpx2.post(f"{address}/v1/builds", content=example("kept-build"), headers={"origin": address, **JSON})
        assert own.status_code == 201
        assert len(httpx2.get(f"{address}/v1/builds").json()["items"]) == 1
    store.close()


def test_the_names_that_the_settings_allow() -> None:
    settings = Settings(host="0.0.0.0", allowed_hosts="builds.example")
    with TestClient(create_app(settings=settings), base_url="http://builds.example") as api:
        assert api.get("/v1/schedules").status_code == 200
        assert_problem(api.get("/v1/schedules", headers={"host": "localhost"}), 421, "wrong-host")
