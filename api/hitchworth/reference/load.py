"""Read a packaged data file into its records. Nothing is computed here; the callers cache what they read."""

from importlib.resources import files
from typing import TypeVar

import msgspec

T = TypeVar("T")


def read(name: str, kind: type[T]) -> T:
    """Return the data file `name` (under data/) as a value of type `kind`.

    Raises msgspec.ValidationError when the file does not fit the type; the tests read every file.
    """
    return msgspec.yaml.decode(files("hitchworth.reference").joinpath("data", name).read_bytes(), type=kind)
