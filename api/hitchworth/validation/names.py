"""Faults for a name, id or code that is not known, or that may be used only once."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping

from hitchworth.model.fault import Fault
from hitchworth.validation.fault_texts import with_suggestions


def unknown_name(name: str, known: Collection[str], pointer: str, detail: str, expected: str) -> Iterator[Fault]:
    """Yield a fault when a name is none of the known ones, with those that are similar to it."""
    if name not in known:
        yield Fault(pointer=pointer, detail=detail, expected=with_suggestions(name, known, expected), found=name)


def duplicates(
    noun: str, names: Mapping[str, Iterable[str | None]], key: Callable[[str], str] = str
) -> Iterator[Fault]:
    """Yield a fault for each name whose key was used before.

    `names` has, for each pattern of a pointer, the names at that pattern, with the index of the name in place of `{}`.
    Null is not a name. The pointers are formatted only for faults: most requests have none.
    """
    listed = {pattern: list(group) for pattern, group in names.items()}
    keys = [key(name) for group in listed.values() for name in group if name is not None]
    if len(set(keys)) == len(keys):  # almost always, and sooner found than the place of each
        return
    first: dict[str, tuple[str, int]] = {}
    for pattern, group in listed.items():
        for index, name in enumerate(group):
            if name is None:
                continue
            place = (pattern, index)
            earlier, earlier_index = first.setdefault(key(name), place)
            if (earlier, earlier_index) != place:
                yield Fault(
                    pointer=pattern.format(index),
                    detail=f"Duplicate {noun}, first used at {earlier.format(earlier_index)}",
                    expected=f"each {noun} only once",
                    found=name,
                )
