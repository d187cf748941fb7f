"""Evidence over HTTP: added, found, handed out whole or in part, described, removed; and what is refused."""

import json
import os
import socket
import struct
from collections.abc import Iterator
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from time import sleep
from typing import Any

import httpx2
import pytest
from litestar import Litestar
from litestar.testing import TestClient
from PIL import Image

from camera_photos import LATITUDE, LONGITUDE, PDF, photo, picture
from hitchworth.operations.settings import Settings
from hitchworth.store import Store, open_store
from hitchworth.store.errors import FullError, ReadOnlyError
from hitchworth.web.app import create_app
from hitchworth.web.server import running
from kept_client import KeptBuilds
from small_disk import fill, make_read_only, small_disk

PHOTO = photo()
SHA = sha256(PHOTO).hexdigest()
LIMITS = Settings(max_evidence_bytes=100_000, max_evidence_pixels=1_000_000)


class Evidence(KeptBuilds):
    """A caller who adds evidence to one build."""

    def __init__(self, api: TestClient[Litestar], store: Store) -> None:
        super().__init__(api)
        self.store = store
        self.build = self.example()
        self.address = f"{self.build}/evidence"

    def post(self, content: bytes = PHOTO, headers: dict[str, str] | None = None, **what: Any) -> Any:
        """Add a file as the body itself."""
        return self.api.post(self.address, content=content, params=what, headers=headers)

    def post_form(self, content: bytes = PHOTO, name: str = "IMG_0001.jpg", **fields: Any) -> Any:
        """Add a file as a field of a form, as a browser does."""
        return self.api.post(self.address, files={"file": (name, content, "image/jpeg")}, data=fields)

    def add(self, *given: Any, **what: Any) -> Any:
        """Add a file that is new, and return the answer."""
        response = self.post(*given, **what)
        assert response.status_code == 201, response.text
        self.tags[self.build] = response.headers["etag"]
        return response.json()

    def kept(self) -> list[dict[str, Any]]:
        return list(self.get(self.address)["items"])


@pytest.fixture
def evidence(tmp_path: Path) -> Iterator[Evidence]:
    store = open_store(str(tmp_path / "builds.db"))
    with TestClient(create_app(store, LIMITS)) as api:
        yield Evidence(api, store)
    store.close()


def files_in(folder: Path) -> list[Path]:
    return [file for file in folder.rglob("*") if file.is_file() and "builds.db" not in file.name]


def faults(response: Any) -> list[tuple[str, str]]:
    assert response.status_code == 422, response.text
    return [(fault["pointer"], fault["detail"]) for fault in response.json()["errors"]]


def test_a_photo_is_kept_with_what_it_says_of_itself(evidence: Evidence) -> None:
    response = evidence.post(subject=["stove", "panel"], kind="photo", caption="The plate", file_name="a/IMG_1.jpg")
    assert response.status_code == 201
    added = response.json()
    assert response.headers["location"] == f"{evidence.address}/{added['id']}"
    assert response.headers["etag"] == f'"{added["digest"]}"'
    expected = {
        "id": SHA[:16],
        "sha256": SHA,
        "media_type": "image/jpeg",
        "size": len(PHOTO),
        "width": 96,
        "height": 64,
        "taken_at": "2026-05-01T14:03:20-07:00",
        "place": {"latitude": LATITUDE, "longitude": LONGITUDE},
        "file_name": "a/IMG_1.jpg",
        "kind": "photo",
        "subjects": ["stove", "panel"],
        "caption": "The plate",
        "added_by": "local",
    }
    assert {name: added[name] for name in expected} == expected
    assert (added["duplicate_of"], added["revision"]) == (None, 2)
    (kept,) = evidence.kept()
    assert {name: kept[name] for name in expected} == expected
    assert evidence.get(response.headers["location"]) == kept
    assert evidence.get(evidence.build)["evidence"][0]["sha256"] == SHA
    assert evidence.api.get(f"{response.headers['location']}/file").content == PHOTO


def test_a_form_is_the_same(evidence: Evidence) -> None:
    response = evidence.post_form(subject=["stove", "panel"], kind="receipt", caption="")
    assert response.status_code == 201, response.text
    added = response.json()
    assert (added["sha256"], added["file_name"]) == (SHA, "IMG_0001.jpg")
    assert (added["subjects"], added["kind"], added["caption"]) == (["stove", "panel"], "receipt", None)


