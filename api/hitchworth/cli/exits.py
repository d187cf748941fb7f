"""How a command ends: its exit codes, and the two ways in which it can fail."""

DONE, FAULTS, WRONG_USE = 0, 1, 2


class InputError(Exception):
    """The input has faults; the message tells them, a line each. Exit code 1."""


class UsageError(Exception):
    """What was typed cannot be done. Exit code 2."""
