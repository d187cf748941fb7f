"""A JSON body as a typed value, or every fault of it at once.

msgspec stops at its first fault, which is right for speed: decode typed first, and only when that fails come here. The
untyped value is converted part by part: a part that converts is taken over, one that does not is descended into, and
where no child is to blame the fault is its own. So the checks stay msgspec's, and nothing is told twice. What cannot
be read is replaced by a stand-in, so that the rules can still be tried on the rest.
"""

import re
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Iterable
from datetime import date
from decimal import Decimal, InvalidOperation
from types import NoneType
from typing import Any, Literal, TypeAlias, TypeVar, get_args

import msgspec
from msgspec import NODEFAULT, Struct

from hitchworth.model.fault import Fault
from hitchworth.validation.errors import MOST_FAULTS, MalformedBodyError
from hitchworth.validation.kinds import Kind, expected, fields, is_record, members, origin, unannotated
from hitchworth.validation.pointer import step
from hitchworth.validation.type_errors import type_error

T = TypeVar("T")
Json: TypeAlias = Any
"""A value as it comes out of a JSON text, numbers with a fraction as decimals."""

_BYTE = re.compile(r"byte (\d+)")
_UNTYPED = msgspec.json.Decoder(float_hook=Decimal)  # a number keeps all its digits
_STAND_INS: dict[Kind, object] = {
    bool: False,
    int: 0,
    float: 0.0,
    Decimal: Decimal(0),
    date: date(2000, 1, 1),
    dict: {},
}


def decode(body: bytes, kind: type[T]) -> tuple[T, list[Fault]]:
    """The body as a value of the kind, with the faults that were found on the way.

    A byte order mark before it is passed over. Raises MalformedBodyError when it is no JSON text.
    """
    body = body.removeprefix(BOM_UTF8)
    try:
        return msgspec.json.decode(body, type=kind), []
    except msgspec.ValidationError:
        faults: list[Fault] = []
        return _Reading(faults).value(_untyped(body), kind, ""), faults
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise _bad(body, error) from None


def _untyped(body: bytes) -> Json:
    try:
        return _UNTYPED.decode(body)
    except (msgspec.DecodeError, InvalidOperation, UnicodeDecodeError, RecursionError) as error:
        raise _bad(body, error) from None


def _bad(body: bytes, error: Exception) -> MalformedBodyError:
    match error:
        case RecursionError():
            return MalformedBodyError("The body is nested too deeply.")
        case _ if body.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
            return MalformedBodyError("The body is UTF-16, not UTF-8.")
        case UnicodeDecodeError():
            return MalformedBodyError("The body is not UTF-8.")
        case msgspec.ValidationError() | InvalidOperation():
            return MalformedBodyError("The body holds a number that is out of all range.")
        case _ if not body.strip():
            return MalformedBodyError("The body is empty.")
    place = _BYTE.search(str(error))
    return MalformedBodyError(
        "The body is not JSON: " + (f"it goes wrong at byte {place[1]}." if place else "it breaks off.")
    )


class _Reading:
    """Reads an untyped value as far as it goes, and notes what is wrong on the way."""

    def __init__(self, faults: list[Fault]) -> None:
        self._faults = faults

    def value(self, value: Json, kind: Kind, pointer: str) -> Any:
        """The value as the kind; a stand-in where it cannot be read."""
        try:
            return msgspec.convert(value, kind)
        except msgspec.ValidationError as error:
            detail = type_error(str(error))
        before = len(self._faults)
        mended = self._children(value, _meant(value, kind), pointer)
        if len(self._faults) == before:
            self._note(Fault(pointer=pointer, detail=detail, expected=expected(kind), found=_shown(value)))
            return _stand_in(kind, pointer)
        return mended

    def _note(self, *faults: Fault) -> None:
        self._faults.extend(faults[: MOST_FAULTS - len(self._faults)])

    @property
    def _full(self) -> bool:
        return len(self._faults) >= MOST_FAULTS

    def _children(self, value: Json, kind: Kind, pointer: str) -> Any:
        if is_record(kind):
            return self._record(value, kind, pointer)
        if isinstance(value, dict) and origin(kind) is dict:
            key, item = get_args(kind)
            return self._mapping(value, key, item, pointer)
        if isinstance(value, list) and origin(kind) is tuple:
            return self._items(value, get_args(kind)[0], pointer)
        return None

    def _record(self, value: dict[str, Json], kind: type[Struct], pointer: str) -> Struct:
        found = {}
        for field in fields(kind):
            name, required = field.encode_name, field.default is NODEFAULT and field.default_factory is NODEFAULT
            at = step(pointer, name)
            if name in value and not self._full:
                before = len(self._faults)
                read = self.value(value[name], field.type, at)
                if required or len(self._faults) == before or is_container(value[name]):
                    found[field.name] = read
            elif required:
                self._note(
                    Fault(pointer=at, detail="Required, but missing", expected=expected(field.type), found="nothing")
                )
                found[field.name] = _stand_in(field.type, at)
        self._unknown(value, kind, pointer)
        return kind(**found)

    def _unknown(self, names: Iterable[str], kind: type[Struct], pointer: str) -> None:
        known = [field.encode_name for field in fields(kind)]
        one_of = f"one of {', '.join(known)}"
        self._note(
            *(
                Fault(pointer=step(pointer, name), detail="Unknown field", expected=one_of, found=_shown(name))
                for name in names
                if name not in known
            )
        )

    def _mapping(self, value: dict[str, Json], key: Kind, kind: Kind, pointer: str) -> dict[str, Any]:
        found = {}
        for name, item in value.items():
            if self._full:
                break
            self.value(name, key, step(pointer, name))
            found[name] = self.value(item, kind, step(pointer, name))
        return found

    def _items(self, value: list[Json], kind: Kind, pointer: str) -> tuple[Any, ...]:
        found = []
        for index, item in enumerate(value):
            if self._full:
                break
            found.append(self.value(item, kind, step(pointer, index)))
        return tuple(found)


def is_container(value: Json) -> bool:
    """Whether the value can be right in part."""
    return isinstance(value, dict | list)


def _meant(value: Json, kind: Kind) -> Kind:
    """Of a union, the one member that the value means to be, by its JSON kind; None when there is no such member."""
    wanted = dict if isinstance(value, dict) else tuple
    fitting = [
        member
        for member in map(unannotated, members(kind))
        if is_container(value) and (origin(member) is wanted or (is_record(member) and wanted is dict))
    ]
    return fitting[0] if len(fitting) == 1 else None


def _stand_in(kind: Kind, pointer: str) -> Any:
    """A harmless value of the kind; a text is unlike any other, so that nothing seems to be given twice."""
    first = unannotated(members(kind)[0])
    if NoneType in members(kind):
        return None
    if origin(first) is Literal:
        return get_args(first)[0]
    if origin(first) is tuple:
        return ()
    if is_record(first):
        required = (f for f in fields(first) if f.default is NODEFAULT and f.default_factory is NODEFAULT)
        return first(**{field.name: _stand_in(field.type, step(pointer, field.encode_name)) for field in required})
    return _STAND_INS.get(origin(first) or first, f"unread {pointer}")


def _shown(value: Json) -> str:
    if is_container(value):
        return "an object" if isinstance(value, dict) else "an array"
    text = str(value) if isinstance(value, Decimal) else msgspec.json.encode(value).decode()
    return text if len(text) <= 60 else f"{text[:57]}..."
