"""What can be wrong with a body as a whole: it cannot be read at all, or it can and holds faults."""

from collections.abc import Sequence

from hitchworth.model.fault import Fault

MOST_FAULTS = 100
"""After so many faults the reading stops."""


class MalformedBodyError(ValueError):
    """The body is no JSON text, so no place in it can be named."""


class InvalidInputError(ValueError):
    """The body was read and holds faults."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults[:MOST_FAULTS])
        super().__init__(f"{len(self.faults)} faults, first at {self.faults[0].pointer or 'the body'}")