def test_the_name_beside_a_file_is_the_one_that_counts(evidence: Evidence) -> None:
    assert evidence.post_form(file_name="kitchen/one.jpg").json()["file_name"] == "kitchen/one.jpg"


def test_a_pdf_and_every_kind_of_photo(evidence: Evidence) -> None:
    for content, media_type in [
        (PDF, "application/pdf"),
        (photo("HEIF"), "image/heic"),
        (photo("PNG"), "image/png"),
        (photo("WEBP"), "image/webp"),
    ]:
        added = evidence.add(content, {"content-type": "image/jpeg"})  # what the sender says does not count
        assert added["media_type"] == media_type
        read = evidence.api.get(f"{evidence.address}/{added['id']}/file")
        assert (read.content, read.headers["content-type"]) == (content, media_type)


def test_the_same_file_is_recognized_and_gets_what_it_did_not_have(evidence: Evidence) -> None:
    first = evidence.add(subject="stove", caption="The plate")
    again = evidence.post(subject="stove")
    assert (again.status_code, again.json()["duplicate_of"]) == (200, SHA[:16])
    assert again.json()["revision"] == first["revision"]  # nothing was changed
    more = evidence.post_form(subject=["panel"], kind="receipt", caption="Another", name="other.jpg")
    assert more.status_code == 200
    (kept,) = evidence.kept()
    assert (kept["subjects"], kept["kind"]) == (["stove", "panel"], "receipt")
    assert (kept["caption"], kept["file_name"]) == ("The plate", None)  # nothing was overwritten


def test_sent_again_under_its_key_it_is_answered_as_the_first_time(evidence: Evidence) -> None:
    key = {"idempotency-key": "photo-1"}
    first, again = (evidence.post(headers=key, subject="stove") for _ in range(2))
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json() == again.json()
    assert len(evidence.kept()) == 1
    assert evidence.post(PDF, headers=key).status_code == 422
    assert evidence.post(headers=key, subject="panel").status_code == 422
    assert len(evidence.kept()) == 1


def test_a_file_that_was_there_already_is_told_so_again_under_its_key(evidence: Evidence) -> None:
    evidence.add(subject="stove")
    key = {"idempotency-key": "photo-2"}
    first, again = (evidence.post(headers=key, subject="panel") for _ in range(2))
    assert (first.status_code, first.json()["duplicate_of"]) == (200, SHA[:16])
    assert (again.status_code, again.json()) == (200, first.json())


def test_it_is_added_to_the_revision_that_was_named(evidence: Evidence) -> None:
    seen = evidence.tags[evidence.build]
    evidence.add()
    assert evidence.post(PDF, {"if-match": seen}).status_code == 412
    assert evidence.post(PDF, {"if-match": evidence.tags[evidence.build]}).status_code == 201


def test_a_list_of_one_subject(evidence: Evidence) -> None:
    evidence.add(subject=["stove", "identification_plate"])
    evidence.add(PDF, subject="ownership")
    assert [each["media_type"] for each in evidence.get(evidence.address, subject="stove")["items"]] == ["image/jpeg"]
    assert evidence.get(evidence.address, subject="panel")["items"] == []


def test_what_is_said_of_it_is_changed_and_what_it_says_is_not(evidence: Evidence) -> None:
    added = evidence.add(subject="stove", caption="The plate")
    path = f"/evidence/{added['id']}"
    changed = evidence.change("PATCH", evidence.build, path, {"subjects": ["body-work"], "caption": None})
    assert changed.status_code == 200, changed.text
    (kept,) = evidence.kept()
    assert (kept["subjects"], kept["caption"]) == (["body-work"], None)
    refused = evidence.change("PATCH", evidence.build, path, {"sha256": "0" * 64, "subjects": []})
    assert faults(refused) == [("/sha256", "Cannot be changed")]
    unknown = evidence.change("PATCH", evidence.build, path, {"subjects": ["stow"]})
    assert faults(unknown) == [("/subjects/0", "The document has nothing of this name")]
    assert "stove" in unknown.json()["errors"][0]["expected"]
    assert evidence.change("PATCH", evidence.build, path, []).status_code == 422
    assert evidence.kept() == [kept]


