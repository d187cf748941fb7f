"""Files in: received piece by piece onto the disk, as the body itself or as a field of a form."""

from asyncio import timeout, to_thread
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from litestar.exceptions import InternalServerException
from multipart import MultipartError, MultipartSegment, ParserLimitReached, PushMultipartParser, parse_options_header

from hitchworth.operations.evidence import Upload
from hitchworth.store import Store
from hitchworth.store.errors import StoreError
from hitchworth.store.evidence import Incoming
from hitchworth.web import problems
from hitchworth.web.http import MAX_TIMES_READ, HTTPRequest, settings_of
from hitchworth.web.kept_problems import kept_problem
from hitchworth.web.problems import RequestError

FORM = "form"
"""Where the fields of a form are in the state of the request, each a list of texts."""

PIECE_BYTES = 262_144
"""What is written and read in a thread at once: hashing it takes some times as long as asking the thread."""

FORM_DATA = "multipart/form-data"
_FILE = "file"
_MAX_FIELDS = 600
_MAX_FIELD_BYTES = 4_000


@asynccontextmanager
async def received(request: HTTPRequest, store: Store) -> AsyncIterator[Upload]:
    """Receive the file of a request, and note the fields of its form. It is gone at the end, unless it was kept.

    Raises RequestError when it is too large, incomplete, too slow or no form, and when there is no room for it.
    """
    settings = settings_of(request)
    try:
        with store.evidence.receive(settings.max_evidence_bytes) as incoming:
            await _receive(request, incoming, settings.upload_seconds)
            yield Upload(incoming=incoming, max_pixels=settings.max_evidence_pixels)
    except StoreError as error:
        raise kept_problem(error) from error


async def _receive(request: HTTPRequest, incoming: Incoming, seconds: float) -> None:
    content_type, options = parse_options_header(request.headers.get("content-type", ""))
    try:
        async with timeout(seconds):
            if content_type == FORM_DATA:
                await _receive_form(request, incoming, options.get("boundary", ""))
            else:
                writer = _Writer(incoming)
                async for chunk in _stream(request):
                    writer.take(chunk)
                    await writer.write()
                writer.finish()
    except InternalServerException:
        raise RequestError(problems.BAD_REQUEST, "The body is incomplete.") from None
    except TimeoutError:
        detail = f"The file has to arrive within {seconds:g} seconds."
        raise RequestError(problems.BODY_TOO_SLOW, detail, headers={"connection": "close"}) from None


async def _stream(request: HTTPRequest) -> AsyncIterator[bytes]:
    """Yield the body; of one that is much too large, as much as it takes for the client to read the response."""
    limit, size = settings_of(request).max_evidence_bytes, 0
    async for chunk in request.stream():
        size += len(chunk)
        if size > MAX_TIMES_READ * limit:
            return
        yield chunk


async def _receive_form(request: HTTPRequest, incoming: Incoming, boundary: str) -> None:
    """Receive a form with one file. Raises RequestError when it is none."""
    writer = _Writer(incoming)
    form = _Form(writer)
    try:
        parser = PushMultipartParser(boundary, max_segment_count=_MAX_FIELDS)
        async for chunk in _stream(request):
            for event in parser.parse(chunk):
                form.take(event)
            await writer.write()
        writer.finish()
        parser.close()
    except (MultipartError, UnicodeDecodeError) as error:
        raise RequestError(problems.BAD_REQUEST, _why_no_form(error)) from None
    form.require_file()
    request.state[FORM] = form.fields


def _why_no_form(error: MultipartError | UnicodeDecodeError) -> str:
    match error:
        case UnicodeDecodeError():
            return "A field of the form is not text in UTF-8."
        case ParserLimitReached():
            return f"The form has more than {_MAX_FIELDS} fields, or one with a head that is too long."
    return "The body is no form: it is damaged or cut off, or not divided by the boundary that the content-type names."


class _Writer:
    """Writes a file as it comes, in a thread: where hashing and the disk take their time, others are answered.

    A piece that is written faster than a thread is asked is written at once.
    """

    def __init__(self, incoming: Incoming) -> None:
        self._incoming = incoming
        self._held = bytearray()

    def take(self, chunk: bytes | bytearray) -> None:
        """Hold bytes until there are enough to write."""
        self._held += chunk

    async def write(self) -> None:
        """Write what is held, if it is enough. Raises StoreError."""
        if len(self._held) >= PIECE_BYTES:
            piece, self._held = self._held, bytearray()
            await to_thread(self._incoming.write, piece)

    def finish(self) -> None:
        """Write the rest, which is less than a piece. Raises StoreError, also when the file is too large."""
        self._incoming.write(self._held)
        self._incoming.require_within_limit()


class _Form:
    """A form as it is received."""

    def __init__(self, writer: "_Writer") -> None:
        self.fields: dict[str, list[str]] = {}
        self.is_file = False
        """Whether what comes is the content of the file."""
        self._writer = writer
        self._files = 0
        self._name = ""
        self._text = b""

    def take(self, event: MultipartSegment | bytes | bytearray | None) -> None:
        """Take the beginning, a piece or the end of a field. Raises RequestError, UnicodeDecodeError and StoreError."""
        if event is None:
            if not self.is_file:
                self.fields.setdefault(self._name, []).append(self._text.decode())
            self.is_file = False
        elif self.is_file and not isinstance(event, MultipartSegment):
            self._writer.take(event)
        elif not isinstance(event, MultipartSegment):
            self._text += event
            if len(self._text) > _MAX_FIELD_BYTES:
                raise RequestError(problems.BAD_REQUEST, f"The field {self._name[:60]!r} is too long.")
        else:
            self._begin(event)

    def require_file(self) -> None:
        """Raise RequestError when there was no file."""
        if not self._files:
            raise RequestError(problems.BAD_REQUEST, f"The form has no field {_FILE!r}.")

    def _begin(self, segment: MultipartSegment) -> None:
        self._name, self._text = segment.name or "", b""
        self.is_file = self._name == _FILE
        if self.is_file:
            self._files += 1
            if self._files > 1:
                raise RequestError(problems.BAD_REQUEST, "The form has more than one file; send each by itself.")
            if segment.filename:
                self.fields.setdefault("file_name", [segment.filename])
