"""The input of a command: a file or the standard input, as the body of the operation that the command stands for."""

import sys
from argparse import Namespace
from codecs import BOM_UTF8
from collections.abc import Mapping
from pathlib import Path
from typing import TypeVar

import msgspec
from msgspec import Raw, Struct

from hitchworth import validation
from hitchworth.cli.exit_codes import InputError, usage_errors
from hitchworth.exchange_rates import with_reference_rates
from hitchworth.localization.locales import resolve_locale
from hitchworth.model.fault import Fault
from hitchworth.model.request import (
    ClassificationRequest,
    EstimateComparisonRequest,
    EstimateRequest,
    GapRequest,
    SalesComparisonRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.web.clock import today

T = TypeVar(
    "T",
    EstimateRequest,
    ClassificationRequest,
    SettlementRequest,
    GapRequest,
    ValueCurveRequest,
    EstimateComparisonRequest,
    SalesComparisonRequest,
)


def chosen_request(chosen: Namespace, kind: type[T]) -> T:
    """The request in the chosen file, or in the standard input for `-`; a chosen date and locale go over its own.

    Raises InputError for a text with faults, UsageError for a file that cannot be read.
    """
    overrides = {name: given for name in ("as_of", "locale") if (given := getattr(chosen, name, None)) is not None}
    request = _request(chosen.file, kind, overrides)
    answered_locale = resolve_locale(request.locale).formats
    if answered_locale.partition("-")[0] != request.locale.partition("-")[0]:
        print(f"hitchworth: there are no texts in {request.locale}; these are in {answered_locale}", file=sys.stderr)
    return request


def _request(name: str, kind: type[T], overrides: Mapping[str, object]) -> T:
    with usage_errors():
        raw = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    try:
        body = body_for(raw.removeprefix(BOM_UTF8), kind, overrides)
        return with_reference_rates(validation.read(body, kind, today()))
    except validation.MalformedBodyError as error:
        raise InputError(f"{name}: {error}") from None
    except validation.InvalidInputError as error:
        raise InputError("\n".join(map(_line, error.faults))) from None


def body_for(raw: bytes, kind: type[Struct], overrides: Mapping[str, object]) -> bytes:
    """The body of one operation from what a person keeps in one file.

    A bare build is a request without more; what only a gap statement needs is left out for the smaller operations; what
    the command line chose goes over what the file says. A text that cannot be taken apart is handed on as it is:
    `checks` says what is wrong with it.
    """
    try:
        parts = msgspec.json.decode(raw, type=dict[str, Raw])
    except (msgspec.MsgspecError, UnicodeDecodeError):
        return raw
    if "build" not in parts and not parts.keys().isdisjoint({"name", "components"}):
        parts = {"build": Raw(raw)}
    elsewhere = set(GapRequest.__struct_fields__) - set(kind.__struct_fields__)
    return msgspec.json.encode({**{name: part for name, part in parts.items() if name not in elsewhere}, **overrides})


def _line(fault: Fault) -> str:
    more = [f"{word} {text}" for word, text in (("expected", fault.expected), ("found", fault.found)) if text]
    return f"{fault.pointer or 'the body'}: {fault.detail}" + (f" ({'; '.join(more)})" if more else "")
