"""The request of a command, read from a file or from standard input."""

import sys
from argparse import Namespace
from codecs import BOM_UTF8
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import msgspec
from msgspec import Raw, Struct
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.cli.exit_codes import InputError, UsageError, usage_errors
from hitchworth.localization.locales import resolve_locale
from hitchworth.model.fault import Fault
from hitchworth.model.request import DocumentComparisonRequest, GapRequest, SalesComparisonRequest
from hitchworth.operations.documents import canonical
from hitchworth.operations.requests import Request, read_as_written, read_request
from hitchworth.operations.workbooks import UnreadableFileError, read_document_workbook
from hitchworth.validation.errors import in_a_line

_TABLES = (".csv", ".tsv", ".txt", ".xlsx", ".ods", ".ics")


def request_from_file(kind: type[Request], arguments: Namespace, **more: object) -> Request:
    """Read a request from `arguments.file`, or from standard input for `-`.

    `--as-of`, `--locale`, `--on`, `--limit` and `more` override the request's own. Raises InputError when the request
    has faults, and UsageError when the file cannot be read.
    """
    chosen = {name: getattr(arguments, name, None) for name in ("as_of", "locale", "limit")} | more
    chosen["dates"] = getattr(arguments, "on", None)
    overrides = {name: value for name, value in chosen.items() if value is not None}
    body = request_body(document_content(arguments.file), kind, overrides)
    with input_errors(is_bare_build=body.is_bare_build), malformed(arguments.file):
        request = read_request(body.content, kind)
    _warn_of_missing_language(request.locale)
    return request


def comparison_from_files(arguments: Namespace) -> DocumentComparisonRequest:
    """Read the two documents of a comparison. Raises InputError with the faults of both, each with its file."""
    if arguments.before == arguments.after == "-":
        raise UsageError("only one of the two documents can come from standard input")
    documents, errors = [], []
    for file in (arguments.before, arguments.after):
        try:
            with input_errors(f"{file}: "), malformed(file):
                documents.append(read_as_written(document_content(file), GapRequest))
        except InputError as error:
            errors.append(str(error))
    if errors:
        raise InputError("\n".join(errors))
    before, after = documents
    if arguments.as_of is not None:
        before, after = (replace(document, as_of=arguments.as_of) for document in documents)
    locale = arguments.locale or after.locale
    _warn_of_missing_language(locale)
    return DocumentComparisonRequest(before=before, after=after, locale=locale)


def file_content(file: str) -> bytes:
    """Return the content of a file, or of standard input for `-`. Raises UsageError when it cannot be read."""
    with usage_errors():
        content = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    return content.removeprefix(BOM_UTF8)


def document_content(file: str) -> bytes:
    """Return the document of a file as JSON; that of a workbook as it was read from its cells.

    Raises InputError with every fault of a workbook, by its cell.
    """
    content = file_content(file)
    if not is_workbook(content):
        return content
    try:
        with input_errors(f"{file}: "):
            document = read_document_workbook(content)
    except UnreadableFileError as error:
        raise InputError(f"{file}: {error}") from None
    as_of = {} if document.as_of is None else {"as_of": document.as_of}
    return msgspec.json.encode(msgspec.json.decode(canonical(document), type=dict[str, Raw]) | as_of)


def is_workbook(content: bytes) -> bool:
    """Return whether a file is a workbook, which is a ZIP archive."""
    return content.startswith(b"PK")


def document_from_content(content: bytes, arguments: Namespace) -> GapRequest:
    """Return a document as written, with the date and the locale of the command line. Raises InputError."""
    chosen = {name: getattr(arguments, name) for name in ("as_of", "locale")}
    body = request_body(content, GapRequest, {name: value for name, value in chosen.items() if value is not None})
    with input_errors(is_bare_build=body.is_bare_build), malformed(arguments.file):
        return read_as_written(body.content, GapRequest)


@contextmanager
def malformed(file: str) -> Iterator[None]:
    """Turn the error of a file that is not JSON into an InputError."""
    try:
        yield
    except validation.MalformedBodyError as error:
        is_table = Path(file).suffix.lower() in _TABLES
        hint = f" To read receipts or hours from it: hitchworth import {file} --into camper.json" if is_table else ""
        why = str(error).replace("The body", "The file", 1)
        raise InputError(f"{file}: {why}{hint}") from None


@contextmanager
def input_errors(prefix: str = "", *, is_bare_build: bool = False) -> Iterator[None]:
    """Turn the faults of an input into an InputError, a line for each; those of a bare build as seen from it."""
    try:
        yield
    except validation.InvalidInputError as error:
        faults = (_seen_from_build(fault) for fault in error.faults) if is_bare_build else error.faults
        lines = "\n".join(f"{prefix}{in_a_line(fault, whole='')}" for fault in faults)
        raise InputError(f"{lines}\n{error.summary}") from None


class Body(NamedTuple):
    """The body of one operation."""

    content: bytes
    is_bare_build: bool
    """It was a build alone: its members stand under `build` now."""


def request_body(raw: bytes, kind: type[Struct], overrides: Mapping[str, object]) -> Body:
    """Return the body of one operation, from a file that serves all of them.

    A build alone or a kept build becomes a request. What a request made of a document does not take is left out of the
    others, and comparable sales become the request that compares them. Text that is not a JSON object is returned as it
    is, so that `validation` can say what is wrong with it.
    """
    try:
        members = validation.own_members(msgspec.json.decode(raw, type=dict[str, Raw]))
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        return Body(raw, False)
    is_bare = validation.is_bare_build(members)
    if is_bare:
        members = {"build": Raw(raw)}
    if kind is SalesComparisonRequest and "sales_comparison" in members:
        members |= _members(members["sales_comparison"])
    unneeded = set(GapRequest.__struct_fields__) - set(kind.__struct_fields__)
    kept = {name: part for name, part in members.items() if name not in unneeded}
    return Body(msgspec.json.encode(kept | dict(overrides)), is_bare)


def _members(raw: Raw) -> dict[str, Raw]:
    """Return the members of an object; of another value none, so that what is missing is said."""
    try:
        return msgspec.json.decode(raw, type=dict[str, Raw])
    except msgspec.MsgspecError:
        return {}


def _seen_from_build(fault: Fault) -> Fault:
    inside = (place.removeprefix("/build") if place.startswith("/build/") else place for place in fault.also_at)
    at = fault.pointer.removeprefix("/build") if fault.pointer.startswith("/build/") else fault.pointer
    return replace(fault, pointer=at, also_at=tuple(inside))


def _warn_of_missing_language(locale: str) -> None:
    resolved = resolve_locale(locale).formats
    if resolved.partition("-")[0] != locale.partition("-")[0]:
        print(f"hitchworth: no texts are available in {locale}; using {resolved}", file=sys.stderr)
