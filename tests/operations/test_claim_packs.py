"""Claim packs: what is in them, what is not, and what keeps one from being made."""

import csv
import json
import tracemalloc
from collections.abc import Callable
from datetime import date
from hashlib import sha256
from io import BytesIO, StringIO
from pathlib import Path
from typing import IO, Any

import msgspec
import pytest
from docx import Document
from pypdf import PdfReader

from camera_photos import photo
from claim_pack_files import PHOTOS, document, entries, unpacked
from hitchworth.evidence.recognition import recognize
from hitchworth.model.evidence import Evidence
from hitchworth.model.request import GapRequest
from hitchworth.operations.claim_packs import (
    ClaimChoice,
    Handover,
    LeftOutError,
    PackOrder,
    create_claim_pack,
    write_claim_pack,
)
from hitchworth.operations.requests import read_request
from hitchworth.validation import InvalidInputError
from hitchworth.workbooks.reading import read_tables

AS_ADDED = Handover()
CHOICE = ClaimChoice(loss="theft", policy="home")
DAY = date(2026, 6, 20)
PAPERS = ("claim-summary", "inventory", "valuation", "settlement", "registration", "first-day", "serial-numbers")


def request(**more: Any) -> GapRequest:
    return read_request(msgspec.json.encode(document(as_of="2026-06-20", **more)), GapRequest)


def source(files: dict[str, bytes]) -> Callable[[Evidence], IO[bytes]]:
    by_hash = {sha256(content).hexdigest(): content for content in files.values()}

    def open_file(entry: Evidence) -> IO[bytes]:
        if entry.sha256 not in by_hash:
            raise LeftOutError("missing")
        return BytesIO(by_hash[entry.sha256])

    return open_file


def packed(files: dict[str, bytes] | None = None, handover: Handover = AS_ADDED, **more: Any) -> bytes:
    file = BytesIO()
    given = None if files is None else source(files)
    write_claim_pack(file, PackOrder(request=request(**more), claim=CHOICE, source=given, handover=handover))
    return file.getvalue()


def faults(order: PackOrder) -> list[tuple[str, str]]:
    with pytest.raises(InvalidInputError) as caught:
        write_claim_pack(BytesIO(), order)
    return [(fault.pointer, fault.detail) for fault in caught.value.faults]


def text_of(name: str, content: bytes) -> str:
    if name.endswith(".pdf"):
        return "\n".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages)
    if name.endswith(".docx"):
        word = Document(BytesIO(content))
        cells = (cell.text for table in word.tables for row in table.rows for cell in row.cells)
        return "\n".join((*(paragraph.text for paragraph in word.paragraphs), *cells))
    if name.endswith(".xlsx"):
        return "\n".join(str(cell) for table in read_tables(content).tables for row in table.rows for cell in row)
    return content.decode("utf-8", "replace")


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return unpacked(packed(PHOTOS, evidence=entries()), tmp_path_factory.mktemp("pack"))


@pytest.fixture(scope="module")
def texts(pack: dict[str, bytes]) -> dict[str, str]:
    return {name: text_of(name, content) for name, content in pack.items() if not name.startswith("evidence/")}


def test_every_paper_and_table_is_there(pack: dict[str, bytes]) -> None:
    papers = {f"papers/{number}-{name}.{form}" for number, name in enumerate(PAPERS, 1) for form in ("pdf", "docx")}
    tables = {"inventory.csv", "inventory.xlsx", "serial-numbers.csv", "evidence.csv", "pack.json"}
    files = {"evidence/0001.jpg", "evidence/0002.heic", "evidence/0003.pdf"}
    assert set(pack) == papers | tables | files
    record = json.loads(pack["pack.json"])
    assert set(record["files"]) == set(pack)
    assert (record["valued_on"], record["made_on"], record["left_out"]) == ("2026-06-01", "2026-06-20", [])


def test_evidence_is_byte_for_byte_and_its_hashes_are_listed(pack: dict[str, bytes]) -> None:
    assert [pack[f"evidence/000{number}"] for number in ("1.jpg", "2.heic", "3.pdf")] == list(PHOTOS.values())
    rows = list(csv.DictReader(StringIO(pack["evidence.csv"].decode())))
    assert [row["sha256"] for row in rows] == [sha256(content).hexdigest() for content in PHOTOS.values()]
    assert [row["sha256_in_pack"] for row in rows] == [row["sha256"] for row in rows]
    assert [row["file_name"] for row in rows] == list(PHOTOS)
    stove = next(row for row in csv.DictReader(StringIO(pack["inventory.csv"].decode())) if row["id"] == "stove")
    assert stove["evidence"] == "evidence/0002.heic; evidence/0003.pdf"


def test_nothing_of_other_policies_or_of_the_builder_alone_is_in_it(texts: dict[str, str]) -> None:
    """Premium and probability are the builder's own; the other policy has a name, amounts and an answer of its own."""
    everything = "\n".join(texts.values()).replace(",", "")
    for secret in ("other secret", "54321", "1234.00", "60606", "Robin Secret", "777.77", "0.0123", "1.23%"):
        assert secret not in everything, secret
    assert "47.606" not in everything  # the place of the photo


def test_both_formats_say_what_is_known_of_the_claim(texts: dict[str, str]) -> None:
    for form in ("pdf", "docx"):
        first_day = texts[f"papers/6-first-day.{form}"]
        for known in ("C-2026-0417", "P-77", "Dana Birch (Jun 3, 2026)", "Jun 1, 2026"):
            assert known in first_day, known
        assert "Dana Birch" in texts[f"papers/5-registration.{form}"]
        assert "C-2026-0417" in texts[f"papers/7-serial-numbers.{form}"]


