"""`hitchworth completion`: what a shell needs to complete commands, options and their values."""

from argparse import Action, ArgumentParser, Namespace

import shtab

from hitchworth.cli.parser import build_parser

_FILES = {"FILE", "OUT", "DOCUMENT", "BEFORE", "AFTER", "IMAGE"}


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth completion`."""
    parser.add_argument(
        "shell", choices=shtab.SUPPORTED_SHELLS, metavar="SHELL", help=", ".join(shtab.SUPPORTED_SHELLS)
    )
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Print the script that the shell is to read."""
    parser = build_parser(whole=True)
    for action in _actions(parser):
        if action.metavar in _FILES:
            action.complete = shtab.FILE  # type: ignore[attr-defined]  # this is how shtab is told
        elif action.metavar == "DIR":
            action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
    print(shtab.complete(parser, arguments.shell))


def _actions(parser: ArgumentParser) -> list[Action]:
    """Return the options and arguments of a parser and of its commands."""
    found = []
    for action in parser._actions:
        found.append(action)
        if isinstance(action.choices, dict):
            for command in action.choices.values():
                found.extend(_actions(command))
    return found