def test_removed_it_is_still_in_the_revision_before(evidence: Evidence) -> None:
    added = evidence.add()
    assert evidence.change("DELETE", evidence.build, f"/evidence/{added['id']}").status_code == 200
    assert evidence.kept() == []
    assert evidence.api.get(f"{evidence.address}/{added['id']}/file").status_code == 404
    restored = evidence.change("POST", evidence.build, f"/revisions/{added['revision']}/restore")
    assert restored.status_code == 201
    assert evidence.api.get(f"{evidence.address}/{added['id']}/file").content == PHOTO


def test_a_component_that_is_removed_leaves_its_evidence(evidence: Evidence) -> None:
    evidence.add(subject=["stove", "panel"])
    assert evidence.change("DELETE", evidence.build, "/components/stove").status_code == 200
    assert evidence.kept()[0]["subjects"] == ["panel"]


@pytest.mark.parametrize(
    ("asked", "status", "part"),
    [
        ("bytes=0-9", 206, slice(0, 10)),
        ("bytes=10-", 206, slice(10, None)),
        ("bytes=-10", 206, slice(-10, None)),
        (f"bytes=5-{10**14}", 206, slice(5, None)),
        ("bytes=0-", 200, slice(0, None)),
        ("bytes=9-2", 200, slice(0, None)),
        ("bytes=0-1,4-5", 200, slice(0, None)),
        ("lines=1-2", 200, slice(0, None)),
        ("bytes=-", 200, slice(0, None)),
    ],
)
def test_a_part_of_a_file(evidence: Evidence, asked: str, status: int, part: slice) -> None:
    address = f"{evidence.address}/{evidence.add()['id']}/file"
    response = evidence.api.get(address, headers={"range": asked})
    assert (response.status_code, response.content) == (status, PHOTO[part])
    assert response.headers["content-length"] == str(len(PHOTO[part]))
    if status == 206:
        first = range(len(PHOTO))[part][0]
        told = f"bytes {first}-{first + len(response.content) - 1}/{len(PHOTO)}"
        assert response.headers["content-range"] == told


def test_a_part_behind_the_end(evidence: Evidence) -> None:
    address = f"{evidence.address}/{evidence.add()['id']}/file"
    response = evidence.api.get(address, headers={"range": f"bytes={len(PHOTO)}-"})
    assert (response.status_code, response.headers["content-range"]) == (416, f"bytes */{len(PHOTO)}")
    assert response.json()["type"] == "/problems/range-not-satisfiable"


def test_a_file_is_sent_with_what_a_browser_needs_to_know(evidence: Evidence) -> None:
    added = evidence.add(file_name='Küche/a "b".jpeg')
    address = f"{evidence.address}/{added['id']}/file"
    response = evidence.api.get(address)
    assert response.headers["x-content-type-options"] == "nosniff"
    assert response.headers["content-security-policy"] == "default-src 'none'; sandbox"
    assert response.headers["content-disposition"] == 'inline; filename="a _b_.jpg"'
    tag = response.headers["etag"]
    assert tag == f'"{SHA}"'
    unchanged = evidence.api.get(address, headers={"if-none-match": tag})
    assert (unchanged.status_code, unchanged.content) == (304, b"")
    head = evidence.api.head(address)
    assert (head.status_code, head.headers["content-length"], head.content) == (200, str(len(PHOTO)), b"")
    other = evidence.api.get(address, headers={"range": "bytes=0-1", "if-range": '"another"'})
    assert other.content == PHOTO
    pdf = evidence.add(PDF, file_name="Rechnung für Herd.pdf")
    told = evidence.api.get(f"{evidence.address}/{pdf['id']}/file").headers["content-disposition"]
    assert told == """attachment; filename="Rechnung f_r Herd.pdf"; filename*=UTF-8''Rechnung%20f%C3%BCr%20Herd.pdf"""


