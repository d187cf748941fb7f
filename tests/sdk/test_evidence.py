"""The client's methods for evidence, against a real server."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import httpx2
import pytest

from camera_photos import PDF, folder_of_photos, photo, plate
from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.operations.builds import create_build
from hitchworth.operations.changes import Creation
from hitchworth.operations.settings import Settings
from hitchworth.store import open_store
from hitchworth.web.server import running
from hitchworth_sdk import (
    Client,
    Document,
    EstimateRequest,
    FolderStep,
    HitchworthError,
    InvalidInput,
    PayloadTooLarge,
    SerialNumberRequest,
    TransportError,
)
from web_server import example


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Client, str]]:
    store = open_store(str(tmp_path_factory.mktemp("evidence") / "builds.db"))
    build = create_build(store, LOCAL_CALLER, example("kept-build"), Creation()).id
    with running(Settings(port=0, max_evidence_bytes=500_000), store=store) as address, Client(address) as client:
        yield client, build
    store.close()


def test_a_photo_there_and_back(served: tuple[Client, str], tmp_path: Path) -> None:
    client, build = served
    path = tmp_path / "IMG_0001.jpg"
    path.write_bytes(photo(number=200))
    added = client.add_evidence(build, path, subject=("stove", "panel"), kind="photo", caption="The plate")
    assert (added.file_name, added.subjects, added.duplicate_of) == ("IMG_0001.jpg", ("stove", "panel"), None)
    assert client.add_evidence(build, path.read_bytes()).duplicate_of == added.id
    assert client.get_evidence(build, added.id).caption == "The plate"
    assert client.get_evidence_file(build, added.id) == path.read_bytes()
    assert client.get_evidence_file(build, added.id, strip=True) != path.read_bytes()
    assert client.get_evidence_thumbnail(build, added.id, size="small").startswith(b"\xff\xd8")
    assert [each.id for each in client.list_evidence(build, subject="panel")] == [added.id]
    changed = client.change_evidence(client.get_build(build), added.id, {"subjects": ["stove"]}, message="no panel")
    assert client.list_evidence(build, subject="panel") == ()
    client.remove_evidence(changed, added.id)
    assert added.id not in [each.id for each in client.list_evidence(build)]


def test_a_plate_is_read(served: tuple[Client, str]) -> None:
    client, build = served
    added = client.add_evidence(build, plate("S/N 4711 0822"), subject="number:stove")
    reading = client.get_plate_reading(build, added.id, locale="fr-CA")
    assert [(each.component, each.number) for each in reading.proposals] == [("stove", "4711 0822")]
    assert reading.locale == "fr-CA"
    client.remove_evidence(client.get_build(build), added.id)


def test_every_kind_of_file_can_be_read(served: tuple[Client, str]) -> None:
    client, build = served
    for content in (PDF, *(photo(form, 201) for form in ("PNG", "WEBP", "HEIF"))):
        added = client.add_evidence(build, content)
        assert client.get_evidence_file(build, added.id) == content


def test_a_file_that_is_none_is_refused(served: tuple[Client, str]) -> None:
    client, build = served
    with pytest.raises(InvalidInput, match="neither a photo nor a PDF"):
        client.add_evidence(build, b"text")
    with pytest.raises(PayloadTooLarge):
        client.add_evidence(build, b"1" * 500_001)


def test_a_folder_with_progress_and_again(served: tuple[Client, str], tmp_path: Path) -> None:
    client, build = served
    folder_of_photos(tmp_path, 10)
    (tmp_path / "again.jpg").write_bytes((tmp_path / "day 1" / "IMG_0000.jpg").read_bytes())
    (tmp_path / "notes.txt").write_text("text")
    (tmp_path / ".hidden.jpg").write_bytes(photo(number=77))
    steps: list[FolderStep] = []
    result = client.add_evidence_folder(build, tmp_path, subject="trailer", kind="photo", progress=steps.append)
    assert (len(result.added), len(result.duplicates)) == (10, 1)
    assert [path.name for path in result.failed] == ["notes.txt"]
    assert [(step.number, step.count) for step in steps] == [(number, 12) for number in range(1, 13)]
    assert {each.file_name for each in result.added} >= {"again.jpg", "day 3/IMG_0002.heic"}
    again = client.add_evidence_folder(build, str(tmp_path), subject="trailer")
    assert (len(again.added), len(again.duplicates), len(again.failed)) == (0, 11, 1)
    more = client.add_evidence_folder(build, tmp_path, subject="stove")
    assert (len(more.added), len(more.duplicates)) == (0, 11)
    assert len(client.list_evidence(build, subject="stove")) >= 10
    with pytest.raises(HitchworthError, match="not a folder"):
        client.add_evidence_folder(build, tmp_path / "nothing")


def test_what_a_link_shows(served: tuple[Client, str]) -> None:
    client, build = served
    added = client.add_evidence(build, photo(number=210))
    link = client.create_share(build, "Adjuster", datetime(2099, 1, 1, tzinfo=UTC))
    token = link.path.rpartition("/")[2]
    assert added.place is not None
    assert [each.place for each in client.list_shared_evidence(token) if each.id == added.id] == [None]
    assert client.get_shared_evidence_file(token, added.id).startswith(b"\xff\xd8")
    assert client.get_shared_evidence_thumbnail(token, added.id).startswith(b"\xff\xd8")


def test_a_file_is_opened_anew_for_each_attempt(tmp_path: Path) -> None:
    """The first attempt has read it to its end."""
    path, bodies = tmp_path / "receipt.pdf", list[bytes]()
    path.write_bytes(PDF)

    def refuse(request: httpx2.Request) -> httpx2.Response:
        bodies.append(request.read())
        raise httpx2.ConnectError("no")

    transport = httpx2.MockTransport(refuse)
    with Client("http://server.test", retries=1, transport=transport) as client, pytest.raises(TransportError):
        client.add_evidence("build", path)
    assert bodies == [PDF, PDF]


def test_numbers_and_documentation_of_a_build(served: tuple[Client, str]) -> None:
    client, build = served
    kept = client.get_build(build)
    changed = client.patch_build(kept, {"build": {"vin": "1HTCH0000AB000017"}})
    label = client.add_evidence(build, photo(number=202), subject=("number:stove",), kind="photo")
    register = client.get_serial_number_register(build, as_of=date(2026, 6, 1))
    assert register.items[0].identification_number == "1HTCH0000AB000017"
    assert [each.id for each in register.items[1].shown_by] == [label.id]
    document = Document(build=changed.build, evidence=client.get_build(build).evidence)
    given = {name: getattr(document, name) for name in document.__struct_fields__} | {"as_of": date(2026, 6, 1)}
    assert client.create_serial_number_register(SerialNumberRequest(**given)) == register
    score = client.get_documentation_score(build, as_of=date(2026, 6, 1))
    assert client.create_documentation_score(EstimateRequest(**given)) == score
    assert [each.record for each in score.shares] == ["receipt", "photo", "serial_number"]
    found = client.find_serial_number("1htch oooo ab oooo17", locale="fr-CA")
    assert [(each.build, each.match) for each in found.items] == [(build, "forgiven")]
    assert "les mêmes caractères" in found.items[0].text
