"""Answers that are written to a file instead of being held in memory, by either client."""

from pathlib import Path

import httpx2
import pytest

from hitchworth_sdk import AsyncClient, Client, HitchworthError, UnwritableFile

ZIP = b"PK" + bytes(1_000_000)


def answer(_request: httpx2.Request) -> httpx2.Response:
    return httpx2.Response(200, headers={"Content-Type": "application/zip"}, content=ZIP)


def refuse(_request: httpx2.Request) -> httpx2.Response:
    problem = {"type": "/problems/busy", "title": "Busy", "status": 503, "detail": "Later.", "errors": []}
    return httpx2.Response(503, headers={"Content-Type": "application/problem+json"}, json=problem)


def test_the_answer_is_in_the_file_alone(tmp_path: Path) -> None:
    file = tmp_path / "pack.zip"
    with Client("http://server.test", transport=httpx2.MockTransport(answer)) as client:
        assert client.get_claim_pack("5f0c9f2e4a1d4e7b", into=file) == b""
        assert file.read_bytes() == ZIP
        assert client.export_workspace() == ZIP
    assert [each.name for each in tmp_path.iterdir()] == ["pack.zip"]


def test_a_problem_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    file = tmp_path / "export.zip"
    file.write_bytes(b"of yesterday")
    with (
        Client("http://server.test", retries=0, transport=httpx2.MockTransport(refuse)) as client,
        pytest.raises(HitchworthError, match=r"Later\."),
    ):
        client.export_workspace(into=file)
    assert file.read_bytes() == b"of yesterday"
    assert [each.name for each in tmp_path.iterdir()] == ["export.zip"]


def test_a_file_that_cannot_be_written_is_in_the_family(tmp_path: Path) -> None:
    file = tmp_path / "nowhere" / "pack.zip"
    with (
        Client("http://server.test", transport=httpx2.MockTransport(answer)) as client,
        pytest.raises(UnwritableFile) as raised,
    ):
        client.export_workspace(into=file)
    assert isinstance(raised.value, OSError)
    assert raised.value.filename == str(file)


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


@pytest.mark.anyio
async def test_the_asynchronous_client_does_the_same(tmp_path: Path) -> None:
    file = tmp_path / "pack.zip"
    async with AsyncClient("http://server.test", transport=httpx2.MockTransport(answer)) as client:
        assert await client.get_claim_pack("5f0c9f2e4a1d4e7b", into=file) == b""
        assert file.read_bytes() == ZIP
        with pytest.raises(UnwritableFile):
            await client.export_workspace(into=tmp_path / "nowhere" / "export.zip")
    assert [each.name for each in tmp_path.iterdir()] == ["pack.zip"]
