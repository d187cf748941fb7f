"""A parser that learns the options of a command only when that command is asked for, and knows what was mistyped."""

from argparse import Action, ArgumentError, ArgumentParser, HelpFormatter, Namespace
from collections.abc import Callable, Iterable, Sequence
from difflib import get_close_matches
from importlib import import_module
from textwrap import fill
from typing import Any, NoReturn


class CommandParser(ArgumentParser):
    """The parser of the program, of a command, or of an action of a command."""

    def __init__(self, *, declared_in: str = "", **more: Any) -> None:
        """Set up the parser. `declared_in`: MODULE:FUNCTION of the command line that adds the options."""
        super().__init__(allow_abbrev=False, formatter_class=_LineFormatter, **more)
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
        """Parse as every parser does, with the options of the command; nothing may be left over."""
        self.declare()
        parsed, unknown = super().parse_known_args(args, namespace)
        if unknown:
            name = unknown[0].partition("=")[0]
            known = (option for action in self._actions for option in action.option_strings)
            self.error(f"unknown: {unknown[0]}{did_you_mean(name, known)}")
        return parsed, unknown

    def _check_value(self, action: Action, value: Any) -> None:
        if action.choices is not None and value not in action.choices:
            choices = [str(choice) for choice in action.choices]
            raise ArgumentError(
                action, f"unknown: {value}{did_you_mean(str(value), choices) or '; one of: ' + ', '.join(choices)}"
            )

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and where help is, and end with the code for wrong use."""
        self.exit(2, f"{self.prog}: {message}\nSee: {self.prog} --help\n")


class _LineFormatter(HelpFormatter):
    """Fills each line of a text of its own, so that an example stays on its line."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        lines = text.splitlines()
        return "\n".join(line if line.startswith(" ") else fill(line, width, initial_indent=indent) for line in lines)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return the question whether another word was meant; empty where none is near."""
    near = get_close_matches(word, list(known), n=3)
    return f"; did you mean {' or '.join(near)}?" if near else ""


def add_command(subparsers: Any, name: str, purpose: str, declared_in: str = "", example: str = "") -> CommandParser:
    """Add a command to the program, or an action to a command."""
    command: CommandParser = subparsers.add_parser(
        name,
        help=purpose,
        description=f"{purpose[0].upper()}{purpose[1:]}.",
        declared_in=declared_in,
        epilog=f"Example:\n  {example}" if example else None,
    )
    return command


def add_actions(parser: ArgumentParser) -> Any:
    """Make a command one that takes an action."""
    return parser.add_subparsers(title="actions", dest="action", metavar="ACTION", required=True)