@pytest.mark.parametrize("name", ["NUL.jpg", "com1.tar.gz", "...jpg", "con"])
def test_a_name_that_a_system_would_stumble_over_is_made_safe(evidence: Evidence, name: str) -> None:
    added = evidence.add(file_name=name)
    told = evidence.api.get(f"{evidence.address}/{added['id']}/file").headers["content-disposition"]
    saved = told.partition('"')[2].rstrip('"')
    assert saved.startswith("_")
    assert saved.endswith(".jpg")


def test_a_photo_to_hand_on_says_nothing_of_date_and_place(evidence: Evidence) -> None:
    address = f"{evidence.address}/{evidence.add()['id']}/file"
    bare = evidence.api.get(address, params={"strip": "true"})
    assert bare.status_code == 200
    assert not Image.open(BytesIO(bare.content)).getexif()
    assert bare.headers["etag"] != evidence.api.get(address).headers["etag"]
    heic = evidence.add(photo("HEIF"), file_name="one.heic")
    made = evidence.api.get(f"{evidence.address}/{heic['id']}/file", params={"strip": "true"})
    assert made.headers["content-type"] == "image/jpeg"
    assert made.headers["content-disposition"] == 'inline; filename="one.jpg"'
    pdf = evidence.add(PDF)
    assert evidence.api.get(f"{evidence.address}/{pdf['id']}/file", params={"strip": "true"}).content == PDF


def test_a_thumbnail_of_each_size(evidence: Evidence) -> None:
    added = evidence.add(photo(size=(600, 400), orientation=6))
    for size, side in [("small", 160), ("medium", 480), ("large", 600)]:
        for _ in range(2):  # made, and from the cache
            response = evidence.api.get(f"{evidence.address}/{added['id']}/thumbnail", params={"size": size})
            assert response.headers["content-type"] == "image/jpeg"
            made = Image.open(BytesIO(response.content))
            assert (made.height, dict(made.getexif())) == (side, {})
    pdf = evidence.add(PDF)
    assert evidence.api.get(f"{evidence.address}/{pdf['id']}/thumbnail").status_code == 404


def test_a_link_shows_evidence_without_the_places(evidence: Evidence) -> None:
    added = evidence.add(subject="stove")
    link = {"name": "Adjuster", "expires_at": "2099-01-31T00:00:00Z"}
    path = evidence.api.post(f"{evidence.build}/shares", json=link).json()["path"]
    (told,) = evidence.get(f"{path}/evidence")["items"]
    assert (told["sha256"], told["place"]) == (SHA, None)
    file = evidence.api.get(f"{path}/evidence/{added['id']}/file")
    assert not Image.open(BytesIO(file.content)).getexif()
    assert file.headers["referrer-policy"] == "no-referrer"
    assert file.headers["cache-control"] == "no-store"
    assert evidence.api.get(f"{path}/evidence/{added['id']}/thumbnail").status_code == 200
    assert evidence.api.get(f"{path}/evidence/nothing/file").status_code == 404
    assert evidence.api.post(f"{path}/evidence", content=PDF).status_code == 405


def bomb() -> bytes:
    saved = BytesIO()
    Image.new("1", (20_000, 10_000)).save(saved, "PNG")
    return saved.getvalue()


def animation() -> bytes:
    saved = BytesIO()
    picture().save(saved, "PNG", save_all=True, append_images=[picture().rotate(180)])
    return saved.getvalue()


BAD = {
    "html that says it is a photo": (b"<html><script>alert(1)</script>", "neither a photo nor a PDF"),
    "200 megapixels": (bomb(), "has 200,000,000 pixels; the limit is 1,000,000"),
    "an animation": (animation(), "animation"),
    "cut off": (PHOTO[:-300], "cut off"),
    "a PDF cut off": (PDF[:-7], "cut off"),
    "empty": (b"", "empty"),
}


@pytest.mark.parametrize(("content", "said"), BAD.values(), ids=BAD)
def test_a_file_that_is_none_is_refused_and_nothing_is_kept(
    evidence: Evidence, tmp_path: Path, content: bytes, said: str
) -> None:
    for response in (evidence.post(content), evidence.post_form(content)):
        ((pointer, detail),) = faults(response)
        assert pointer == "/file"
        assert said in detail
    assert evidence.kept() == []
    assert files_in(tmp_path) == []


