"""The request of a command, read from a file or from standard input."""

import sys
from argparse import Namespace
from codecs import BOM_UTF8
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import msgspec
from msgspec import Raw, Struct

from hitchworth import validation
from hitchworth.cli.exit_codes import InputError, usage_errors
from hitchworth.localization.locales import resolve_locale
from hitchworth.model.request import GapRequest
from hitchworth.operations.requests import Request, read_request
from hitchworth.validation.errors import in_a_line


def request_from_file(kind: type[Request], arguments: Namespace, **more: object) -> Request:
    """Read a request from `arguments.file`, or from standard input for `-`.

    `--as-of`, `--locale` and `more` override the request's own. Raises InputError when the request has faults, and
    UsageError when the file cannot be read.
    """
    chosen = {name: getattr(arguments, name, None) for name in ("as_of", "locale")} | more
    overrides = {name: value for name, value in chosen.items() if value is not None}
    with usage_errors():
        raw = sys.stdin.buffer.read() if arguments.file == "-" else Path(arguments.file).read_bytes()
    try:
        with input_errors():
            request = read_request(request_body(raw.removeprefix(BOM_UTF8), kind, overrides), kind)
    except validation.MalformedBodyError as error:
        raise InputError(f"{arguments.file}: {error}") from None
    _warn_of_missing_language(request.locale)
    return request


@contextmanager
def input_errors() -> Iterator[None]:
    """Turn the faults of an input into an InputError, a line for each."""
    try:
        yield
    except validation.InvalidInputError as error:
        lines = "\n".join(map(in_a_line, error.faults))
        raise InputError(f"{lines}\n{error.summary}") from None


def request_body(raw: bytes, kind: type[Struct], overrides: Mapping[str, object]) -> bytes:
    """Return the body of one operation, from a file that serves all of them.

    A build alone becomes a request. What only a gap statement needs is left out of smaller requests. Text that is not a
    JSON object is returned as it is, so that `validation` can say what is wrong with it.
    """
    try:
        members = msgspec.json.decode(raw, type=dict[str, Raw])
    except (msgspec.MsgspecError, UnicodeDecodeError):
        return raw
    if "build" not in members and not members.keys().isdisjoint({"name", "components"}):
        members = {"build": Raw(raw)}
    unneeded = set(GapRequest.__struct_fields__) - set(kind.__struct_fields__)
    return msgspec.json.encode({name: part for name, part in members.items() if name not in unneeded} | dict(overrides))


def _warn_of_missing_language(locale: str) -> None:
    resolved = resolve_locale(locale).formats
    if resolved.partition("-")[0] != locale.partition("-")[0]:
        print(f"hitchworth: no texts are available in {locale}; using {resolved}", file=sys.stderr)
