"""Decode a JSON body into a typed value, or find every fault of it at once.

msgspec stops at its first fault. That is right for speed, so the typed decoder runs first, and the code below only when
it fails: it converts the untyped value part by part. A part that msgspec converts is kept, one that it does not is
entered, and where no child has a fault, the fault is the part's own. So msgspec makes all the checks, and each fault is
found once. A placeholder takes the place of what cannot be read, so that the rules can still check the rest.
"""

import re
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Iterable
from datetime import date
from decimal import Decimal, InvalidOperation
from types import NoneType
from typing import Any, Literal, TypeAlias, TypeVar, get_args

import msgspec
from msgspec import Struct

from hitchworth.model.fault import Fault
from hitchworth.validation.errors import MAX_COUNTED, MalformedBodyError
from hitchworth.validation.fault_texts import (
    MISSING,
    SIZE_FAULTS,
    describe_type,
    describe_type_error,
    shorten,
    with_suggestions,
)
from hitchworth.validation.json_pointer import child_pointer
from hitchworth.validation.type_inspection import (
    TypeForm,
    generic_origin,
    is_record,
    is_required,
    record_fields,
    strip_annotations,
    union_members,
)

T = TypeVar("T")
Json: TypeAlias = Any
"""A value decoded from JSON, numbers with a fraction as decimals."""

_BYTE = re.compile(r"byte (\d+)")
_UNTYPED_DECODER = msgspec.json.Decoder(float_hook=Decimal)  # a number keeps all its digits
_UNTYPED_ENCODER = msgspec.json.Encoder(decimal_format="number")  # and stays a number
_PLACEHOLDERS: dict[TypeForm, object] = {
    bool: False,
    int: 0,
    float: 0.0,
    Decimal: Decimal(0),
    date: date(2000, 1, 1),
    dict: {},
}


def decode(body: bytes, kind: type[T]) -> tuple[T, list[Fault]]:
    """Return the body as a value of the type, and the faults found on the way.

    A byte order mark is skipped. In a body with faults a member whose value is an empty text counts as not given, as an
    empty cell of a table does. Raises MalformedBodyError when the body is not JSON.
    """
    body = body.removeprefix(BOM_UTF8)
    try:
        return msgspec.json.decode(body, type=kind), []
    except msgspec.ValidationError:
        faults: list[Fault] = []
        return _Converter(faults).convert(_read_json_without_empty_texts(body), kind, ""), faults
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise _malformed_body(body, error) from None


def read_json(body: bytes) -> Json:
    """Return a body as JSON values, numbers with a fraction as decimals. A byte order mark is skipped.

    Raises MalformedBodyError when it is not JSON.
    """
    body = body.removeprefix(BOM_UTF8)
    try:
        return _UNTYPED_DECODER.decode(body)
    except (msgspec.DecodeError, InvalidOperation, UnicodeDecodeError, RecursionError) as error:
        raise _malformed_body(body, error) from None


def write_json(value: Json) -> bytes:
    """Return JSON values as a body; what was read from it is what was written."""
    return _UNTYPED_ENCODER.encode(value)


def _read_json_without_empty_texts(body: bytes) -> Json:
    try:
        return _without_empty_texts(read_json(body))
    except RecursionError as error:
        raise _malformed_body(body, error) from None


def _without_empty_texts(value: Json) -> Json:
    """Return the value without the members of its objects that are texts of nothing but spaces."""
    if isinstance(value, dict):
        return {name: _without_empty_texts(item) for name, item in value.items() if not _is_empty_text(item)}
    return [_without_empty_texts(item) for item in value] if isinstance(value, list) else value


def _is_empty_text(value: Json) -> bool:
    return isinstance(value, str) and not value.strip()


def _malformed_body(body: bytes, error: Exception) -> MalformedBodyError:
    match error:
        case RecursionError():
            return MalformedBodyError("The body is nested too deeply.")
        case _ if body.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
            return MalformedBodyError("The body is UTF-16, not UTF-8.")
        case UnicodeDecodeError():
            return MalformedBodyError("The body is not UTF-8.")
        case msgspec.ValidationError() | InvalidOperation():
            return MalformedBodyError("The body has a number that is too large or too small to read.")
        case _ if not body.strip():
            return MalformedBodyError("The body is empty.")
    place = _BYTE.search(str(error))
    return MalformedBodyError(f"The body is not JSON: {f'error at byte {place[1]}' if place else 'it ends too early'}.")