@pytest.mark.parametrize(
    ("what", "pointer"),
    [
        ({"subject": "stow"}, "/subjects/0"),
        ({"subject": ["stove", "protection:nothing"]}, "/subjects/1"),
        ({"file_name": "../../etc/passwd"}, "/file_name"),
        ({"file_name": "/etc/passwd"}, "/file_name"),
        ({"file_name": "C:\\boot.jpg"}, "/file_name"),
        ({"file_name": "a//b.jpg"}, "/file_name"),
    ],
)
def test_what_is_said_of_a_file_is_checked_before_it_is_kept(
    evidence: Evidence, tmp_path: Path, what: dict[str, Any], pointer: str
) -> None:
    assert [each[0] for each in faults(evidence.post(**what))] == [pointer]
    assert files_in(tmp_path) == []


@pytest.mark.parametrize(
    "what",
    [{"kind": "selfie"}, {"file_name": "a\0.jpg"}, {"caption": "a\u202eb"}, {"subject": ""}, {"place": "home"}],
)
def test_a_parameter_that_is_none_is_refused(evidence: Evidence, tmp_path: Path, what: dict[str, Any]) -> None:
    assert evidence.post(**what).status_code == 400
    if "subject" not in what:  # an empty field of a form says nothing
        assert evidence.post_form(**what).status_code == 400
    assert files_in(tmp_path) == []


def test_a_file_that_is_too_large_is_refused(evidence: Evidence, tmp_path: Path) -> None:
    for response in (evidence.post(os.urandom(100_001)), evidence.post_form(os.urandom(100_001))):
        assert response.status_code == 413
        assert "100,000" in response.json()["detail"]
    assert files_in(tmp_path) == []


def in_form(head: bytes, content: bytes = b"photo") -> bytes:
    """A form with one field."""
    return b"--x\r\nContent-Disposition: form-data" + head + b"\r\n\r\n" + content + b"\r\n--x--\r\n"


@pytest.mark.parametrize(
    ("body", "detail"),
    [
        (b"no form", "The body is no form: it is damaged or cut off, or not divided by the boundary that"),
        (in_form(b'; name="file"')[:-9], "The body is no form"),
        (in_form(b'; name="\xff\xfe"'), "The body is no form"),
        (in_form(b'; name="kind"'), "The form has no field 'file'."),
        (in_form(b'; name="caption"', b"\xff\xfe"), "A field of the form is not text in UTF-8."),
        (in_form(b'; name="caption"', b"a" * 5000), "The field 'caption' is too long."),
        (in_form(b'; name="kind"')[:-7] * 601, "The form has more than 600 fields"),
        (in_form(b'; name="\xc3\xa9"; filename="' + b"a" * 9_000 + b'"'), "The form has more than 600 fields, or one"),
    ],
)
def test_a_form_that_is_none_is_refused(evidence: Evidence, tmp_path: Path, body: bytes, detail: str) -> None:
    response = evidence.post(body, {"content-type": "multipart/form-data; boundary=x"})
    assert (response.status_code, response.json()["type"]) == (400, "/problems/bad-request")
    assert response.json()["detail"].startswith(detail)
    assert evidence.post(body, {"content-type": "multipart/form-data"}).status_code == 400
    assert files_in(tmp_path) == []


def test_an_unknown_field_of_a_form_is_called_so(evidence: Evidence) -> None:
    refused = evidence.post_form(place="home").json()
    assert refused["detail"] == "The form has an unknown field."
    assert [(fault["detail"], fault["found"]) for fault in refused["errors"]] == [("Unknown field", "place")]
    assert evidence.post(place="home").json()["detail"] == "The query has an unknown parameter."


def test_two_files_in_one_form_are_refused(evidence: Evidence) -> None:
    response = evidence.api.post(evidence.address, files=[("file", ("a.jpg", PHOTO)), ("file", ("b.jpg", PHOTO))])
    assert response.status_code == 400
    assert "more than one file" in response.json()["detail"]


def test_a_compressed_body_is_refused(evidence: Evidence) -> None:
    assert evidence.post(headers={"content-encoding": "gzip"}).status_code == 415


