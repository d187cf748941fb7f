"""Faults for a name, id or code that may be used only once."""

from collections.abc import Callable, Iterable, Iterator, Mapping

from hitchworth.model.fault import Fault


def duplicates(
    noun: str, names: Mapping[str, Iterable[str | None]], key: Callable[[str], str] = str
) -> Iterator[Fault]:
    """Yield a fault for each name whose key was used before.

    `names` has, for each pattern of a pointer, the names at that pattern, with the index of the name in place of `{}`.
    Null is not a name. The pointers are formatted only for faults: most requests have none.
    """
    first: dict[str, tuple[str, int]] = {}
    for pattern, group in names.items():
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
