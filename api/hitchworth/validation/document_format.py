"""The format of a document: what an older release wrote is upgraded when it is read, and a bare build is a document.

So is a kept build as the server answers it: what it has beside its document says which one it was, and is dropped.

A step takes the decoded JSON object of a document of one format and returns it in the next. It is pure, and it stays
as it is once its format has been released: documents of that format lie on disks.
"""

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any, NamedTuple, TypeAlias

import msgspec
from msgspec import Raw

from hitchworth.model.document import FORMAT, Document
from hitchworth.model.fault import Fault
from hitchworth.model.kept import KeptBuild
from hitchworth.model.kept_quote import KeptQuote
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.request import ClassificationRequest, DocumentComparisonRequest
from hitchworth.validation.errors import InvalidInputError

Members: TypeAlias = dict[str, Any]
"""The decoded JSON object of a document, numbers with a fraction as decimals."""

STEPS: tuple[Callable[[Members], Members], ...] = ()
"""The step at index n - 1 leads from format n to format n + 1. There are FORMAT - 1 of them."""

_BESIDE_DOCUMENT = frozenset((*KeptBuild.__struct_fields__, *KeptQuote.__struct_fields__)) - frozenset(
    QuoteDocument.__struct_fields__
)
_UNREADABLE = (msgspec.MsgspecError, UnicodeDecodeError, RecursionError)
_decoder = msgspec.json.Decoder(dict[str, Any], float_hook=Decimal)  # a number keeps all its digits
_encoder = msgspec.json.Encoder(decimal_format="number")  # and stays a number


class PresentForm(NamedTuple):
    """A body whose documents are in the present format, each with its build under `build`."""

    content: bytes
    bare_builds: tuple[str, ...] = ()
    """The pointers of the documents that were sent as a build alone."""


def present_form(body: bytes, kind: Any) -> PresentForm:
    """Return the body of a request of this type in the present form; other bodies as they are.

    Raises InvalidInputError when a document in it has a newer format.
    """
    if takes_document(kind):
        return document_body(body)
    if kind is DocumentComparisonRequest:
        return _with_present_documents(body, ("before", "after"))
    return PresentForm(body)


def takes_document(kind: Any) -> bool:
    """Return whether a request of this type is a document, so that it may be of an older format, or a build alone."""
    return isinstance(kind, type) and issubclass(kind, (Document, ClassificationRequest))


def _with_present_documents(body: bytes, names: Sequence[str]) -> PresentForm:
    try:
        members = msgspec.json.decode(body, type=dict[str, Raw])
    except _UNREADABLE:
        return PresentForm(body)
    parts = {name: document_body(bytes(members[name]), f"/{name}") for name in names if name in members}
    content = members | {name: Raw(part.content) for name, part in parts.items()}
    return PresentForm(_encoder.encode(content), tuple(bare for part in parts.values() for bare in part.bare_builds))


def is_bare_build(members: Members) -> bool:
    """Return whether a JSON object is a build alone, and not a document that holds one."""
    return "build" not in members and not members.keys().isdisjoint({"name", "components"})


def own_members(members: Members) -> Members:
    """Return the JSON object of a document; of a kept build as the server answers it, without what says which it is."""
    if not members.keys() >= {"id", "revision", "digest", "build"}:
        return members
    return {name: value for name, value in members.items() if name not in _BESIDE_DOCUMENT}


def document_body(
    body: bytes, pointer: str = "", newest: int = FORMAT, steps: Sequence[Callable[[Members], Members]] = STEPS
) -> PresentForm:
    """Return a document in the format `newest`, also a build alone or a kept build.

    pointer: where it stands. What is not a JSON object is returned as it is, so that decoding can say what is wrong
    with it. Raises InvalidInputError when the format is newer.
    """
    try:
        members = msgspec.json.decode(body, type=dict[str, Raw])
    except _UNREADABLE:
        return PresentForm(body)
    if (own := own_members(members)) is not members:
        members, body = own, _encoder.encode(own)
    is_bare = is_bare_build(members)
    content, written = (b'{"build":%b}' % body, 1) if is_bare else (body, _format_of(members))
    if written > newest:
        fault = Fault(
            pointer=f"{pointer}/format",
            detail="The document was written by a newer release",
            expected=f"a format up to {newest}, the newest that this release reads",
            found=str(written),
        )
        raise InvalidInputError([fault])
    if written < newest:
        content = _upgraded(content, written, steps[written - 1 :])
    return PresentForm(content, (pointer,) if is_bare else ())


def _format_of(members: dict[str, Raw]) -> int:
    """Return the format that a document names; 1 where it names none, or none that can be read: decoding says so."""
    try:
        return max(1, msgspec.json.decode(members.get("format", Raw(b"1")), type=int))
    except _UNREADABLE:
        return 1


def _upgraded(content: bytes, written: int, steps: Sequence[Callable[[Members], Members]]) -> bytes:
    try:
        members = _decoder.decode(content)
    except _UNREADABLE:
        return content
    for format_, step in enumerate(steps, start=written + 1):
        members = step(members) | {"format": format_}
    return _encoder.encode(members)
