"""Faults for a name, id or code that may be used only once."""

from collections.abc import Callable, Iterable, Iterator

from hitchworth.model.fault import Fault


def duplicates(noun: str, names: Iterable[tuple[str, str]], key: Callable[[str], str] = str) -> Iterator[Fault]:
    """Yield a fault for each name whose key was used before. `names` are pairs of pointer and name."""
    first: dict[str, str] = {}
    for pointer, name in names:
        first_used = first.setdefault(key(name), pointer)
        if first_used != pointer:
            yield Fault(
                pointer=pointer,
                detail=f"Duplicate {noun}, first used at {first_used}",
                expected=f"each {noun} only once",
                found=name,
            )


def numbered(pattern: str, names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Return each name with its pointer: the pattern with the name's index in place of `{}`."""
    return ((pattern.format(index), name) for index, name in enumerate(names))
