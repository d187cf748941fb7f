"""How much a file may hold, and files that are no tables: one plain sentence each."""

from time import process_time

import pytest
from msgspec import convert

from hitchworth.model.build import Build
from hitchworth.model.document import Document
from hitchworth.model.receipt_import import ImportSettings
from hitchworth.operations.imports import import_into
from hitchworth.workbooks.reading import read_tables
from hitchworth.workbooks.table import UnreadableFileError
from imported_tables import faults, imported

HEAD = "Date,Item,Amount\n"
DOCUMENT = Document(build=Build(name="n", currency="USD"))


def log(first: int, count: int) -> bytes:
    """A log of hours with so many rows, no two of them alike."""
    rows = (f"2025-03-04,work {number},1\n" for number in range(first, first + count))
    return f"Date,Work,Hours\n{''.join(rows)}".encode()


def test_10_000_rows_are_taken_and_one_more_is_refused_in_plain_words() -> None:
    assert len(imported(log(0, 10_000)).labor) == 10_000
    for count in (10_001, 19_999, 20_000, 200_000):
        began = process_time()
        with pytest.raises(UnreadableFileError, match="more than 10,000 rows, and a build has at most 10,000 lines"):
            imported(log(0, count))
        assert process_time() - began < 5


def test_a_document_has_no_more_lines_than_a_build() -> None:
    settings = convert({}, ImportSettings)
    _, addition, _ = import_into(log(0, 10_000), settings, DOCUMENT)
    assert addition is not None
    with pytest.raises(UnreadableFileError, match="the document would have 10,001 entries of labor"):
        import_into(log(10_000, 1), settings, addition.document)


@pytest.mark.parametrize(
    ("start", "kind"),
    [(b"\x89PNG\r\n", "PNG"), (b"\xff\xd8\xff\xe0", "JPEG"), (b"\x00\x00\x00\x18ftypheic", "HEIC"), (b"GIF89a", "GIF")],
)
def test_a_picture_is_called_a_picture(start: bytes, kind: str) -> None:
    with pytest.raises(UnreadableFileError, match=rf"is a picture \({kind}\), not a table"):
        read_tables(start + bytes(range(256)))


def test_headers_alone_are_said_to_be_alone() -> None:
    assert faults(HEAD) == [("", "The file has headers and no rows below them")]


def test_a_field_that_there_is_not_is_told_with_a_few_that_there_are() -> None:
    (detail,) = [detail for _, detail in faults(f"{HEAD}2025-03-04,Stove,2\n", columns={"Item": "foo"})]
    assert detail == "There is no such field"
