"""JSON Pointer (RFC 6901): a place in a body."""


def child_pointer(pointer: str, name: str | int) -> str:
    """Return the pointer to a member of an object, or to an item of an array."""
    return f"{pointer}/{str(name).replace('~', '~0').replace('/', '~1')}"


def parent_pointer(pointer: str) -> str:
    """Return the pointer to the object or array that holds the place."""
    return pointer.rpartition("/")[0]


def is_within(pointer: str, container: str) -> bool:
    """Return whether the pointer is the container or a place inside it."""
    return pointer == container or pointer.startswith(f"{container}/")