def test_nothing_is_added_to_a_build_that_is_not_there_or_in_the_trash(evidence: Evidence, tmp_path: Path) -> None:
    assert evidence.api.post("/v1/builds/nothing/evidence", content=PHOTO).status_code == 404
    evidence.change("DELETE", evidence.build)
    assert evidence.post().status_code == 409
    assert files_in(tmp_path) == []


def test_a_stored_file_that_was_altered_is_a_problem_and_not_sent(evidence: Evidence, tmp_path: Path) -> None:
    address = f"{evidence.address}/{evidence.add()['id']}"
    (file,) = files_in(tmp_path)
    file.write_bytes(PHOTO[:-1] + b"!")
    for path in ("/file", "/file?strip=true", "/thumbnail"):
        response = evidence.api.get(address + path)
        assert (response.status_code, response.json()["type"]) == (500, "/problems/evidence-damaged")
    assert evidence.post().status_code == 200  # the same file, added again
    assert evidence.api.get(f"{address}/file").content == PHOTO


def test_a_document_may_name_a_file_that_is_not_here(evidence: Evidence) -> None:
    """As one does that came from another machine; the file is added afterwards."""
    document = {"build": {"name": "Camper", "currency": "USD"}}
    entry = {"id": "plate", "sha256": SHA, "media_type": "image/jpeg", "size": len(PHOTO)}
    build = evidence.create(json.dumps({**document, "evidence": [entry]}).encode())
    assert evidence.api.get(f"{build}/evidence/plate/file").status_code == 404
    added = evidence.api.post(f"{build}/evidence", content=PHOTO)
    assert (added.status_code, added.json()["duplicate_of"]) == (200, "plate")
    assert evidence.api.get(f"{build}/evidence/plate/file").content == PHOTO


def test_without_a_place_for_files_a_server_says_so(evidence: Evidence, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(evidence.store.evidence, "_kept_in", None)
    response = evidence.post()
    assert (response.status_code, response.json()["type"]) == (501, "/problems/no-evidence-store")


def test_a_full_disk_keeps_nothing(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk") as disk:
        store = open_store(str(tmp_path / "builds.db"), evidence=str(disk / "evidence"))
        with TestClient(create_app(store)) as api:
            caller = Evidence(api, store)
            caller.add()
            before = sorted(files_in(disk))
            fill(disk)
            response = caller.post(photo(number=1, size=(400, 400)))
            assert (response.status_code, response.json()["type"]) == (507, "/problems/store-full")
            assert sorted(files_in(disk)) == sorted([*before, disk / "filler"])
            assert len(caller.kept()) == 1
            (disk / "filler").unlink()
            make_read_only(disk)
            response = caller.post(PDF)
            assert (response.status_code, response.json()["type"]) == (503, "/problems/store-read-only")
            assert api.get(f"{caller.address}/{SHA[:16]}/file").content == PHOTO
        store.close()


@pytest.mark.parametrize(("error", "status"), [(FullError, 507), (ReadOnlyError, 503)])
def test_no_room_while_a_file_is_received(
    evidence: Evidence, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, error: type[Exception], status: int
) -> None:
    def put(*_: object) -> None:
        raise error("no room")

    monkeypatch.setattr(evidence.store.evidence._blobs, "put", put)
    assert evidence.post().status_code == status
    assert evidence.kept() == []
    assert files_in(tmp_path) == []


def test_an_upload_that_is_cut_off_in_the_middle_leaves_nothing(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "builds.db"))
    with running(store=store) as address:
        host, _, port = address.removeprefix("http://").partition(":")
        document = {"name": "Camper", "currency": "USD"}
        build = httpx2.post(f"{address}/v1/builds", json=document).headers["location"]
        for head in ("content-type: image/jpeg", "content-type: multipart/form-data; boundary=x"):
            with socket.create_connection((host, int(port)), timeout=5) as wire:
                start = f"POST {build}/evidence HTTP/1.1\r\nhost: {host}:{port}\r\n{head}\r\n"
                start += "content-length: 90000\r\n\r\n"
                wire.sendall(start.encode() + PHOTO)
                wire.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # hang up hard
        assert httpx2.get(f"{address}{build}/evidence").json() == {"items": []}
        for _ in range(50):
            if not files_in(tmp_path):
                break
            sleep(0.1)
        assert files_in(tmp_path) == []
    store.close()
