"""Rows of a file that are lines of a build under other ids: the same purchase or work, or one corrected in the file.

Only lines that no row of the file is are looked at: the same thing bought twice stays two purchases as long as both
rows are in the file. What is not clear becomes a question.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import TypeAlias

from msgspec import Struct, field

from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor
from hitchworth.model.receipt_import import ImportChoice, ReceiptImport
from hitchworth.reference.words import words_of
from hitchworth.validation.errors import InvalidInputError
from hitchworth.workbooks.findings import Findings

OTHERS, NEW, CORRECTED = "others", "new", "corrected"
"""What an answer may say: of all rows that it does not name; that a row is no line yet; that it is the line which it
looks like, and a new one where it looks like none."""

_GENERATED = re.compile(r"(receipt|hours)-[0-9]{4}-[0-9]{2}-[0-9]{2}-[0-9a-f]{10}(-[0-9]+)?")
"""The id that an import gives."""
_CENT = Decimal("0.01")
_MOST_CHOICES = 5
_MOST_NAMED = 30

_Key: TypeAlias = tuple[object, ...]
"""What a line says: its words, what it cost or its hours, its day, its store."""
_WORDS, _FIGURE, _DAY, _STORE = range(4)
_IN_ONE = (_WORDS,), (_FIGURE,), (_DAY,), (_STORE,)
_IN_TWO = (_FIGURE, _DAY), (_FIGURE, _STORE), (_DAY, _STORE)
"""In what a corrected row may differ from its line."""


class Known(Struct, frozen=True):
    """What is known of a file beside what stands in it."""

    claimed: frozenset[str]
    """Ids of lines that rows of the file are, as they were read before."""
    ids: frozenset[str] | None
    """Ids of the lines that files with these headers became; null: none was imported into this document."""
    answers: Mapping[str, str]
    """What rows are, by row number or OTHERS: the id of a line, NEW or CORRECTED."""


class Recognition(Struct):
    """Which lines of the build the rows of a file are."""

    ids: dict[int, str] = field(default_factory=dict)
    """The id of the line, by row, counted from 1."""
    missing: tuple[str, ...] = ()
    """Ids of lines that came from files with these headers and are no longer in this one."""


def recognize(build: Build, imported: ReceiptImport, known: Known, findings: Findings) -> Recognition:
    """Return which lines of the build the new rows of a file are; questions are added to the findings.

    Raises InvalidInputError where an answer names no new row, or no line that it may be.
    """
    return _Recognizing(build, imported, known, findings).result()


class _Recognizing:
    def __init__(self, build: Build, imported: ReceiptImport, known: Known, findings: Findings) -> None:
        self._currency, self._known, self._findings = build.currency, known, findings
        self._rows = {row.id: row.row for row in imported.rows if row.id is not None}
        entries: Sequence[Component | Labor] = (*imported.components, *imported.labor)
        lines: Sequence[Component | Labor] = build.labor if imported.labor else build.components
        there = {line.id for line in lines}
        here = known.claimed | {entry.id for entry in entries}
        self._new = {entry.id: entry for entry in entries if entry.id not in there and _GENERATED.fullmatch(entry.id)}
        self._old = {line.id: line for line in lines if line.id not in here}
        self._has_rows_of_before = any(entry.id in there for entry in entries)
        self._first, self._last = (limit(map(_day, entries), default=date.min) for limit in (min, max))
        self._has_stores = any(isinstance(entry, Component) and entry.supplier for entry in entries)
        self._result = Recognition()

    def result(self) -> Recognition:
        """Return what was recognized: first by the answers, then by all that a line says, then by most of it."""
        self._take_answers()
        self._pair_alike(((),), self._old, is_clear=True)
        self._has_rows_of_before = self._has_rows_of_before or bool(self._result.ids)
        edited = list(filter(self._is_edited, self._old))
        self._pair_alike(_IN_ONE, edited, is_clear=True)
        self._pair_alike(_IN_TWO, [name for name in edited if name in self._old], is_clear=False)
        others = [name for name in self._old if name not in edited and _GENERATED.fullmatch(name)]
        self._pair_alike(_IN_ONE[1:], others, is_clear=False)  # other words: most likely another purchase
        self._ask_about_unknown_rows()
        of_these = self._known.ids or frozenset()
        self._result.missing = tuple(name for name in self._old if name in of_these)
        return self._result

    def _take_answers(self) -> None:
        by_row = {str(self._rows[name]): name for name in self._new}
        for row, answer in self._known.answers.items():
            if row not in by_row and not (row == OTHERS and answer in (NEW, CORRECTED)):
                expected = f"the number of a new row: {', '.join(by_row)}" if by_row else "nothing: no row is new"
                self._findings.declared("There is no such new row", expected, row)
            elif answer in self._old:
                self._pair(by_row[row], answer)
            elif answer not in (NEW, CORRECTED):
                expected = "new, corrected, or the id of a line of the document that is not in the file"
                self._findings.declared("There is no such line", expected, answer)
            elif answer == NEW and row != OTHERS:
                del self._new[by_row[row]]
        if self._findings.faults:
            raise InvalidInputError(self._findings.faults)

    def _answer(self, name: str) -> str | None:
        return self._known.answers.get(str(self._rows[name]), self._known.answers.get(OTHERS))

    def _pair(self, new: str, old: str) -> None:
        self._result.ids[self._rows[new]] = old
        del self._new[new], self._old[old]

    def _is_edited(self, old: str) -> bool:
        """Return whether the row of a line was edited: the file has other rows of before, and covers its day."""
        is_from_here = old in (self._known.ids or ())
        return is_from_here and self._has_rows_of_before and self._first <= _day(self._old[old]) <= self._last

    def _pair_alike(self, omissions: Sequence[tuple[int, ...]], lines: Iterable[str], *, is_clear: bool) -> None:
        """Pair rows with lines that say the same, apart from what is omitted, or ask.

        Rows that say the same as one another may stand for each other, and so may lines.
        """
        rows, there = self._grouped(self._new), self._grouped(lines)
        alike, rivals = _alike(rows, there, omissions), _alike(there, rows, omissions)
        for key, others in alike.items():
            is_only = len(others) == 1 == len(rivals[others[0]])
            for new, old in zip(rows[key], there[others[0]], strict=False) if is_only else ():
                if is_clear or self._answer(new) == CORRECTED:
                    self._pair(new, old)
                else:
                    self._ask(new, [old])
            if not is_only:
                for new in rows[key]:
                    self._ask(new, [old for other in others for old in there[other] if old in self._old])

    def _grouped(self, names: Iterable[str]) -> dict[_Key, list[str]]:
        groups: dict[_Key, list[str]] = {}
        for name in names:
            line = self._new.get(name) or self._old[name]
            groups.setdefault(self._key(line), []).append(name)
        return groups

    def _key(self, entry: Component | Labor) -> _Key:
        """Return what a line says; the store only where the file names stores."""
        words = tuple(words_of(_words(entry)))
        if isinstance(entry, Labor):
            return words, entry.hours.normalize(), entry.performed_on, ()
        amount = (entry.quantity * entry.unit_cost).quantize(_CENT)
        store = tuple(words_of(entry.supplier or "")) if self._has_stores else ()
        return words, (amount, entry.currency or self._currency), entry.acquired_on, store

    def _ask(self, new: str, lines: Sequence[str]) -> None:
        """Ask which of some lines a row is, unless it is said to be new; nothing else is then asked about it."""
        row, entry = str(self._rows[new]), self._new.pop(new)
        if self._known.answers.get(row, self._known.answers.get(OTHERS)) != NEW:
            choices = [ImportChoice(value=f"{row}={old}", reading=_said(self._old[old])) for old in lines]
            shown = (*choices[:_MOST_CHOICES], ImportChoice(value=f"{row}={NEW}"))
            self._findings.ask("same_line", "lines", shown, row=row, description=_said(entry))

    def _ask_about_unknown_rows(self) -> None:
        """Ask what rows are where others are in the document and nothing is known of those that were left out."""
        rows = [self._rows[name] for name in self._new if self._answer(name) is None]
        if rows and self._has_rows_of_before and self._known.ids is None:
            named = [f"{row} (“{_words(self._new[name])}”)" for name, row in self._rows.items() if name in self._new]
            shown = ", ".join(named[:_MOST_NAMED]) + (", …" if len(named) > _MOST_NAMED else "")
            numbers = " ".join(map(str, rows[:_MOST_NAMED]))
            choices = (ImportChoice(value=f"{OTHERS}={NEW}"),)
            self._findings.ask("unknown_rows", "lines", choices, rows=shown, numbers=numbers)


def _alike(
    groups: Mapping[_Key, object], others: Mapping[_Key, object], omissions: Sequence[tuple[int, ...]]
) -> dict[_Key, list[_Key]]:
    """Return the other keys that each key is like, apart from what is omitted; without keys that are like none."""
    found: dict[_Key, dict[_Key, None]] = {}
    for omitted in omissions:
        reduced: dict[_Key, list[_Key]] = {}
        for key in others:
            reduced.setdefault(_without(key, omitted), []).append(key)
        for key in groups:
            for other in reduced.get(_without(key, omitted), ()):
                found.setdefault(key, {})[other] = None
    return {key: list(each) for key, each in found.items()}


def _without(key: _Key, omitted: tuple[int, ...]) -> _Key:
    return tuple(None if place in omitted else part for place, part in enumerate(key))


def _words(entry: Component | Labor) -> str:
    return entry.task if isinstance(entry, Labor) else entry.description


def _day(entry: Component | Labor) -> date:
    return entry.performed_on if isinstance(entry, Labor) else entry.acquired_on


def _said(entry: Component | Labor) -> str:
    """Return what an entry says, in short."""
    if isinstance(entry, Labor):
        return f"{entry.performed_on}, {entry.task}, {entry.hours.normalize():f} h"
    amount = (entry.quantity * entry.unit_cost).quantize(_CENT)
    return ", ".join(filter(None, (str(entry.acquired_on), entry.description, f"{amount}", entry.supplier)))
