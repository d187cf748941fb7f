"""`hitchworth evidence`: a folder of photos taken in one command, in a database, on a server and without either."""

import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import pytest

from camera_photos import PDF, folder_of_photos, photo, plate
from hitchworth.cli import main
from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.operations.builds import create_build
from hitchworth.operations.changes import Creation
from hitchworth.store import open_store
from hitchworth.web.server import running
from web_server import example

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def photos(tmp_path: Path) -> Path:
    """40 photos of a telephone, HEIC among them; one twice; one cut off; a text; and what a system adds."""
    folder = tmp_path / "photos"
    folder_of_photos(folder)
    (folder / "again.jpg").write_bytes((folder / "day 1" / "IMG_0000.jpg").read_bytes())
    (folder / "cut off.jpg").write_bytes(photo(number=99)[:-400])
    (folder / "notes.txt").write_text("the stove is from 2025")
    (folder / ".hidden").write_bytes(b"1")
    return folder


@pytest.fixture(params=["database", "server"])
def run(request: pytest.FixtureRequest, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Iterator[Run]:
    """Run an action where the parameter says; returns exit code, output and errors."""
    where = str(tmp_path / "builds.db")
    store = open_store(where)

    def at(*options: str) -> Run:
        def action(*arguments: object) -> tuple[int, str, str]:
            capsys.readouterr()
            code = main(["evidence", *map(str, arguments), *options])
            printed = capsys.readouterr()
            return code, printed.out, printed.err

        return action

    if request.param == "database":
        store.close()
        yield at("--database", where)
    else:
        with running(store=store) as address:
            yield at("--server", address)
        store.close()


@pytest.fixture
def build(tmp_path: Path) -> str:
    store = open_store(str(tmp_path / "builds.db"))
    kept = create_build(store, LOCAL_CALLER, example("kept-build"), Creation())
    store.close()
    return kept.id


def test_a_folder_is_taken_in_one_command_and_can_be_taken_again(build: str, run: Run, photos: Path) -> None:
    code, out, err = run("add", photos, "--build", build, "--subject", "trailer", "--kind", "photo")
    assert (code, out) == (1, "40 added, 1 there already, 2 not taken\n")
    assert "cut off.jpg: /file: The picture is broken or cut off" in err
    assert "notes.txt: /file: The file is neither a photo nor a PDF" in err
    _, told, _ = run("list", build, "--format", "json")
    entries = {each["file_name"]: each for each in json.loads(told)}
    assert len(entries) == 40
    heic = entries["day 3/IMG_0002.heic"]
    assert (heic["media_type"], heic["taken_at"]) == ("image/heic", "2026-05-01T14:03:20-07:00")
    assert (heic["subjects"], heic["kind"]) == (["trailer"], "photo")
    assert {each["media_type"] for each in entries.values()} == {"image/jpeg", "image/heic", "image/png", "image/webp"}
    (photos / "cut off.jpg").write_bytes(photo(number=99))
    (photos / "notes.txt").unlink()
    assert run("add", photos, "--build", build)[:2] == (0, "1 added, 41 there already, 0 not taken\n")


def test_single_files_and_what_they_are_evidence_of(build: str, run: Run, tmp_path: Path) -> None:
    (tmp_path / "receipt.pdf").write_bytes(PDF)
    wanted = ("--build", build, "--subject", "stove", "--subject", "panel", "--kind", "receipt")
    assert run("add", tmp_path / "receipt.pdf", *wanted)[0] == 0
    assert "receipt.pdf" in run("list", build)[1]
    assert "stove" in run("list", build, "--format", "csv")[1]
    code, out, err = run("add", tmp_path / "receipt.pdf", "--build", build, "--subject", "stow")
    assert (code, out) == (1, "0 added, 0 there already, 1 not taken\n")
    assert "nothing of this name" in err


def test_a_plate_is_read(build: str, run: Run, tmp_path: Path) -> None:
    (tmp_path / "plate.jpg").write_bytes(plate("S/N 4711 0822"))
    assert run("add", tmp_path / "plate.jpg", "--build", build, "--subject", "number:stove")[0] == 0
    (entry,) = json.loads(run("list", build, "--format", "json")[1])
    code, out, err = run("read", build, entry["id"])
    assert (code, err) == (0, "")
    assert "4711 0822" in out
    assert "compare every character" in " ".join(out.split())
    (proposal,) = json.loads(run("read", build, entry["id"], "--format", "json")[1])["proposals"]
    assert (proposal["kind"], proposal["agreement"]) == ("serial_number", "missing")
    assert "/build/components/3/serial_number" in run("read", build, entry["id"], "--format", "csv")[1]


def test_wrong_use(build: str, run: Run, tmp_path: Path) -> None:
    (tmp_path / "receipt.pdf").write_bytes(PDF)
    assert run("add", tmp_path / "nothing", "--build", build)[0] == 2
    assert run("add", tmp_path / "receipt.pdf")[0] == 2
    assert run("add", tmp_path / "receipt.pdf", "--build", build, "--into", tmp_path / "x.json")[0] == 2
    assert run("add", tmp_path / "receipt.pdf", "--build", "0000")[0] == 2


def test_a_file_that_is_too_large(build: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "large.pdf").write_bytes(PDF[:-7] + b" " * 2000 + PDF[-7:])
    where = ["--database", str(tmp_path / "builds.db"), "--max-evidence-bytes", "1000"]
    assert main(["evidence", "add", str(tmp_path / "large.pdf"), "--build", build, *where]) == 1
    assert "too large" in capsys.readouterr().err


def test_without_a_server_files_are_tied_to_a_document(
    photos: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "camper.json"
    file.write_bytes(example("kept-build"))
    assert main(["evidence", "add", str(photos), "--into", str(file), "--subject", "stove"]) == 1
    assert capsys.readouterr().out == "40 added, 1 there already, 2 not taken\n"
    document = json.loads(file.read_text())
    assert len(document["evidence"]) == 40
    for entry in document["evidence"]:
        content = (photos / entry["file_name"]).read_bytes()
        assert (entry["sha256"], entry["size"]) == (sha256(content).hexdigest(), len(content))
        assert entry["subjects"] == ["stove"]
    before = file.read_bytes()
    main(["evidence", "add", str(photos / "day 1"), "--into", str(file)])
    assert file.read_bytes() == before
    assert main(["estimate", str(file), "--format", "csv"]) == 0  # every computation takes it
    assert main(["classify", str(file), "--format", "json"]) == 0
    assert main(["evidence", "add", str(photos / "day 1"), "--into", str(file), "--subject", "stow"]) == 1
    assert file.read_bytes() == before


def test_what_nothing_needs_is_told_and_then_deleted(
    build: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where = str(tmp_path / "builds.db")
    store = open_store(where, clock=lambda: datetime.now(UTC) - timedelta(days=3))
    with store.evidence.receive(1000) as incoming:
        incoming.write(PDF)
        store.evidence.keep("default", incoming, "application/pdf")
    store.close()
    line = f"default: {sha256(PDF).hexdigest()}, {len(PDF)} bytes\n"
    assert main(["evidence", "collect", "--database", where]) == 0
    assert capsys.readouterr().out == f"{line}1 files, {len(PDF)} bytes: not needed; --delete deletes them\n"
    assert main(["evidence", "collect", "--database", where, "--delete"]) == 0
    assert capsys.readouterr().out == f"{line}1 files, {len(PDF)} bytes: deleted\n"
    assert main(["evidence", "collect", "--database", where]) == 0
    assert capsys.readouterr().out == "0 files, 0 bytes: not needed; --delete deletes them\n"
