"""The command line: `hitchworth`. It owns the files and the terminal; what it computes, the rooms below compute."""

from hitchworth.cli.command import main

__all__ = ["main"]
