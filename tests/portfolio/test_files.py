"""Documents read from the files of a folder."""

from pathlib import Path

import polars
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.portfolio.files import documents_of, file_pieces
from hitchworth.portfolio.places import PlaceError
from hitchworth.portfolio.revaluation import SourceDocument
from portfolio_documents import camper, line, write_lines

LINES = (b'{"id":"a","build":{}}', b"", b'{"id":7,"build":{"name":"\xc3\xa9"}}', b"{", b'{"build":{}}', b'{"id":[]}')


def read(where: str, piece_bytes: int = 8_000_000) -> list[SourceDocument]:
    return [document for piece in file_pieces(where, piece_bytes) for document in documents_of(where, piece)]


def test_a_line_is_a_document_with_its_id(tmp_path: Path) -> None:
    write_lines(tmp_path / "in" / "a.ndjson", LINES)
    places = [sum(len(each) + 1 for each in LINES[:number]) for number in range(len(LINES))]
    assert read(str(tmp_path)) == [
        SourceDocument("a", b'{"build":{}}'),
        SourceDocument("7", b'{"build":{"name":"\xc3\xa9"}}'),
        SourceDocument(f"in/a.ndjson@{places[3]}", b"{"),
        SourceDocument(f"in/a.ndjson@{places[4]}", b'{"build":{}}'),
        SourceDocument(f"in/a.ndjson@{places[5]}", b'{"id":[]}', "The id is neither text nor a whole number"),
    ]


@given(
    st.lists(st.binary(max_size=12).map(lambda text: text.replace(b"\n", b"")), max_size=12),
    st.integers(1, 40),
    st.booleans(),
)
def test_every_line_is_in_one_piece_however_long_that_is(lines: list[bytes], piece_bytes: int, end: bool) -> None:
    from tempfile import TemporaryDirectory  # noqa: PLC0415  (a folder for each case)

    with TemporaryDirectory() as folder:
        Path(folder, "a.jsonl").write_bytes(b"\n".join(lines) + (b"\n" if end else b""))
        pieces = list(file_pieces(folder, piece_bytes))
        assert read(folder, piece_bytes) == read(folder)
        assert len(read(folder)) == sum(1 for each in lines if each.strip())
        assert all(piece.end - piece.first <= piece_bytes for piece in pieces)


def test_lines_longer_than_what_is_read_at_once_are_whole(tmp_path: Path) -> None:
    long = [b'{"id":"%d","note":"%s"}' % (number, b"x" * 3_000_000) for number in range(4)]
    write_lines(tmp_path / "a.ndjson", long)
    assert [document.id for document in read(str(tmp_path), 2_000_000)] == ["0", "1", "2", "3"]
    assert all(len(document.body) > 3_000_000 for document in read(str(tmp_path), 2_000_000))


def test_a_parquet_file_has_the_same_documents(tmp_path: Path) -> None:
    documents = [camper("A"), camper("B")]
    write_lines(tmp_path / "lines" / "a.ndjson", [line(name, each) for name, each in zip("ab", documents, strict=True)])
    lines = read(str(tmp_path / "lines"))
    for name, kind in (("texts", polars.String), ("bytes", polars.Binary)):
        bodies = [each.body if kind == polars.Binary else each.body.decode() for each in lines]
        (tmp_path / name).mkdir()
        frame = polars.DataFrame(
            {"id": ["a", "b", None], "document": [*bodies, None], "more": [1, 2, 3]},
            schema_overrides={"document": kind},
        )
        frame.write_parquet(tmp_path / name / "a.parquet")
        assert read(str(tmp_path / name)) == [*lines, SourceDocument("a.parquet@3", b"")]


def test_a_parquet_file_without_documents_is_named(tmp_path: Path) -> None:
    polars.DataFrame({"id": ["a"]}).write_parquet(tmp_path / "a.parquet")
    with pytest.raises(PlaceError, match=r"a\.parquet: .*document"):
        read(str(tmp_path))


def test_other_files_are_not_read(tmp_path: Path) -> None:
    write_lines(tmp_path / "notes.txt", LINES)
    assert list(file_pieces(str(tmp_path))) == []


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(PlaceError, match="there is no folder"):
        list(file_pieces(str(tmp_path / "none")))
