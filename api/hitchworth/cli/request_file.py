"""The document of a command, read from a file or from standard input, and what is wrong with it."""

import re
import sys
from argparse import Namespace
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import msgspec
from msgspec import Raw, Struct
from msgspec.structs import asdict, replace

from hitchworth import validation
from hitchworth.cli.exit_codes import InputError, UsageError, usage_errors
from hitchworth.cli.terminal import warn
from hitchworth.localization.faults import fault_in_a_line, faults_counted
from hitchworth.localization.locales import resolve_locale
from hitchworth.localization.localizer import Localizer
from hitchworth.model.fault import Fault
from hitchworth.model.request import DocumentComparisonRequest, GapRequest, SalesComparisonRequest
from hitchworth.operations.documents import canonical
from hitchworth.operations.requests import Request, read_as_written, read_request
from hitchworth.operations.text_documents import TextDocument, UnreadableTextError, is_text_document, read_text_document
from hitchworth.validation.errors import in_a_line
from hitchworth.workbooks.table import UnreadableFileError

STANDARD_INPUT = "-"
DOCUMENTS = (".json", ".yaml", ".yml", ".toml", ".xlsx", ".ods")
"""How the names of documents end."""

_KEPT_SETTINGS = ".import.yaml"
"""How the name of a file ends in which an import keeps how it read; it is no document."""

_TABLES = (".csv", ".tsv", ".txt", ".xlsx", ".ods", ".ics")


_ADDRESS = re.compile(r"GET /v1/(schedules|facts|definitions|jurisdictions|questions|wages|price-indexes)\b")
"""The lists of the API that are commands here."""


class PlacedFault(Fault, frozen=True, kw_only=True):
    """A fault with its place among the files of a command."""

    file: str = ""
    line: int | None = None
    """Counted from 1; null where it is not known, as in JSON."""


def documents_in(names: Sequence[str]) -> tuple[str, ...]:
    """Return the files with these names; of a folder, the documents in it, by name. Raises UsageError."""
    found: list[str] = []
    for name in names:
        if not Path(name).is_dir():
            found.append(name)
            continue
        inside = sorted(str(path) for path in Path(name).iterdir() if _is_document(path))
        if not inside:
            raise UsageError(f"{name} has no document in it: a file that ends in {', '.join(DOCUMENTS)}")
        found.extend(inside)
    if found.count(STANDARD_INPUT) > 1:
        raise UsageError("only one document can come from standard input")
    return tuple(found)


def _is_document(path: Path) -> bool:
    return path.suffix.lower() in DOCUMENTS and not path.name.endswith(_KEPT_SETTINGS) and path.is_file()


def request_from_file(kind: type[Request], arguments: Namespace, file: str, **more: object) -> Request:
    """Read a request from a file, or from standard input for `-`, as request_in does.

    Raises UsageError as well, when the file cannot be read.
    """
    return request_in(file_content(file), kind, arguments, file, more=more)


def request_in(
    content: bytes,
    kind: type[Request],
    arguments: Namespace,
    file: str,
    *,
    as_written: bool = False,
    more: Mapping[str, object] = {},
) -> Request:
    """Read a request from the content of a file; as it is written where that is wanted, or a server completes it.

    `--as-of`, `--locale`, `--on`, `--limit` and `more` override the request's own. Raises InputError when the request
    has faults.
    """
    chosen = {name: getattr(arguments, name, None) for name in ("as_of", "locale", "limit")} | dict(more)
    chosen["dates"] = getattr(arguments, "on", None)
    overrides = {name: value for name, value in chosen.items() if value is not None}
    source = read_content(content, file)
    body = request_body(source.content, kind, overrides)
    read = read_as_written if as_written or getattr(arguments, "server", None) else read_request
    with input_errors(file, source.lines, is_bare_build=body.is_bare_build), malformed(file):
        request = read(body.content, kind)
    if not getattr(arguments, "quiet", False):
        _warn_of_missing_language(request.locale)
    return request


def comparison_from_files(arguments: Namespace) -> DocumentComparisonRequest:
    """Read the two documents of a comparison. Raises InputError with the faults of both, each with its file."""
    if arguments.before == arguments.after == STANDARD_INPUT:
        raise UsageError("only one of the two documents can come from standard input")
    documents, errors = [], []
    for file in (arguments.before, arguments.after):
        try:
            source = document_content(file)
            with input_errors(file, source.lines, f"{file}: "), malformed(file):
                documents.append(read_as_written(source.content, GapRequest))
        except InputError as error:
            errors.append(error)
    if errors:
        raise InputError("\n".join(map(str, errors)), [fault for error in errors for fault in error.faults])
    before, after = documents
    if arguments.as_of is not None:
        before, after = (replace(document, as_of=arguments.as_of) for document in documents)
    locale = arguments.locale or after.locale
    if not arguments.quiet:
        _warn_of_missing_language(locale)
    return DocumentComparisonRequest(before=before, after=after, locale=locale)


