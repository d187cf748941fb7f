"""A parser that learns the options of a command only when that command is asked for, and knows what was mistyped."""

from argparse import Action, ArgumentError, ArgumentParser, HelpFormatter, Namespace
from collections.abc import Callable, Iterable, Sequence
from difflib import get_close_matches
from importlib import import_module
from shutil import get_terminal_size
from textwrap import fill
from typing import Any, NoReturn

_UNBROKEN = "\0"
"""Stands for a space in a usage at which no line is broken."""


_WIDE = 60
"""On fewer columns, the text of an option stands below its name."""


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
    """Lays out help so that it fits a narrow terminal.

    The usage has what is required; the choices of an option stand behind its text, and not in its name. Each line of a
    text is filled on its own, so that an example stays on its line.
    """

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=24 if get_terminal_size().columns >= _WIDE else 4)

    def _format_usage(self, usage: str | None, actions: Iterable[Action], groups: object, prefix: str | None) -> str:
        actions = list(actions)
        if prefix is not None:  # the beginning of the usage of the actions of this command
            return super()._format_usage(usage, actions, [], prefix)
        needed = [action for action in actions if action.required or not action.option_strings]
        is_more = any(action not in needed and action.dest != "help" for action in actions)
        parts = [self._prog, *(["[OPTION ...]"] if is_more else []), *map(self._in_usage, needed)]
        whole = " ".join(part.replace(" ", _UNBROKEN) for part in parts)
        filled = fill(f"Usage: {whole}", self._width, subsequent_indent="  ", break_long_words=False)
        return f"{filled.replace(_UNBROKEN, ' ')}\n\n"

    def _in_usage(self, action: Action) -> str:
        if not action.option_strings:
            return self._format_args(action, self._get_default_metavar_for_positional(action))
        value = self._format_args(action, self._get_default_metavar_for_optional(action))
        return f"{action.option_strings[-1]} {value}"

    def _get_default_metavar_for_optional(self, action: Action) -> str:
        return super()._get_default_metavar_for_optional(action).rpartition("_")[2]

    def _metavar_formatter(self, action: Action, default_metavar: str) -> Callable[[int], tuple[str, ...]]:
        if action.option_strings and action.metavar is None:
            return lambda size: (default_metavar,) * size
        return super()._metavar_formatter(action, default_metavar)

    def _get_help_string(self, action: Action) -> str | None:
        text = action.help
        if not (text and action.option_strings and action.choices):
            return text
        *others, last = map(str, action.choices)
        return f"{text} ({' or '.join(filter(None, (', '.join(others), last)))})"

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
