"""Records as rows of a table, for a data frame: pandas.DataFrame(to_rows(estimate.lines)), polars the same."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from msgspec import Struct


def to_rows(records: Iterable[Struct]) -> list[dict[str, Any]]:
    """Return records as rows: dictionaries with the same columns in the same order, None where a record has nothing.

    A record inside a record becomes columns of its own, named with a dot: totals.replacement_cost; and so does a
    dictionary. A list stays a list, its records as rows. Amounts stay Decimals, dates dates.
    """
    rows = [dict(_columns(record)) for record in records]
    seen = list(dict.fromkeys(name for row in rows for name in row))
    parts = {name: [other for other in seen if other.startswith(f"{name}.")] for name in seen}
    names = dict.fromkeys(column for name in seen for column in parts[name] or [name])
    return [{name: row.get(name) for name in names} for row in rows]


def _columns(record: Struct | Mapping[Any, Any], prefix: str = "") -> Iterator[tuple[str, Any]]:
    members = record.items() if isinstance(record, Mapping) else _members(record)
    for name, value in members:
        if isinstance(value, Struct | Mapping) and value:
            yield from _columns(value, f"{prefix}{name}.")
        else:
            yield f"{prefix}{name}", _cell(value)


def _members(record: Struct) -> Iterator[tuple[str, Any]]:
    return ((name, getattr(record, name)) for name in record.__struct_fields__)


def _cell(value: Any) -> Any:
    """Return what stands in one cell."""
    if isinstance(value, Mapping):
        return None
    if not isinstance(value, tuple | list):
        return value
    records = [item for item in value if isinstance(item, Struct)]
    return to_rows(records) if len(records) == len(value) else list(value)
