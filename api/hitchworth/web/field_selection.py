"""`?fields=`: parts of a large answer, named by their fields."""

from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from typing import Any, TypeAlias, get_args

from hitchworth.model.fault import Fault
from hitchworth.validation.errors import InvalidInputError
from hitchworth.validation.type_inspection import (
    TypeForm,
    generic_origin,
    is_record,
    record_fields,
    strip_annotations,
    union_members,
)

FieldTree: TypeAlias = dict[str, "FieldTree"]
"""The fields to keep, each with those to keep inside it: none named means all of it."""


def field_tree(texts: Sequence[str], kind: TypeForm) -> FieldTree:
    """Return the fields that the texts name, `totals,lines.id`, in the records of an answer of this type.

    Raises InvalidInputError with every name that the answer does not have.
    """
    tree: FieldTree = {}
    faults: list[Fault] = []
    whole: set[str] = set()
    for path in dict.fromkeys(name.strip() for text in texts for name in text.split(",")):
        fault = _fault(path, kind)
        if fault is not None:
            faults.append(fault)
            continue
        whole.add(path)
    if faults:
        raise InvalidInputError(tuple(faults))
    for path in whole:
        steps = path.split(".")
        if any(".".join(steps[:length]) in whole for length in range(1, len(steps))):
            continue  # a field around it is kept as a whole
        inner = tree
        for step in steps:
            inner = inner.setdefault(step, {})
    return tree


def picked(value: Any, tree: FieldTree) -> Any:
    """Return what the tree keeps of JSON values: of an array, the same of each item. The order stays."""
    if not tree:
        return value
    if isinstance(value, list):
        return [picked(item, tree) for item in value]
    if isinstance(value, dict):
        return {name: picked(part, tree[name]) for name, part in value.items() if name in tree}
    return value


def _fault(path: str, kind: TypeForm) -> Fault | None:
    """Return what is wrong with a name; None where the answer has it."""
    kinds = [kind]
    for step in path.split("."):
        records = [record for each in kinds for record in _records(each)]
        if any(is_mapping for _, is_mapping in records):
            kinds = [value for value, is_mapping in records if is_mapping]  # its names are data
            continue
        known = {field.encode_name: field.type for record, _ in records for field in record_fields(record)}
        if step not in known:
            return _unknown(path, step, sorted(known))
        kinds = [field.type for record, _ in records for field in record_fields(record) if field.encode_name == step]
    return None


def _unknown(path: str, step: str, known: Sequence[str]) -> Fault:
    expected = f"one of {', '.join(known)}" if known else "nothing further: there are no fields inside it"
    near = get_close_matches(step, known, n=1)
    detail = f"Unknown field; did you mean {near[0]}?" if near else "Unknown field"
    return Fault(pointer="", detail=detail, expected=expected, found=path[:60])


def _records(kind: TypeForm) -> Iterator[tuple[TypeForm, bool]]:
    """Yield the records that a value of the type is or has as items; of a mapping its values, and that it is one."""
    for member in map(strip_annotations, union_members(kind)):
        origin = generic_origin(member)
        if is_record(member) or (origin is not None and is_record(origin)):
            yield member, False
        elif origin is dict:
            yield get_args(member)[1], True
        elif origin in (tuple, list):
            yield from _records(get_args(member)[0])