def test_a_term_that_is_not_known_is_no_admission(texts: dict[str, str]) -> None:
    """Both ends of the payment are there, and that neither is accepted."""
    settlement = " ".join(texts["papers/4-settlement.pdf"].split())
    assert "That accepts neither" in settlement
    assert settlement.index("Paid at most") < settlement.index("Paid at least")
    assert "Gap" not in settlement


def test_the_same_document_on_the_same_day_is_the_same_bytes() -> None:
    assert packed(PHOTOS, evidence=entries()) == packed(PHOTOS, evidence=entries())


def test_without_files_the_pack_says_so(tmp_path: Path) -> None:
    with create_claim_pack(request(evidence=entries()), CHOICE).file as file:
        pack = unpacked(file.read(), tmp_path)
    assert not any(name.startswith("evidence/") for name in pack)
    assert "made without the files of evidence" in " ".join(
        text_of("x.pdf", pack["papers/1-claim-summary.pdf"]).split()
    )
    assert {each["reason"] for each in json.loads(pack["pack.json"])["left_out"]} == {"not_given"}


def test_without_any_evidence_the_pack_says_so(tmp_path: Path) -> None:
    pack = unpacked(packed({}), tmp_path)
    assert "No evidence is on record" in text_of("x.pdf", pack["papers/1-claim-summary.pdf"])


def test_photos_without_place_and_date(tmp_path: Path) -> None:
    pack = unpacked(packed(PHOTOS, Handover(strip=True), evidence=entries()), tmp_path)
    for name in ("evidence/0001.jpg", "evidence/0002.jpg"):  # of HEIC, a JPEG is made
        found = recognize(BytesIO(pack[name]), 10**6)
        assert (found.media_type, found.place, found.taken_at) == ("image/jpeg", None, None)
    rows = list(csv.DictReader(StringIO(pack["evidence.csv"].decode())))
    assert rows[0]["sha256"] == sha256(PHOTOS["kitchen/plate.jpg"]).hexdigest()
    assert rows[0]["sha256_in_pack"] == sha256(pack["evidence/0001.jpg"]).hexdigest() != rows[0]["sha256"]


def test_the_class_report_only_where_it_is_asked_for(tmp_path: Path) -> None:
    choice = ClaimChoice(loss="theft", policy="home", class_report=True)
    with create_claim_pack(request(), choice).file as file:
        assert "papers/8-class-report.pdf" in unpacked(file.read(), tmp_path)


def test_every_missing_file_is_named_at_once() -> None:
    given = source({"receipt.pdf": PHOTOS["receipt.pdf"]})
    order = PackOrder(request=request(evidence=entries()), claim=CHOICE, source=given)
    assert faults(order) == [
        ("/evidence/0", "The file kitchen/plate.jpg is missing"),
        ("/evidence/1", "The file stove.heic is missing"),
    ]


def test_a_pack_without_missing_files_lists_them(tmp_path: Path) -> None:
    given = {"receipt.pdf": PHOTOS["receipt.pdf"]}
    pack = unpacked(packed(given, Handover(allow_missing=True), evidence=entries()), tmp_path)
    left_out = {each["file_name"]: each["reason"] for each in json.loads(pack["pack.json"])["left_out"]}
    assert left_out == {"kitchen/plate.jpg": "missing", "stove.heic": "missing"}
    assert "The file was not found" in text_of("x.pdf", pack["papers/1-claim-summary.pdf"])


def test_a_file_that_lies_about_its_type_is_refused() -> None:
    liar, bomb = photo("PNG", 3), b"PK\x03\x04" + bytes(1000)
    files = {"liar.jpg": liar, "bomb.pdf": bomb}
    order = PackOrder(request=request(evidence=entries(**files)), claim=CHOICE, source=source(files))
    assert faults(order) == [
        ("/evidence/0", "The file liar.jpg is not what the document says"),
        ("/evidence/1", "The file bomb.pdf is not what the document says"),
    ]


@pytest.mark.parametrize(
    ("choice", "told"),
    [
        (
            ClaimChoice(loss="flood", policy="offer"),
            [("/loss", "There is no such loss"), ("/policy", "There is no such policy")],
        ),
        (ClaimChoice(), [("/loss", "Name the loss"), ("/policy", "Name the policy")]),
    ],
)
def test_an_unknown_loss_or_policy(choice: ClaimChoice, told: list[tuple[str, str]]) -> None:
    assert faults(PackOrder(request=request(), claim=choice)) == told


def test_a_document_without_losses_and_policies() -> None:
    bare = request(losses=[], policies=[], answers=[])
    told = [("/loss", "There is no loss"), ("/policy", "There is no policy")]
    assert faults(PackOrder(request=bare, claim=ClaimChoice())) == told


def test_a_pack_is_not_made_before_its_loss() -> None:
    early = msgspec.structs.replace(request(), as_of=date(2026, 5, 31))
    assert [pointer for pointer, _ in faults(PackOrder(request=early, claim=CHOICE))] == ["/as_of"]


def test_memory_does_not_grow_with_the_evidence(tmp_path: Path) -> None:
    """60 megabytes of evidence: a PDF is not opened, so it may be anything."""
    content = b"%PDF-1.7\n" + bytes(60_000_000) + b"%%EOF"
    large = tmp_path / "large.pdf"
    large.write_bytes(content)
    order = request(evidence=entries(**{"large.pdf": content}))
    del content
    tracemalloc.start()
    with (tmp_path / "pack.zip").open("wb") as file:
        write_claim_pack(file, PackOrder(request=order, claim=CHOICE, source=lambda _: large.open("rb")))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert (tmp_path / "pack.zip").stat().st_size > 60_000_000
    assert peak < 40_000_000
