"""Claim packs over HTTP: of a document, and of a kept build with its evidence."""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec
import pytest
from litestar.testing import TestClient

from claim_pack_files import PHOTOS, SUBJECTS, document, entries, unpacked
from hitchworth.store import open_store
from hitchworth.web.app import create_app
from kept_client import KeptBuilds
from web_server import JSON

ASKED = {"loss": "theft", "policy": "home", "as_of": "2026-06-20"}


class Packs(KeptBuilds):
    """A caller with one build and its evidence."""

    def keep(self, **more: Any) -> str:
        self.build = self.create(msgspec.json.encode(document(**more)))
        return self.build

    def add_photos(self) -> None:
        for name, content in PHOTOS.items():
            what = {"subject": SUBJECTS[name], "file_name": name}
            assert self.api.post(f"{self.build}/evidence", content=content, params=what).status_code == 201

    def pack(self, headers: dict[str, str] | None = None, **asked: Any) -> Any:
        return self.api.get(f"{self.build}/claim-pack", params=ASKED | asked, headers=headers)


@pytest.fixture
def packs(tmp_path: Path) -> Iterator[Packs]:
    store = open_store(str(tmp_path / "builds.db"))
    with TestClient(create_app(store=store), base_url="http://127.0.0.1") as api:
        yield Packs(api)
    store.close()


def stored(tmp_path: Path, name: str) -> Path:
    digest = sha256(PHOTOS[name]).hexdigest()
    return next(file for file in (tmp_path / "builds.db-evidence" / "files").rglob(digest) if file.is_file())


def test_a_kept_build_with_its_evidence(packs: Packs, tmp_path: Path) -> None:
    packs.keep()
    packs.add_photos()
    response = packs.pack()
    assert (response.status_code, response.headers["content-type"]) == (200, "application/zip")
    assert 'filename="claim-pack-theft-2026-06-20.zip"' in response.headers["content-disposition"]
    pack = unpacked(response.content, tmp_path / "unpacked")
    assert [pack[f"evidence/000{number}"] for number in ("1.jpg", "2.heic", "3.pdf")] == list(PHOTOS.values())
    kept = msgspec.json.decode(pack["pack.json"])["kept"]
    assert kept["revision"] == 4  # created, and three files added
    part = packs.pack({"range": "bytes=0-9", "if-range": response.headers["etag"]})
    assert (part.status_code, part.content) == (206, response.content[:10])  # made anew, it is the same
    assert packs.pack({"if-none-match": response.headers["etag"]}).status_code == 304
    first = unpacked(packs.pack(revision=1).content, tmp_path / "first")
    assert not any(name.startswith("evidence/") for name in first)


def test_evidence_that_was_altered_or_is_lost_is_named_at_once(packs: Packs, tmp_path: Path) -> None:
    packs.keep()
    packs.add_photos()
    stored(tmp_path, "kitchen/plate.jpg").write_bytes(b"another")
    stored(tmp_path, "receipt.pdf").unlink()
    response = packs.pack()
    assert response.status_code == 422
    told = {each["pointer"]: each["detail"] for each in response.json()["errors"]}
    assert told == {
        "/evidence/0": "The file kitchen/plate.jpg is not the one that was added",
        "/evidence/2": "The file receipt.pdf is missing",
    }
    pack = unpacked(packs.pack(allow_missing="true").content, tmp_path / "unpacked")
    left_out = {each["file_name"]: each["reason"] for each in msgspec.json.decode(pack["pack.json"])["left_out"]}
    assert left_out == {"kitchen/plate.jpg": "altered", "receipt.pdf": "missing"}


def test_an_unknown_loss_and_policy_are_told_at_once(packs: Packs) -> None:
    packs.keep()
    response = packs.pack(loss="flood", policy="offer")
    assert response.status_code == 400
    assert [each["detail"] for each in response.json()["errors"]] == [
        "loss: There is no such loss",
        "policy: There is no such policy",
    ]


def test_a_document_is_packed_without_files(packs: Packs, tmp_path: Path) -> None:
    body = msgspec.json.encode(document(evidence=entries(), as_of="2026-06-20"))
    asked = {"loss": "theft", "policy": "home"}
    headers = JSON | {"range": "bytes=0-9", "if-none-match": "*"}  # of no use with a POST
    response = packs.api.post("/v1/claim-packs", content=body, params=asked, headers=headers)
    assert (response.status_code, response.headers["content-language"]) == (200, "en-US")
    pack = unpacked(response.content, tmp_path)
    assert not any(name.startswith("evidence/") for name in pack)
    response = packs.api.post("/v1/claim-packs", content=body, headers=JSON)
    assert response.status_code == 422
    assert [each["pointer"] for each in response.json()["errors"]] == ["/loss", "/policy"]
