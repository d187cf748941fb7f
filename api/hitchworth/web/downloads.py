"""Files out: piece by piece, whole or in part (RFC 9110, 14), under a name that is safe to save."""

import re
from asyncio import to_thread
from collections.abc import AsyncIterator, Mapping
from typing import IO
from urllib.parse import quote

from litestar.response.base import ASGIResponse

from hitchworth.operations.evidence import FileContent
from hitchworth.web import problems
from hitchworth.web.http import HTTPRequest, http_response, sent_tags, streamed_response
from hitchworth.web.problems import RequestError
from hitchworth.web.uploads import PIECE_BYTES

_RANGE = re.compile(r"bytes=([0-9]{0,15})-([0-9]{0,15})")
_POLICY = "default-src 'none'; sandbox"
"""Whatever a file holds, a browser runs nothing of it."""


def file_response(request: HTTPRequest, content: FileContent, own: Mapping[str, str]) -> ASGIResponse:
    """Return a file, the part of it that was asked for, or 304 when the caller has it. The file is closed in the end.

    own: headers of this response. Raises RequestError for a part that it does not have. What was made by a POST has no
    parts, and nobody has it already.
    """
    if request.method == "POST":
        return _part(request, content, (0, content.file.seek(0, 2)), 200, {**own, **_saving(content)})
    tag = f'"{content.tag}"'
    headers = {
        "etag": tag,
        **own,
        "accept-ranges": "bytes",
        **_saving(content),
    }
    if not {tag, "*"}.isdisjoint(sent_tags(request)):
        content.file.close()
        return http_response(request, b"", content.media_type, status=304, headers=headers)
    size = content.file.seek(0, 2)
    try:
        first, last = _range(request, size, tag)
    except RequestError:
        content.file.close()
        raise
    status = 200
    if (first, last) != (0, size - 1):
        status = 206
        headers["content-range"] = f"bytes {first}-{last}/{size}"
    if request.method == "HEAD":
        content.file.close()
    return _part(request, content, (first, last - first + 1), status, headers)


def _part(
    request: HTTPRequest, content: FileContent, place: tuple[int, int], status: int, headers: dict[str, str]
) -> ASGIResponse:
    """Return the response with the bytes from a place on, so many of them."""
    first, length = place
    headers |= {"content-type": content.media_type, "content-length": str(length)}
    return streamed_response(request, _pieces(content.file, first, length), status=status, headers=headers)


def _range(request: HTTPRequest, size: int, tag: str) -> tuple[int, int]:
    """Return the first and the last byte to send. Several ranges, and what is none, count as none."""
    asked = _RANGE.fullmatch(request.headers.get("range", "").strip())
    if asked is None or request.headers.get("if-range", tag).strip() != tag or asked[1] == asked[2] == "":
        return 0, size - 1
    if not asked[1]:
        first, last = max(0, size - int(asked[2])), size - 1
    else:
        first, last = int(asked[1]), min(int(asked[2] or size), size - 1)
        if asked[2] and int(asked[2]) < first:
            return 0, size - 1
    if first > last:
        detail = f"The file has {size:,} bytes."
        raise RequestError(problems.RANGE_NOT_SATISFIABLE, detail, headers={"content-range": f"bytes */{size}"})
    return first, last


async def _pieces(file: IO[bytes], first: int, length: int) -> AsyncIterator[bytes]:
    with file:
        file.seek(first)
        while length > 0 and (piece := await _read(file, min(PIECE_BYTES, length))):
            length -= len(piece)
            yield piece


async def _read(file: IO[bytes], size: int) -> bytes:
    """Read in a thread, so that others are answered meanwhile; what is less than a piece, at once."""
    return file.read(size) if size < PIECE_BYTES else await to_thread(file.read, size)


def _saving(content: FileContent) -> dict[str, str]:
    """Return what a browser has to know to show or save a file."""
    return {"content-security-policy": _POLICY, "content-disposition": _disposition(content)}


def _disposition(content: FileContent) -> str:
    """Return how the file is to be saved (RFC 6266): a photo may be shown, anything else is only saved."""
    kind = "inline" if content.media_type.startswith("image/") else "attachment"
    plain = content.name.encode("ascii", "replace").decode().replace("?", "_")
    exact = "" if plain == content.name else f"; filename*=UTF-8''{quote(content.name, safe='')}"
    return f'{kind}; filename="{plain}"{exact}'
