"""Documents in the files of a folder or an object store: newline-delimited JSON, or Parquet.

A line of JSON is a document with an `id` beside its fields, as in a batch. A Parquet file has the columns `id` and
`document`, which is the document as JSON. What is called something else is not read.
"""

from collections.abc import Iterator
from importlib import import_module
from io import BytesIO
from typing import Any

import msgspec
import obstore
from msgspec import Raw, Struct

from hitchworth.portfolio.places import PlaceError, open_place, place_errors
from hitchworth.portfolio.revaluation import SourceDocument

LINES = (".ndjson", ".jsonl")
PARQUET = ".parquet"
PIECE_BYTES = 8_000_000
"""A file of lines is read in pieces of about so many bytes, so that several processes share it."""

_STREAM_BYTES = 1_000_000


class FilePiece(Struct, frozen=True, kw_only=True, tag="file"):
    """A part of a source of files: the lines that begin between two bytes of a file, or a whole Parquet file."""

    path: str
    first: int
    end: int
    version: str
    """The file's size and what the store calls its version: another where it was written anew."""


def file_pieces(where: str, piece_bytes: int = PIECE_BYTES) -> Iterator[FilePiece]:
    """Yield the pieces of a source, by the names of its files. Raises PlaceError."""
    store = open_place(where)
    with place_errors():
        found = sorted((each for batch in obstore.list(store) for each in batch), key=lambda each: each["path"])
    for each in found:
        path, size = each["path"], each["size"]
        version = f"{size} {each.get('e_tag') or each['last_modified'].isoformat()}"
        if path.endswith(LINES):
            for first in range(0, size, piece_bytes):
                yield FilePiece(path=path, first=first, end=min(first + piece_bytes, size), version=version)
        elif path.endswith(PARQUET):
            yield FilePiece(path=path, first=0, end=size, version=version)


def documents_of(where: str, piece: FilePiece) -> Iterator[SourceDocument]:
    """Yield the documents of a piece, in their order. Raises PlaceError, ModuleNotFoundError without polars."""
    if piece.path.endswith(PARQUET):
        yield from _documents_of_parquet(where, piece)
        return
    for place, line in _lines(where, piece):
        yield _document(line, f"{piece.path}@{place}")


def _lines(where: str, piece: FilePiece) -> Iterator[tuple[int, bytes]]:
    """Yield the lines that begin in a piece, each with the number of its first byte; empty ones are left out.

    A piece that begins within a line leaves that line to the piece before it.
    """
    begin = max(piece.first - 1, 0)
    with place_errors():
        store = open_place(where)
        stream = obstore.get(store, piece.path, options={"range": {"offset": begin}}).stream(_STREAM_BYTES)
        place, begun, is_inside = begin, b"", piece.first > 0
        for chunk in stream:
            *ended, begun = (begun + bytes(chunk)).split(b"\n")
            for line in ended:
                if not is_inside and line.strip():
                    yield place, line
                is_inside = False
                place += len(line) + 1
                if place >= piece.end:
                    return
        if not is_inside and begun.strip():
            yield place, begun


def _document(line: bytes, place: str) -> SourceDocument:
    """Return the document of a line. One without an id that is text or a number has its place as its id."""
    try:
        members = msgspec.json.decode(line, type=dict[str, Raw])
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        return SourceDocument(place, line)  # whoever reads it says what is wrong
    try:
        named = msgspec.json.decode(members.pop("id", Raw(b"null")), type=str | int | None)
    except msgspec.MsgspecError:
        return SourceDocument(place, line, "The id is neither text nor a whole number")
    return SourceDocument(place if named is None else str(named), msgspec.json.encode(members))


def _documents_of_parquet(where: str, piece: FilePiece) -> Iterator[SourceDocument]:
    polars: Any = import_module("polars")  # only Parquet needs it, and it is an extra
    with place_errors():
        content = obstore.get(open_place(where), piece.path).bytes()
    try:
        frame = polars.read_parquet(BytesIO(content), columns=["id", "document"])
    except polars.exceptions.PolarsError as error:
        raise PlaceError(f"{piece.path}: {str(error).partition(chr(10))[0]}; a file needs id and document") from None
    for number, (identity, document) in enumerate(frame.iter_rows(), 1):
        name = f"{piece.path}@{number}" if identity is None else str(identity)
        yield SourceDocument(name, _bytes(document))


def _bytes(document: Any) -> bytes:
    match document:
        case bytes():
            return document
        case None:
            return b""
        case _:
            return str(document).encode()
