"""Add imported entries to a document: what is new, and what was declared for entries that are there already.

A receipt or hours for a line that is still quoted take the place of its price. A correction is taken where the document
still has what an import gave it; where a person has changed that since, the document keeps it and that is told. What
looks like something that is there already is told too.
"""

from collections.abc import Container, Iterator, Sequence
from datetime import timedelta
from typing import Any, Generic, Literal, TypeAlias, TypeVar

from msgspec import Struct
from msgspec.structs import fields, replace

from hitchworth.model.document import Document
from hitchworth.model.entry import Component, Labor
from hitchworth.model.receipt_import import ReceiptImport
from hitchworth.workbooks.receipts import NOT_KNOWN

Entry = TypeVar("Entry", Component, Labor)

Likeness: TypeAlias = Literal["other_figures", "same_amount", "same_words"]
"""How a new entry is like one that is there.

other_figures: it has the same id and other figures; what is there stays as it is
same_amount: it has the same amount within three days, in other words
same_words: it has the same day and description, and another amount
"""

_NEAR = timedelta(days=3)

_OF_THE_LINE = frozenset({"id", "description", "task", "category"})
"""What a quoted line is: a receipt for it does not change that."""
_FIGURES = frozenset(
    {
        *("quantity", "unit_cost", "currency", "exchange_rate", "tax", "freight", "price_includes", "evidence_grade"),
        *("hours", "rate", "rate_includes", "hired"),
    }
)
"""What comes with a price: also where the file has the default, nothing of the quote stays in it."""
_STATED = frozenset(
    {
        *("description", "quantity", "unit", "unit_cost", "currency", "exchange_rate", "tax", "freight", "acquired_on"),
        *("supplier", "task", "hours", "performed_on"),
    }
)
"""What a row says: a row that was corrected in the file says it anew. All else stays where the document has it."""
_NOT_SAID = (None, "", NOT_KNOWN)


class Similar(Struct, frozen=True):
    """An imported entry that is like one of the document."""

    id: str
    other: str
    likeness: Likeness


class Correction(Struct, frozen=True):
    """A value of an entry of the document, and another one that a file now gives for it by what was declared."""

    id: str
    name: str
    """What was bought, or what was done."""
    field: str
    before: Any
    after: Any


class ImportAddition(Struct, frozen=True, kw_only=True):
    """A document with imported entries, and what was done to it."""

    document: Document
    added: tuple[str, ...]
    seen: tuple[str, ...]
    """Ids of imported entries that the document had already."""
    corrected: tuple[Correction, ...] = ()
    """What was taken over into entries that the document had already."""
    contradicted: tuple[Correction, ...] = ()
    """What was not, because a person has changed the value in the document since it was imported."""
    removed: tuple[str, ...] = ()
    """Names of entries that were imported before and whose rows were now declared to be left out, or to be freight."""
    unselected: tuple[str, ...] = ()
    """Ids of entries that were imported from this file before, are not read from it now, and stay."""
    missing: tuple[str, ...] = ()
    """Names of entries that came from files with these headers, are no longer in this one, and stay."""
    similar: tuple[Similar, ...] = ()


def with_imported(
    document: Document,
    imported: ReceiptImport,
    earlier: Sequence[ReceiptImport] = (),
    *,
    left_out: Container[str] = (),
    recognized: Container[str] = (),
) -> ImportAddition:
    """Return the document with corrections, and with the imported entries that it does not have yet by their ids.

    `earlier`: how the same file reads without what was declared now. `left_out`: ids of entries whose rows are left out
    now, or are freight; they are removed, if they are as an earlier reading has them. `recognized`: ids of entries
    whose rows were recognized though they would have other ids; what the rows say now is taken over.
    """
    build = document.build
    components = _Merging(
        build.components, imported.components, [each.components for each in earlier], left_out, recognized
    )
    labor = _Merging(build.labor, imported.labor, [each.labor for each in earlier], left_out, recognized)
    ids = (*(part.id for part in imported.components), *(entry.id for entry in imported.labor))
    added = (*components.added, *labor.added)
    return ImportAddition(
        document=replace(document, build=replace(build, components=components.result, labor=labor.result)),
        added=added,
        seen=tuple(name for name in ids if name not in set(added)),
        corrected=(*components.corrected, *labor.corrected),
        contradicted=(*components.contradicted, *labor.contradicted),
        removed=(*components.removed, *labor.removed),
        unselected=(*components.unselected, *labor.unselected),
        similar=tuple(_similar(components.kept, imported.components)),
    )