def file_content(file: str) -> bytes:
    """Return the content of a file, or of standard input for `-`. Raises UsageError when it cannot be read."""
    with usage_errors():
        content = sys.stdin.buffer.read() if file == STANDARD_INPUT else Path(file).read_bytes()
    return content.removeprefix(BOM_UTF8)


def document_content(file: str) -> TextDocument:
    """Return the document of a file as JSON; that of a workbook as it was read from its cells.

    Standard input may be JSON, YAML or a workbook. Raises InputError for what cannot be read, and with every fault of a
    workbook by its cell.
    """
    return read_content(file_content(file), file)


def read_content(content: bytes, file: str) -> TextDocument:
    """Return the document in the content of a file, as document_content does."""
    content = _as_utf8(content)
    if is_workbook(content):
        return TextDocument(_document_of_workbook(content, file), {})
    is_yaml = file == STANDARD_INPUT and content.strip() and not content.lstrip().startswith((b"{", b"[", b"\x00"))
    if not is_text_document(file) and not is_yaml:
        return TextDocument(content, {})
    try:
        return read_text_document(content, ".yaml" if is_yaml else Path(file).suffix.lower())
    except UnreadableTextError as error:
        raise _unreadable(file, str(error)) from None


def _as_utf8(content: bytes) -> bytes:
    """Return a text that a Windows shell wrote in UTF-16 as UTF-8; other content as it is."""
    if not content.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return content
    return content.decode("utf-16", "replace").encode()


def _document_of_workbook(content: bytes, file: str) -> bytes:
    from hitchworth.operations.workbooks import read_document_workbook  # noqa: PLC0415  (it draws in the libraries)

    try:
        with input_errors(file, prefix=f"{file}: "):
            document = read_document_workbook(content)
    except UnreadableFileError as error:
        raise _unreadable(file, str(error)) from None
    as_of = {} if document.as_of is None else {"as_of": document.as_of}
    return msgspec.json.encode(msgspec.json.decode(canonical(document), type=dict[str, Raw]) | as_of)


def is_workbook(content: bytes) -> bool:
    """Return whether a file is a workbook, which is a ZIP archive."""
    return content.startswith(b"PK")


@contextmanager
def malformed(file: str) -> Iterator[None]:
    """Turn the error of a file that is not JSON into an InputError."""
    try:
        yield
    except validation.MalformedBodyError as error:
        if Path(file).suffix.lower() in _TABLES:
            why = f"It is no document. To read receipts or hours from it: hitchworth import {file} --into camper.yaml"
        else:
            why = str(error).replace("The body", "The file", 1)
        raise _unreadable(file, why) from None


def _unreadable(file: str, why: str) -> InputError:
    return InputError(f"{file}: {why}", (PlacedFault(pointer="", detail=why, file=file),))


@contextmanager
def input_errors(
    file: str = "",
    lines: Mapping[str, int] | None = None,
    prefix: str = "",
    *,
    is_bare_build: bool = False,
    localizer: Localizer | None = None,
) -> Iterator[None]:
    """Turn the faults of an input into an InputError, a line for each; those of a bare build as seen from it.

    `lines`: the lines of the file's parts, by their pointers. `localizer`: of a table, whose faults have texts in every
    language; those of JSON are told as the API tells them.
    """
    try:
        yield
    except validation.InvalidInputError as error:
        seen = (_seen_from_build(fault) for fault in error.faults) if is_bare_build else error.faults
        faults = [PlacedFault(**asdict(fault), file=file, line=_line_of(fault, lines or {})) for fault in seen]
        if localizer is not None:
            told = "\n".join(f"{prefix}{fault_in_a_line(fault, localizer)}" for fault in faults)
            raise InputError(f"{told}\n{faults_counted(error, localizer)}", faults) from None
        told = "\n".join(f"{prefix}{_in_a_line(fault)}" for fault in faults)
        raise InputError(f"{told}\n{error.summary}", faults) from None


def _line_of(fault: Fault, lines: Mapping[str, int]) -> int | None:
    """Return the line of a fault, or of the nearest part around it that the file has."""
    pointer = fault.pointer
    while pointer and pointer not in lines:
        pointer = pointer.rpartition("/")[0]
    return lines.get(pointer)


def _in_a_line(fault: PlacedFault) -> str:
    place = "" if fault.line is None else f"line {fault.line}: "
    return f"{place}{with_commands(in_a_line(fault, whole=''))}"


def with_commands(text: str) -> str:
    """Return a text of the API with the commands that list what it names."""
    return _ADDRESS.sub(lambda found: f"hitchworth {found[1].removeprefix('price-')}", text)


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
        warn(f"no texts are available in {locale}; using {resolved}")
