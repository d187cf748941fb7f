"""The client of the application in its own process."""

import asyncio
import sys
from datetime import date
from pathlib import Path
from threading import Thread

import httpx2
import pytest

from hitchworth.web.server import running
from hitchworth_sdk import (
    AsyncClient,
    Build,
    Client,
    ClientClosedError,
    ConfigurationError,
    Document,
    EstimateRequest,
    InvalidInput,
    NoDatabase,
    ResponseTimeoutError,
    _local,
)

REQUEST = EstimateRequest(build=Build(name="Camper", currency="USD"), as_of=date(2026, 6, 1))


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


def test_it_answers_as_a_server_does() -> None:
    with running() as address, Client(address) as client, Client.local() as local:
        assert local.create_estimate(REQUEST) == client.create_estimate(REQUEST)
        with pytest.raises(InvalidInput) as caught:
            local.create_estimate(EstimateRequest(build=Build(name="", currency="USD")))
        assert caught.value.faults[0].pointer == "/build/name"
        with pytest.raises(NoDatabase):
            local.create_build(Document(build=REQUEST.build))


def test_it_needs_no_port_and_no_server() -> None:
    with Client.local() as local:
        assert local._route.server.host == "localhost"
        assert local.raw(local.get_health)().headers.get("server") is None


def test_it_keeps_builds_in_a_database(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HITCHWORTH_KEY", "hw_key_of_another_server")
    monkeypatch.setenv("HITCHWORTH_URL", "http://other.test")
    paper = tmp_path / "receipt.pdf"
    paper.write_bytes(b"%PDF-1.4\n" + b"x" * 100)
    with Client.local(tmp_path / "builds.db") as local:
        kept = local.create_build(Document(build=REQUEST.build))
    with Client.local(str(tmp_path / "builds.db")) as local:
        assert local.get_build(kept.id).build.name == "Camper"
        assert [entry.id for entry in local.list_builds()] == [kept.id]
        with pytest.raises(InvalidInput):
            local.add_evidence(kept.id, paper)  # a PDF without pages


def test_threads_may_share_it() -> None:
    found: list[object] = []
    with Client.local() as local:
        threads = [Thread(target=lambda: found.append(local.create_estimate(REQUEST))) for _ in range(8)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert len(found) == 8


def test_a_slow_answer_is_a_timeout(monkeypatch: pytest.MonkeyPatch) -> None:
    async def slow(transport: _local.AsyncLocalTransport, request: httpx2.Request) -> httpx2.Response:
        await asyncio.sleep(60)
        raise AssertionError

    monkeypatch.setattr(_local.AsyncLocalTransport, "handle_async_request", slow)
    with Client.local() as local, pytest.raises(ResponseTimeoutError, match=r"within 0\.05 s"):
        local.create_estimate(REQUEST, timeout=0.05, retries=0)


def test_it_stops() -> None:
    local = Client.local()
    local.close()
    local.close()
    with pytest.raises(ClientClosedError):
        local.get_health()


def test_a_database_that_cannot_be_used_is_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(ConfigurationError, match=r"the application cannot be started: .*not-there"):
        Client.local(tmp_path / "not-there" / "builds.db")


def test_without_the_server_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, _local.SERVER_MODULE, None)
    with pytest.raises(ConfigurationError, match="pip install hitchworth"):
        Client.local()


@pytest.mark.anyio
async def test_the_asynchronous_client_has_it_too(tmp_path: Path) -> None:
    async with AsyncClient.local(tmp_path / "builds.db") as local:
        kept = await local.create_build(Document(build=REQUEST.build))
        assert [entry.id async for entry in local.list_builds()] == [kept.id]
        with pytest.raises(InvalidInput):
            await local.create_estimate(EstimateRequest(build=Build(name="", currency="USD")))
    async with AsyncClient.local(tmp_path / "not-there" / "builds.db") as broken:
        with pytest.raises(ConfigurationError, match="cannot be started"):
            await broken.get_health()
    async with AsyncClient.local():
        pass  # never asked: nothing was started, so nothing has to stop
