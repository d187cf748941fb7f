"""Documents: read, written in one form, and turned into requests of the computations as of a date."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import msgspec
from msgspec import NODEFAULT, Struct
from msgspec.structs import FieldInfo

from hitchworth import validation
from hitchworth.model.document import FORMAT, Document
from hitchworth.operations.clock import today
from hitchworth.operations.requests import Request, completed

_encoder = msgspec.json.Encoder(order="deterministic")
_OWN_FIELDS = frozenset(Document.__struct_fields__)


def read_document(body: bytes) -> Document:
    """Read a document from JSON: it is one that every computation accepts.

    A document of an older format is upgraded, and a build alone is a document. Raises MalformedBodyError when the body
    is not JSON, and InvalidInputError with every fault of the body at once.
    """
    document = validation.read(body, Document, today())
    completed(document)
    return document


def canonical(document: Document) -> bytes:
    """Return the document as JSON in one form: its format named, other defaults left out, names in a fixed order."""
    return _encoder.encode({"format": FORMAT, **_without_defaults(document)})


def request_at(document: Document, kind: type[Request], as_of: date | None = None, **more: Any) -> Request:
    """Return the request of a computation: what it takes of the document, a date, and what only it needs.

    The request is completed and checked as one that was read from a body. Raises InvalidInputError with its faults.
    """
    fields: dict[str, Any] = {name: getattr(document, name) for name in kind.__struct_fields__ if name in _OWN_FIELDS}
    if "as_of" in kind.__struct_fields__:
        fields["as_of"] = as_of
    request = kind(**fields, **more)
    validation.check(request, today())
    return completed(request)


def _without_defaults(value: Any) -> Any:
    """Return a record as a dictionary of the fields that differ from their defaults, and so on for those in it."""
    match value:
        case Struct():
            return {
                field.encode_name: _without_defaults(content)
                for field, content in _contents(value)
                if field.required or content != _default(field)
            }
        case tuple():
            return tuple(map(_without_defaults, value))
        case dict():
            return {name: _without_defaults(item) for name, item in value.items()}
    return value


def _contents(record: Struct) -> Iterator[tuple[FieldInfo, Any]]:
    return ((field, getattr(record, field.name)) for field in msgspec.structs.fields(record))


def _default(field: FieldInfo) -> Any:
    return field.default if field.default is not NODEFAULT else field.default_factory()
