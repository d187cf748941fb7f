"""The asynchronous client: printed from the blocking one, and of one mind with it."""

import asyncio
import inspect
import threading
import typing
from collections.abc import AsyncIterator, Iterator
from datetime import date
from pathlib import Path

import httpx2
import pytest

from camera_photos import photo
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.server import running
from hitchworth_sdk import (
    AsyncClient,
    Build,
    Client,
    ClientClosedError,
    Document,
    EstimateRequest,
    HitchworthError,
    InvalidInput,
    Response,
    ResponseTimeoutError,
    TransportError,
    UnreadableFile,
)
from sdk_exchanges import PlayedServer, healthy, problem

pytestmark = pytest.mark.anyio

DAY = date(2026, 6, 1)
METHODS = sorted(name for name in dir(Client) if not name.startswith("_") and name not in ("local", "raw"))
"""The two others answer no request: they have tests of their own."""
ANSWER_SECONDS = 0.2
AT_ONCE = 50


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


@pytest.fixture(scope="module")
def url() -> Iterator[str]:
    store = open_store(IN_MEMORY)
    with running(store=store) as address:
        yield address
    store.close()


def request(number: int = 0) -> EstimateRequest:
    return EstimateRequest(build=Build(name=f"Camper {number}", currency="USD"), as_of=DAY)


@pytest.mark.parametrize("name", METHODS)
def test_it_has_every_method_of_the_blocking_client(name: str) -> None:
    """The same parameters; the answer is awaited, or iterated over asynchronously."""
    blocking, awaited = getattr(Client, name), getattr(AsyncClient, name)
    there, here = inspect.signature(blocking), inspect.signature(awaited)
    assert [(each.name, each.kind, each.default) for each in there.parameters.values()] == [
        (each.name, each.kind, each.default) for each in here.parameters.values()
    ]
    returned = typing.get_type_hints(blocking)["return"]
    if typing.get_origin(returned) is Iterator:
        iterated = typing.get_type_hints(awaited)["return"]
        assert (typing.get_origin(iterated), typing.get_args(iterated)) == (AsyncIterator, typing.get_args(returned))
        assert not inspect.iscoroutinefunction(awaited)
    else:
        assert typing.get_type_hints(awaited)["return"] == returned
        assert inspect.iscoroutinefunction(awaited)


async def test_it_answers_as_the_blocking_client_does(url: str) -> None:
    with Client(url) as blocking:
        expected = blocking.create_estimate(request())
    async with AsyncClient(url) as client:
        assert await client.create_estimate(request()) == expected
        with pytest.raises(InvalidInput) as caught:
            await client.create_estimate(EstimateRequest(build=Build(name="", currency="USD")))
        assert [fault.pointer for fault in caught.value.faults] == ["/build/name"]


class SlowServer:
    """Answers each request after a while, and counts how many it has at a time."""

    def __init__(self) -> None:
        self.open = self.most = 0

    async def __call__(self, request: httpx2.Request) -> httpx2.Response:
        self.open += 1
        self.most = max(self.most, self.open)
        await asyncio.sleep(ANSWER_SECONDS)
        self.open -= 1
        return healthy()


async def test_fifty_at_a_time_without_a_thread() -> None:
    server = SlowServer()
    threads = threading.active_count()
    async with AsyncClient("http://server.test", transport=httpx2.MockTransport(server)) as client:
        tasks = [asyncio.create_task(client.get_health()) for _ in range(AT_ONCE)]
        await asyncio.sleep(ANSWER_SECONDS / 2)
        assert threading.active_count() == threads
        answers = await asyncio.gather(*tasks)
    assert len(answers) == server.most == AT_ONCE


async def test_fifty_at_a_time_over_the_network(url: str) -> None:
    async with AsyncClient(url) as client:
        found = await asyncio.gather(*(client.create_estimate(request(number)) for number in range(AT_ONCE)))
    assert len({id(each) for each in found}) == AT_ONCE
    assert {each.as_of for each in found} == {DAY}


