"""Read a packaged data file into its records. Nothing is computed here, nothing is read twice."""

from functools import cache
from importlib.resources import files
from typing import TypeVar

import msgspec

T = TypeVar("T")


def read(name: str, kind: type[T]) -> T:
    """The data file `name` (under data/) as a value of type `kind`, read once.

    Raises msgspec.ValidationError when the file does not fit: the tests read every file.
    """
    value: T = _read(name, kind)  # type: ignore[arg-type]  # a type is hashable, mypy does not see it
    return value


@cache
def _read(name: str, kind: type[T]) -> T:
    return msgspec.yaml.decode(files("hitchworth.reference").joinpath("data", name).read_bytes(), type=kind)
