"""Documents: read, written in one form, and turned into requests of the computations as of a date."""

from datetime import date
from typing import Any, TypeVar

import msgspec

from hitchworth import validation
from hitchworth.canonical import without_defaults
from hitchworth.model.document import FORMAT, Document
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.request import GapRequest
from hitchworth.operations.clock import today
from hitchworth.operations.requests import Request, completed
from hitchworth.store.chain import KeptDocument, is_whole
from hitchworth.store.errors import DamagedError

_encoder = msgspec.json.Encoder(order="deterministic")
AnyDocument = TypeVar("AnyDocument", Document, QuoteDocument)


def read_document(body: bytes, kind: type[AnyDocument] = Document) -> AnyDocument:  # type: ignore[assignment]
    """Read a document from JSON, of a build unless another kind is named: it is one that every computation accepts.

    A document of an older format is upgraded, and a build alone is a document. Raises MalformedBodyError when the body
    is not JSON, and InvalidInputError with every fault of the body at once.
    """
    document = validation.read(body, kind, today())
    completed(document)
    return document


def read_kept(kept: KeptDocument, kind: type[AnyDocument] = Document) -> AnyDocument:  # type: ignore[assignment]
    """Read the document of a revision. Raises DamagedError when it is not the one that was kept, and cannot be read.

    It was judged on the day on which it was sent, and is not again: that day may not have begun here.
    """
    try:
        document = validation.read(kept.body, kind)
        completed(document)
    except (validation.MalformedBodyError, validation.InvalidInputError):
        require_whole(kept)
        raise
    return document


def require_whole(kept: KeptDocument) -> None:
    """Raise DamagedError when a revision is not as it was written."""
    if not is_whole(kept):
        raise DamagedError(f"{kept.name} does not fit: its document has been altered and cannot be read")


def canonical(document: Document) -> bytes:
    """Return the document as JSON in one form: its format named, other defaults left out, names in a fixed order."""
    return _encoder.encode({"format": FORMAT, **without_defaults(document)})


def dated(document: Document, as_of: date | None) -> GapRequest:
    """Return a document with a date beside it, as written: neither completed nor checked."""
    return GapRequest(**{name: getattr(document, name) for name in Document.__struct_fields__}, as_of=as_of)


def document_in(request: GapRequest) -> Document:
    """Return the document of a request, without its date."""
    return Document(**{name: getattr(request, name) for name in Document.__struct_fields__})


def request_at(document: Document, kind: type[Request], as_of: date | None = None, **more: Any) -> Request:
    """Return the request of a computation: what it takes of the document, a date, and what only it needs.

    The request is completed and checked as one that was read from a body. Raises InvalidInputError with its faults.
    """
    fields: dict[str, Any] = {
        name: getattr(document, name) for name in kind.__struct_fields__ if name in document.__struct_fields__
    }
    if "as_of" in kind.__struct_fields__:
        fields["as_of"] = as_of
    request = kind(**fields, **more)
    validation.check(request, today())
    return completed(request)