async def test_a_list_is_iterated_over_page_by_page(url: str) -> None:
    answers: list[Response] = []
    async with AsyncClient(url) as client:
        for number in range(5):
            await client.create_build(Document(build=Build(name=f"Paged {number}", currency="USD")))
        listed = client.list_builds(name="Paged", sort="name", limit=2, on_response=answers.append)
        assert [each.name async for each in listed] == [f"Paged {number}" for number in range(5)]
    assert [each.status for each in answers] == [200] * 3


async def test_a_batch_takes_requests_that_come_one_by_one(url: str) -> None:
    async def arriving() -> AsyncIterator[EstimateRequest]:
        for number in range(3):
            await asyncio.sleep(0)
            yield request(number)

    told: list[int] = []
    async with AsyncClient(url) as client:
        found = [each async for each in client.create_estimate_batch(arriving(), progress=told.append)]
        again = [each async for each in client.create_estimate_batch([request(number) for number in range(3)])]
    assert found == again
    assert ([each.line for each in found], told) == ([1, 2, 3], [3])


async def test_large_batches_go_in_pieces_from_either_kind_of_iterable(url: str) -> None:
    lines = [b'{"build": {"name": "' + b"x" * 290 + b'", "currency": "USD"}}'] * 500

    async def arriving() -> AsyncIterator[bytes]:
        for line in lines:
            yield line

    async with AsyncClient(url) as client:
        told: list[int] = []
        assert len([each async for each in client.create_estimate_batch(arriving(), progress=told.append)]) == 500
        assert (told[-1], len(told)) == (500, 3)  # 330 bytes a line, 64,000 a piece


async def test_a_file_and_a_folder_are_added(url: str, tmp_path: Path) -> None:
    (tmp_path / "frame.jpg").write_bytes(photo())
    (tmp_path / "note.exe").write_bytes(b"MZ")
    async with AsyncClient(url) as client:
        kept = await client.create_build(Document(build=Build(name="Camper", currency="USD")))
        result = await client.add_evidence_folder(kept, tmp_path)
        assert (len(result.added), [path.name for path in result.failed]) == (1, ["note.exe"])
        again = await client.add_evidence(kept.id, tmp_path / "frame.jpg")
        assert again.duplicate_of == result.added[0].id
        with pytest.raises(UnreadableFile) as caught:
            await client.add_evidence(kept.id, tmp_path / "not there.jpg")
    assert str(caught.value.filename).endswith("not there.jpg")


async def test_a_busy_server_is_asked_again(monkeypatch: pytest.MonkeyPatch) -> None:
    pauses: list[float] = []

    async def pause(seconds: float) -> None:
        pauses.append(seconds)

    monkeypatch.setattr(asyncio, "sleep", pause)
    server = PlayedServer(problem(503, headers={"Retry-After": "7"}), httpx2.ConnectError("refused"), healthy())
    async with server.async_client() as client:
        assert (await client.get_health()).status == "ok"
    assert pauses[0] == 7.0
    assert len(pauses) == 2


async def test_a_deadline_ends_a_call_at_once() -> None:
    server = SlowServer()
    async with AsyncClient("http://server.test", deadline=0.05, transport=httpx2.MockTransport(server)) as client:
        with pytest.raises(ResponseTimeoutError, match=r"before the deadline of 0\.05 s"):
            await client.get_health()
        assert (await client.get_health(deadline=None)).status == "ok"


async def test_what_goes_wrong_is_in_the_family() -> None:
    server = PlayedServer(httpx2.ConnectError("refused"), healthy())
    async with server.async_client(retries=0) as client:
        with pytest.raises(TransportError) as caught:
            await client.get_health()
        assert isinstance(caught.value.__cause__, httpx2.ConnectError)
    with pytest.raises(ClientClosedError) as closed:
        await client.get_health()
    assert isinstance(closed.value, HitchworthError)
