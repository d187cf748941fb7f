"""JSON Pointer (RFC 6901): a place in a body."""

from collections.abc import Iterator


def child_pointer(pointer: str, name: str | int) -> str:
    """Return the pointer to a member of an object, or to an item of an array."""
    return f"{pointer}/{str(name).replace('~', '~0').replace('/', '~1')}"


def parent_pointer(pointer: str) -> str:
    """Return the pointer to the object or array that holds the place."""
    return pointer.rpartition("/")[0]


def containers(pointer: str) -> Iterator[str]:
    """Yield the place itself, then what holds it, from the inside out to the whole body, which is the empty pointer."""
    yield pointer
    while pointer:
        pointer = parent_pointer(pointer)
        yield pointer
