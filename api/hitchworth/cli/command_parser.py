"""A parser that learns the options of a command only when that command is asked for."""

from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Sequence
from importlib import import_module
from typing import Any


class CommandParser(ArgumentParser):
    """The parser of the program, of a command, or of an action of a command."""

    def __init__(self, *, declared_in: str = "", **more: Any) -> None:
        """Set up the parser. `declared_in`: MODULE:FUNCTION of the command line that adds the options."""
        super().__init__(allow_abbrev=False, **more)
        self._declared_in = declared_in

    def declare(self) -> None:
        """Add the options of the command, once."""
        module, _, function = self._declared_in.partition(":")
        self._declared_in = ""
        if module:
            add_options: Callable[[ArgumentParser], None]
            add_options = getattr(import_module(f"hitchworth.cli.{module}"), function)
            add_options(self)

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: Namespace | None = None
    ) -> tuple[Namespace, list[str]]:
        """Parse as every parser does, with the options of the command."""
        self.declare()
        return super().parse_known_args(args, namespace)


def add_command(subparsers: Any, name: str, purpose: str, declared_in: str = "") -> CommandParser:
    """Add a command to the program, or an action to a command."""
    command: CommandParser = subparsers.add_parser(
        name, help=purpose, description=f"{purpose[0].upper()}{purpose[1:]}.", declared_in=declared_in
    )
    return command


def add_actions(parser: ArgumentParser) -> Any:
    """Make a command one that takes an action."""
    return parser.add_subparsers(title="actions", dest="action", metavar="ACTION", required=True)
