"""JSON Pointer (RFC 6901): where in a body something stands."""


def step(pointer: str, name: str | int) -> str:
    """The pointer to a member of an object, or to an item of an array."""
    return f"{pointer}/{str(name).replace('~', '~0').replace('/', '~1')}"


def record_of(pointer: str) -> str:
    """The pointer to the record that holds the field."""
    return pointer.rpartition("/")[0]


def within(pointer: str, place: str) -> bool:
    """Whether the pointer leads to the place, or to something in it."""
    return pointer == place or pointer.startswith(f"{place}/")
