"""Evidence in an object store that speaks the protocol of S3: a server in a process of its own."""

import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import httpx2
import obstore
import pytest
from obstore.store import S3Store, from_url

from hitchworth.store import Store, open_store
from hitchworth.store.errors import DamagedFileError, LostFileError, StoreError, UnavailableError
from hitchworth.store.object_blobs import ObjectBlobs

PHOTO = b"a photo" * 300_000
SHA = sha256(PHOTO).hexdigest()
SERVER = """
from moto.server import ThreadedMotoServer
server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
server.start()
print(server.get_host_and_port()[1], flush=True)
server._thread.join()
"""
KEY = f"kept/files/default/{SHA[:2]}/{SHA}"


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> Iterator["subprocess.Popen[str]"]:
    """A server with an empty bucket, which the variables of the protocol name."""
    process = subprocess.Popen(
        [sys.executable, "-c", SERVER], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    assert process.stdout is not None
    address = f"http://127.0.0.1:{process.stdout.readline().strip()}"
    for name, value in {
        "AWS_ENDPOINT_URL": address,
        "AWS_ALLOW_HTTP": "true",
        "AWS_ACCESS_KEY_ID": "test",
        "AWS_SECRET_ACCESS_KEY": "test",
        "AWS_REGION": "us-east-1",
    }.items():
        monkeypatch.setenv(name, value)
    assert httpx2.put(f"{address}/evidence").status_code == 200  # makes the bucket
    yield process
    process.kill()
    process.communicate()


@pytest.fixture
def kept(server: object, tmp_path: Path) -> Iterator[Store]:
    clock = {"now": datetime.now(UTC)}
    store = open_store(str(tmp_path / "builds.db"), clock=lambda: clock["now"], evidence="s3://evidence/kept")
    store.test_clock = clock  # type: ignore[attr-defined]
    yield store
    store.close()


def add(store: Store, content: bytes = PHOTO) -> str:
    with store.evidence.receive(10_000_000) as incoming:
        incoming.write(content)
        store.evidence.keep("default", incoming, "image/jpeg")
        return incoming.sha256


def bucket() -> S3Store:
    return S3Store("evidence", client_options={"allow_http": True})


def test_a_file_is_put_got_and_listed(kept: Store) -> None:
    assert add(kept) == SHA
    with kept.evidence.open("default", SHA) as file:
        assert file.read() == PHOTO
    assert bytes(obstore.get(bucket(), KEY).bytes()) == PHOTO
    assert kept.evidence._kept_in is not None
    assert [(each.key, each.size) for each in kept.evidence._kept_in.list("files")] == [
        (KEY.removeprefix("kept/"), len(PHOTO))
    ]
    assert kept.evidence.derived("default", SHA, "480", lambda _: b"small") == b"small"


def test_what_nothing_needs_is_collected(kept: Store) -> None:
    add(kept)
    assert kept.evidence.collect(delete_them=True) == ()
    kept.test_clock["now"] += timedelta(days=2)  # type: ignore[attr-defined]
    assert [each.sha256 for each in kept.evidence.collect(delete_them=True)] == [SHA]
    assert [each for batch in obstore.list(bucket(), "kept") for each in batch] == []


def test_an_altered_or_lost_object_is_never_given_out(kept: Store) -> None:
    add(kept)
    obstore.put(bucket(), KEY, PHOTO[:-1] + b"!")
    with pytest.raises(DamagedFileError, match="altered"):
        kept.evidence.open("default", SHA)
    obstore.delete(bucket(), KEY)
    with pytest.raises(LostFileError, match="missing"):
        kept.evidence.open("default", SHA)
    add(kept)
    kept.evidence.open("default", SHA).close()


def test_a_server_that_is_gone_is_told_and_nothing_is_named(kept: Store, server: "subprocess.Popen[str]") -> None:
    add(kept)
    impatient = from_url("s3://evidence/kept", client_options={"allow_http": True}, retry_config={"max_retries": 1})
    kept.evidence._kept_in = ObjectBlobs(impatient)
    server.kill()
    server.wait()
    with pytest.raises(UnavailableError):
        kept.evidence.open("default", SHA)
    with pytest.raises(StoreError):
        add(kept, b"another")
    assert kept.evidence.held("default") == {SHA}


def test_a_bucket_that_is_not_there(server: object, tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "builds.db"), evidence="s3://nowhere/kept")
    with pytest.raises(StoreError):
        add(store)
    assert store.evidence.held("default") == frozenset()
    store.close()
