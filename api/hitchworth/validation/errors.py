"""The errors of a body: it cannot be read, or it has faults."""

from collections.abc import Sequence

from hitchworth.model.fault import Fault

MAX_FAULTS = 100
"""Reading stops after this many faults."""


class MalformedBodyError(ValueError):
    """The body is not JSON, so a fault has no place in it to point to."""


class InvalidInputError(ValueError):
    """The body is JSON and has faults."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults[:MAX_FAULTS])
        count = "1 fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        super().__init__(f"{count}, first at {self.faults[0].pointer or 'the body'}")
