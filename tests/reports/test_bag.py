"""A bag (RFC 8493) as the standard's own tool and a plain checksum program see it."""

import subprocess
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_STORED, ZipFile

import bagit
import pytest

from hitchworth.reports.bag import Bag

FILES = {"papers/1-summary.pdf": b"%PDF-1.7", "evidence/0001.jpg": b"photo" * 500_000, "list.csv": b""}
INFORMATION = (("Bagging-Date", "2026-11-01"), ("External-Description", "Fire,\nburned down"))


def written() -> bytes:
    file = BytesIO()
    bag = Bag(file, "claim-pack")
    for path, content in FILES.items():
        assert bag.add(path, content) == sha256(content).hexdigest()
    last = bag.finish(INFORMATION)
    with ZipFile(file) as archive:
        assert sha256(archive.read("claim-pack/tagmanifest-sha256.txt")).hexdigest() == last
    return file.getvalue()


@pytest.fixture
def unpacked(tmp_path: Path) -> Path:
    with ZipFile(BytesIO(written())) as archive:
        archive.extractall(tmp_path)
    return tmp_path / "claim-pack"


def test_the_tool_of_the_standard_finds_it_valid(unpacked: Path) -> None:
    bag = bagit.Bag(str(unpacked))
    bag.validate()
    assert bag.version_info == (1, 0)
    assert set(bag.payload_files()) == {f"data/{path}" for path in FILES}
    # By hand: 8 + 2,500,000 + 0 bytes in 3 files.
    assert bag.info["Payload-Oxum"] == "2500008.3"
    assert bag.info["External-Description"] == "Fire, burned down"


def test_a_plain_checksum_program_reads_the_manifest(unpacked: Path) -> None:
    command = ["sha256sum", "--strict", "-c", "manifest-sha256.txt"]
    assert subprocess.run(command, cwd=unpacked, capture_output=True, check=False).returncode == 0


@pytest.mark.parametrize("path", [*(f"data/{path}" for path in list(FILES)[:2]), "bag-info.txt"])
def test_a_broken_byte_is_found(unpacked: Path, path: str) -> None:
    content = bytearray((unpacked / path).read_bytes())
    content[len(content) // 2] ^= 1
    (unpacked / path).write_bytes(content)
    with pytest.raises(bagit.BagValidationError, match=Path(path).name):
        bagit.Bag(str(unpacked)).validate()


def test_a_file_that_came_or_went_is_found(unpacked: Path) -> None:
    (unpacked / "data" / "list.csv").rename(unpacked / "data" / "other.csv")
    with pytest.raises(bagit.BagValidationError):
        bagit.Bag(str(unpacked)).validate()


def test_the_same_files_are_the_same_bytes_and_stored_as_they_are() -> None:
    first = written()
    assert first == written()
    with ZipFile(BytesIO(first)) as archive:
        entries = archive.infolist()
    assert {entry.compress_type for entry in entries} == {ZIP_STORED}
    assert {entry.date_time for entry in entries} == {(1980, 1, 1, 0, 0, 0)}
    assert {entry.filename.partition("/")[0] for entry in entries} == {"claim-pack"}


@pytest.mark.parametrize("path", ["../x", "/x", "a/../b", "a//b", "Con.txt", "a b", "100%.txt", "", "évidence", "x\ny"])
def test_a_path_that_some_system_reads_otherwise_is_refused(path: str) -> None:
    with pytest.raises(ValueError, match="no path"):
        Bag(BytesIO(), "claim-pack").add(path, b"1")


def test_a_path_is_given_once() -> None:
    bag = Bag(BytesIO(), "claim-pack")
    bag.add("a", b"1")
    with pytest.raises(ValueError, match="no path"):
        bag.add("a", b"1")
