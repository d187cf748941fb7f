"""The requests of a batch as lines, as many at a time as are sent in one request."""

from collections.abc import AsyncIterable, AsyncIterator, Iterable, Iterator
from dataclasses import dataclass, field
from typing import TypeAlias, TypeVar

from msgspec import Struct, json

R = TypeVar("R")
Requests: TypeAlias = Iterable[R | bytes]
AsyncRequests: TypeAlias = Iterable[R | bytes] | AsyncIterable[R | bytes]

PIECE_BYTES = 64_000
"""So much is sent in one request, or one larger line alone. A server answers while it reads: a client that writes more
than fits into the buffers between the two, and reads only then, would wait for a server that waits for it."""


@dataclass
class _Piece:
    """The lines that are gathered for the next request."""

    lines: list[bytes] = field(default_factory=list)
    size: int = 0

    def has_room(self, line: bytes) -> bool:
        return not self.lines or self.size + len(line) <= PIECE_BYTES

    def add(self, line: bytes) -> None:
        self.lines.append(line)
        self.size += len(line)


def pieces(requests: Requests[Struct]) -> Iterator[list[bytes]]:
    """Yield the requests as lines, as many at a time as are sent in one request."""
    piece = _Piece()
    for line in map(_line, requests):
        if not piece.has_room(line):
            yield piece.lines
            piece = _Piece()
        piece.add(line)
    if piece.lines:
        yield piece.lines


async def async_pieces(requests: AsyncRequests[Struct]) -> AsyncIterator[list[bytes]]:
    """Yield the requests as lines, as `pieces` does, from an asynchronous iterable too."""
    if not isinstance(requests, AsyncIterable):
        for lines in pieces(requests):
            yield lines
        return
    piece = _Piece()
    async for request in requests:
        line = _line(request)
        if not piece.has_room(line):
            yield piece.lines
            piece = _Piece()
        piece.add(line)
    if piece.lines:
        yield piece.lines


def _line(request: Struct | bytes) -> bytes:
    """Return a request on one line; an empty one would not be answered, so that it says that nothing is there."""
    content = request if isinstance(request, bytes) else json.encode(request)
    return (content.replace(b"\r", b" ").replace(b"\n", b" ").strip() or b"null") + b"\n"
