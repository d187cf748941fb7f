"""The command line: `hitchworth`. It reads files and prints; the operations compute."""

from hitchworth.cli.parser import main

__all__ = ["main"]
