"""`hitchworth claim-pack`: from a document and a folder, from a database, on a server."""

import json
from pathlib import Path

import pytest

from claim_pack_files import PHOTOS, document, entries, unpacked, write_photos
from hitchworth.cli import main
from hitchworth.store import open_store
from hitchworth.web.server import running

Capture = pytest.CaptureFixture[str]
NAMES = ("--loss", "theft", "--policy", "home", "--as-of", "2026-06-20")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "camper.json"
    path.write_text(json.dumps(document(evidence=entries())))
    return path


def pack(*arguments: object) -> int:
    return main(["claim-pack", *map(str, arguments), *NAMES])


def test_files_are_found_by_their_hashes_whatever_their_names_are_now(file: Path, tmp_path: Path) -> None:
    photos = write_photos(tmp_path / "photos")
    (photos / "kitchen" / "plate.jpg").rename(photos / "renamed.jpg")
    packs = [tmp_path / name for name in ("first.zip", "second.zip")]
    assert [pack(file, "--evidence", photos, "-o", each) for each in packs] == [0, 0]
    assert packs[0].read_bytes() == packs[1].read_bytes()
    found = unpacked(packs[0].read_bytes(), tmp_path / "unpacked")
    assert [found[f"evidence/000{number}"] for number in ("1.jpg", "2.heic", "3.pdf")] == list(PHOTOS.values())


def test_missing_files_are_named_and_nothing_is_written(file: Path, tmp_path: Path, capsys: Capture) -> None:
    photos = write_photos(tmp_path / "photos")
    (photos / "stove.heic").write_bytes(b"another")
    (photos / "receipt.pdf").unlink()
    out = tmp_path / "pack.zip"
    assert pack(file, "--evidence", photos, "-o", out) == 1
    told = capsys.readouterr().err
    assert "/evidence/1: The file stove.heic is not the one that was added" in told
    assert "/evidence/2: The file receipt.pdf is missing" in told
    assert not [each for each in tmp_path.iterdir() if "pack.zip" in each.name]
    assert pack(file, "--evidence", photos, "--allow-missing", "-o", out) == 0
    told = capsys.readouterr().err
    assert "not in the pack: stove.heic: what was found is not the file that was added" in told
    assert "not in the pack: receipt.pdf: not found" in told


def test_without_a_folder_the_pack_has_no_files(file: Path, tmp_path: Path, capsys: Capture) -> None:
    assert pack(file, "-o", tmp_path / "pack.zip") == 0
    assert "made without the files of evidence (3)" in capsys.readouterr().err


@pytest.mark.parametrize("place", ["database", "server"])
def test_a_kept_build(place: str, tmp_path: Path, capsys: Capture) -> None:
    where, path = str(tmp_path / "builds.db"), tmp_path / "camper.json"
    path.write_text(json.dumps(document()))
    assert main(["builds", "add", str(path), "--database", where]) == 0
    build = capsys.readouterr().out.split()[2].strip(",")
    photos = str(write_photos(tmp_path / "photos"))
    assert main(["evidence", "add", photos, "--build", build, "--database", where]) == 0
    out = tmp_path / "pack.zip"
    if place == "database":
        assert pack("--build", build, "--database", where, "-o", out) == 0
    else:
        store = open_store(where)
        with running(store=store) as address:
            assert pack("--build", build, "--server", address, "-o", out) == 0
        store.close()
    found = unpacked(out.read_bytes(), tmp_path / "unpacked")
    assert sorted(found[name] for name in found if name.startswith("evidence/")) == sorted(PHOTOS.values())


def test_wrong_use(file: Path, tmp_path: Path, capsys: Capture) -> None:
    out = ("-o", tmp_path / "pack.zip")
    assert pack(*out) == 2
    assert pack(file, "--build", "1", *out) == 2
    assert pack(file, "--evidence", tmp_path / "nowhere", *out) == 2
    assert pack(file, "--server", "http://127.0.0.1:9", "--evidence", tmp_path, *out) == 2
    assert main(["claim-pack", str(file), "-o", str(out[1])]) == 1
    assert "/loss: Name the loss" in capsys.readouterr().err
    assert not out[1].exists()


def test_a_backup_finds_its_evidence_again_on_an_empty_machine(tmp_path: Path, capsys: Capture) -> None:
    """Backup, everything lost, restore: the pack is the same, to the byte."""
    where, path = tmp_path / "old" / "builds.db", tmp_path / "camper.json"
    where.parent.mkdir()
    path.write_text(json.dumps(document()))
    assert main(["builds", "add", str(path), "--database", str(where)]) == 0
    build = capsys.readouterr().out.split()[2].strip(",")
    photos = str(write_photos(tmp_path / "photos"))
    assert main(["evidence", "add", photos, "--build", build, "--database", str(where)]) == 0
    assert pack("--build", build, "--database", where, "-o", tmp_path / "before.zip") == 0
    capsys.readouterr()
    assert main(["backup", str(tmp_path / "friday.db"), "--database", str(where)]) == 0
    assert "files of evidence: 3" in capsys.readouterr().out
    where.parent.rename(tmp_path / "gone")
    restored = tmp_path / "new.db"
    assert main(["restore", str(tmp_path / "friday.db"), "--database", str(restored)]) == 0
    assert pack("--build", build, "--database", restored, "-o", tmp_path / "after.zip") == 0
    assert (tmp_path / "before.zip").read_bytes() == (tmp_path / "after.zip").read_bytes()
