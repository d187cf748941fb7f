"""What re-registration under another class brings, by place: lights, inspection, title, fees, insurance."""

from collections.abc import Sequence
from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import ClassChangeTopic
from hitchworth.model.provenance import Provenance
from hitchworth.reference.load import read


class ClassChangeRow(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the change brings on one topic in one place."""

    place: str
    topic: ClassChangeTopic
    text: str
    source: str
    provenance: Provenance


@cache
def class_change_rows() -> tuple[ClassChangeRow, ...]:
    """Return every row."""
    return read("class_change_effects.yaml", tuple[ClassChangeRow, ...])


def class_change_rows_on(topic: ClassChangeTopic, chain: Sequence[str]) -> tuple[ClassChangeRow, ...]:
    """Return the rows on a topic of the nearest place that has any; the chain begins with the nearest."""
    rows = (tuple(row for row in class_change_rows() if row.topic == topic and row.place == place) for place in chain)
    return next((found for found in rows if found), ())