class _Converter:
    """Converts an untyped value as far as possible, and collects its faults."""

    def __init__(self, faults: list[Fault]) -> None:
        self._faults = faults

    def convert(self, value: Json, kind: TypeForm, pointer: str) -> Any:
        """Return the value as the type; a placeholder where it cannot be read."""
        try:
            return msgspec.convert(value, kind)
        except msgspec.ValidationError as error:
            detail = describe_type_error(str(error))
        before = len(self._faults)
        partial = self._convert_children(value, _matching_member(value, kind), pointer)
        if len(self._faults) == before:
            found = _show_size(value) if detail in SIZE_FAULTS and _is_container(value) else _show(value)
            self._add(Fault(pointer=pointer, detail=detail, expected=describe_type(kind), found=found))
            return _placeholder(kind, pointer)
        return partial

    def _add(self, *faults: Fault) -> None:
        self._faults.extend(faults[: MAX_COUNTED - len(self._faults)])

    @property
    def _is_full(self) -> bool:
        return len(self._faults) >= MAX_COUNTED

    def _convert_children(self, value: Json, kind: TypeForm, pointer: str) -> Any:
        if is_record(kind):
            return self._convert_record(value, kind, pointer)
        if isinstance(value, dict) and generic_origin(kind) is dict:
            key_type, value_type = get_args(kind)
            return self._convert_mapping(value, key_type, value_type, pointer)
        if isinstance(value, list) and generic_origin(kind) is tuple:
            return self._convert_array(value, get_args(kind)[0], pointer)
        return None

    def _convert_record(self, value: dict[str, Json], kind: type[Struct], pointer: str) -> Struct:
        converted = {}
        for field in record_fields(kind):
            name, at = field.encode_name, child_pointer(pointer, field.encode_name)
            if name in value and not self._is_full:
                before = len(self._faults)
                result = self.convert(value[name], field.type, at)
                if is_required(field) or len(self._faults) == before or _is_container(value[name]):
                    converted[field.name] = result
            elif is_required(field):
                expected = describe_type(field.type)
                self._add(Fault(pointer=at, detail=MISSING, expected=expected, found="nothing"))
                converted[field.name] = _placeholder(field.type, at)
        self._add_unknown_fields(value, kind, pointer)
        return kind(**converted)

    def _add_unknown_fields(self, names: Iterable[str], kind: type[Struct], pointer: str) -> None:
        known = [field.encode_name for field in record_fields(kind)]
        for name in names:
            if self._is_full:
                break
            if name not in known:
                expected = with_suggestions(name, known, f"one of {', '.join(known)}")
                at = child_pointer(pointer, name)
                self._add(Fault(pointer=at, detail="Unknown field", expected=expected, found=_show(name)))

    def _convert_mapping(
        self, value: dict[str, Json], key_type: TypeForm, value_type: TypeForm, pointer: str
    ) -> dict[str, Any]:
        converted = {}
        for name, item in value.items():
            if self._is_full:
                break
            at = child_pointer(pointer, name)
            self.convert(name, key_type, at)
            converted[name] = self.convert(item, value_type, at)
        return converted

    def _convert_array(self, value: list[Json], kind: TypeForm, pointer: str) -> tuple[Any, ...]:
        converted = []
        for index, item in enumerate(value):
            if self._is_full:
                break
            converted.append(self.convert(item, kind, child_pointer(pointer, index)))
        return tuple(converted)


def _is_container(value: Json) -> bool:
    """Return whether the value has children that may be valid although the value is not."""
    return isinstance(value, dict | list)


def _matching_member(value: Json, kind: TypeForm) -> TypeForm:
    """Return the only member of a union that is an object or an array as the value is; None without such a member."""
    wanted = dict if isinstance(value, dict) else tuple
    matching = [
        member
        for member in map(strip_annotations, union_members(kind))
        if _is_container(value) and (generic_origin(member) is wanted or (is_record(member) and wanted is dict))
    ]
    return matching[0] if len(matching) == 1 else None


def _placeholder(kind: TypeForm, pointer: str) -> Any:
    """Return a harmless value of the type. Each text is different, so that none is a duplicate."""
    first = strip_annotations(union_members(kind)[0])
    if NoneType in union_members(kind):
        return None
    if generic_origin(first) is Literal:
        return get_args(first)[0]
    if generic_origin(first) is tuple:
        return ()
    if is_record(first):
        required = filter(is_required, record_fields(first))
        values = {field.name: _placeholder(field.type, child_pointer(pointer, field.encode_name)) for field in required}
        return first(**values)
    return _PLACEHOLDERS.get(generic_origin(first) or first, f"unread {pointer}")


def _show_size(value: Json) -> str:
    """Return how large an object or an array is."""
    return f"{len(value):,} {'entries' if isinstance(value, dict) else 'items'}"


def _show(value: Json) -> str:
    if _is_container(value):
        return "an object" if isinstance(value, dict) else "an array"
    return shorten(str(value) if isinstance(value, Decimal) else msgspec.json.encode(value).decode())
