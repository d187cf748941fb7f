"""The errors of a body: it cannot be read, or it has faults."""

import re
from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from hitchworth.model.fault import Fault

MAX_FAULTS = 100
"""More faults than this are not listed. A fault of many rows counts once."""

MAX_COUNTED = 10_000
"""Reading stops after this many places with a fault."""

MAX_SHOWN = 20
"""A message shows at most this many ranges of rows."""

_INDEX = re.compile(r"(?<=/)[0-9]+(?=/|$)")
_CELL_ROW = re.compile(r"(?<=[A-Z])[0-9]+$")


class MalformedBodyError(ValueError):
    """The body is not JSON, so a fault has no place in it to point to."""


class InvalidInputError(ValueError):
    """The body is JSON and has faults.

    faults: those that are listed, each with all its places.
    count: the places with a fault, also those that are not listed.
    """

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.count = len(faults)
        self.faults = told_once(faults)[:MAX_FAULTS]
        super().__init__(f"{_counted(self.count)}, first at {self.faults[0].pointer or 'the body'}")

    @property
    def listed(self) -> int:
        """The places that are listed."""
        return sum(1 + len(fault.also_at) for fault in self.faults)

    @property
    def summary(self) -> str:
        """How many faults there are, and how many of them are listed where that is not all."""
        told = _counted(self.count)
        return told if self.listed == self.count else f"{told}, {self.listed:,} of them listed"


def told_once(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Return the faults with those together that differ only in their row, in the order in which each first comes up.

    Rows are the items of an array: /components/0/quantity and /components/7/quantity; or those of a sheet: D14 and D20.
    """
    places: dict[tuple[str, ...], list[str]] = {}
    first: dict[tuple[str, ...], Fault] = {}
    for fault in faults:
        key = _INDEX.sub("*", fault.pointer), _CELL_ROW.sub("", fault.cell), fault.detail, fault.expected
        first.setdefault(key, fault)
        places.setdefault(key, []).append(fault.cell or fault.pointer)
    return tuple(replace(fault, also_at=tuple(places[key][1:])) for key, fault in first.items())


def in_a_line(fault: Fault, whole: str = "the body: ") -> str:
    """Return a fault as one line of text: where it is, what it is, what was expected and found, and the other rows.

    `whole`: how the line begins where the fault is in no single place.
    """
    more = [f"{word} {text}" for word, text in (("expected", fault.expected), ("found", fault.found)) if text]
    where = f"{place}: " if (place := fault.cell or fault.pointer) else whole
    line = f"{where}{fault.detail}" + (f" ({'; '.join(more)})" if more else "")
    return f"{line}; {other_rows(fault)}" if fault.also_at else line


def other_rows(fault: Fault) -> str:
    """Return where else a fault is, in words: "the same in 40 more rows: 1-40"."""
    shown, left = ranges_alike(fault)
    count = f"{len(fault.also_at):,} more {'row' if len(fault.also_at) == 1 else 'rows'}"
    more = [f"and {left} more"] if left else []
    return f"the same in {count}: {', '.join(shown + more)}"


def ranges_alike(fault: Fault) -> tuple[list[str], int]:
    """Return the other rows with a fault as ranges, at most MAX_SHOWN of them, and how many more ranges there are.

    They are numbered from 0 as in its pointer, or from 1 where it has a cell.
    """
    places = [_steps(place) for place in (fault.cell or fault.pointer, *fault.also_at)]
    varying = [steps for steps in zip(*places, strict=True) if len(set(steps)) > 1]
    shown = _ranges(sorted(map(int, varying[0][1:]))) if len(varying) == 1 else list(fault.also_at)
    return shown[:MAX_SHOWN], max(len(shown) - MAX_SHOWN, 0)


def _steps(place: str) -> list[str]:
    """Return the parts of a pointer, or the sheet with the column and the row of a cell."""
    row = _CELL_ROW.search(place)
    return place.split("/") if row is None or "/" in place else [place[: row.start()], row[0]]


def _ranges(rows: Sequence[int]) -> list[str]:
    """Return rows in ascending order as ranges: 1-3, 7."""
    runs: list[list[int]] = []
    for row in rows:
        if runs and row == runs[-1][-1] + 1:
            runs[-1].append(row)
        else:
            runs.append([row])
    return [f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]


def _counted(count: int) -> str:
    if count >= MAX_COUNTED:
        return f"at least {MAX_COUNTED:,} faults"
    return "1 fault" if count == 1 else f"{count:,} faults"
