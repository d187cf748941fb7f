"""The command line: `hitchworth`. It owns the clock and the files; what it computes, the rooms below compute."""

from hitchworth.cli.command import main

__all__ = ["main"]