class _Merging(Generic[Entry]):
    """Merges the imported entries of one kind into those that are there."""

    def __init__(
        self,
        there: Sequence[Entry],
        imported: Sequence[Entry],
        earlier: Sequence[Sequence[Entry]],
        left_out: Container[str],
        recognized: Container[str],
    ) -> None:
        self._recognized = recognized
        self._now: dict[str, Entry] = {entry.id: entry for entry in imported}
        self._earlier: list[dict[str, Entry]] = [{entry.id: entry for entry in reading} for reading in earlier]
        self.corrected: list[Correction] = []
        self.contradicted: list[Correction] = []
        self.removed: list[str] = []
        self.unselected: list[str] = []
        self.kept: list[Entry] = [
            self._with_corrections(entry) for entry in there if not self._is_gone(entry, left_out)
        ]
        """The entries that were there and stay, as corrected."""
        ids = {entry.id for entry in there}
        new: list[Entry] = [entry for entry in imported if entry.id not in ids]
        self.added = [entry.id for entry in new]
        self.result: tuple[Entry, ...] = tuple(self.kept + new)

    def _is_gone(self, entry: Entry, left_out: Container[str]) -> bool:
        """Return whether an entry is to be removed; one that is no longer read from the file and stays is told."""
        readings = [reading[entry.id] for reading in self._earlier if entry.id in reading]
        if entry.id in self._now or not readings:
            return False
        if entry.id in left_out and entry in readings:
            self.removed.append(name_of(entry))
            return True
        self.unselected.append(entry.id)
        return False

    def _with_corrections(self, entry: Entry) -> Entry:
        now = self._now.get(entry.id)
        if now is not None and entry.evidence_grade == "written_quote" != now.evidence_grade:
            return self._as_paid(entry, now)
        if now is not None and entry.id in self._recognized:
            return self._as_said_now(entry, now)
        readings = [reading[entry.id] for reading in self._earlier if entry.id in reading]
        taken: dict[str, Any] = {}
        for field in entry.__struct_fields__ if now is not None else ():
            old, new = getattr(entry, field), getattr(now, field)
            before = [getattr(reading, field) for reading in readings]
            if old != new and any(value != new for value in before):
                correction = Correction(entry.id, name_of(entry), field, old, new)
                (self.corrected if old in before else self.contradicted).append(correction)
                if old in before:
                    taken[field] = new
        return replace(entry, **taken)

    def _as_paid(self, quoted: Entry, now: Entry) -> Entry:
        """Return a quoted line with what was paid in the place of its price.

        What it is and where it belongs stays, and so does what the file does not say, but for figures.
        """
        defaults = {field.name: field.default for field in fields(type(now))}
        taken = {
            name: value
            for name in quoted.__struct_fields__
            if name not in _OF_THE_LINE
            and (value := getattr(now, name)) != getattr(quoted, name)
            and (value != defaults[name] or name in _FIGURES)
        }
        return self._corrected(quoted, taken)

    def _as_said_now(self, entry: Entry, now: Entry) -> Entry:
        """Return an entry with what its row says now, and with what the document does not say."""
        taken = {
            name: value
            for name in entry.__struct_fields__
            if (value := getattr(now, name)) != getattr(entry, name)
            and (name in _STATED or getattr(entry, name) in _NOT_SAID)
        }
        return self._corrected(entry, taken)

    def _corrected(self, entry: Entry, taken: dict[str, Any]) -> Entry:
        for name, value in taken.items():
            self.corrected.append(Correction(entry.id, name_of(entry), name, getattr(entry, name), value))
        return replace(entry, **taken)


def name_of(entry: Component | Labor) -> str:
    """Return what a person calls an entry: what was bought, or what was done."""
    return entry.description if isinstance(entry, Component) else entry.task


def _similar(there: Sequence[Component], imported: Sequence[Component]) -> Iterator[Similar]:
    """Yield the imported components that are like one of those there, each once."""
    by_id = {part.id: part for part in there}
    incoming = {part.id for part in imported}
    others = [part for part in there if part.id not in incoming]
    for part in imported:
        same = by_id.get(part.id)
        if same is not None:
            if _figures(same) != _figures(part):
                yield Similar(part.id, same.id, "other_figures")
            continue
        near = [other for other in others if abs(other.acquired_on - part.acquired_on) <= _NEAR]
        likeness = ((other, found) for other in near if (found := _likeness(part, other)) is not None)
        other, found = next(likeness, (None, None))
        if other is not None and found is not None:
            yield Similar(part.id, other.id, found)


def _figures(part: Component) -> tuple[object, ...]:
    return part.quantity, part.unit_cost, part.tax, part.freight, part.acquired_on


def _likeness(part: Component, other: Component) -> Likeness | None:
    has_same_amount = part.quantity * part.unit_cost == other.quantity * other.unit_cost
    has_same_words = part.description.casefold() == other.description.casefold()
    if has_same_amount and not has_same_words:
        return "same_amount"
    is_same_day = part.acquired_on == other.acquired_on
    return "same_words" if is_same_day and has_same_words and not has_same_amount else None
