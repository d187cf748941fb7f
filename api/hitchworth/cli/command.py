"""What may be typed, and what it runs: each command is a module of this room with a function `run`.

A module is imported when its command is run, so that `--version` need not wait for the web framework, and serving does
not need the SDK.
"""

import argparse
import os
import sys
from collections.abc import Sequence
from datetime import date
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from typing import cast

from hitchworth import validation
from hitchworth.cli.exit_codes import DONE, FAULTS, WRONG_USE, InputError, UsageError
from hitchworth.model.request import Locale

MOST_PORT = 65_535


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code."""
    chosen = build_parser().parse_args(arguments)
    try:
        import_module(f"hitchworth.cli.{chosen.command}").run(chosen)
    except BrokenPipeError:  # whoever read the output has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except InputError as faults:
        print(faults, file=sys.stderr)
        return FAULTS
    except UsageError as error:
        print(f"hitchworth: {error}", file=sys.stderr)
        return WRONG_USE
    return DONE


def build_parser() -> argparse.ArgumentParser:
    """Every command with its options."""
    top = argparse.ArgumentParser(
        prog="hitchworth",
        description="What a camping trailer costs to replace, what its insurance would pay, and what to ask first.",
    )
    top.add_argument("--version", action="version", version=f"hitchworth {version('hitchworth')}")
    commands = top.add_subparsers(title="commands", dest="command", metavar="COMMAND", required=True)
    for name, job, options in (
        ("demo", "show the whole job on a build that is made up", _demo_options()),
        ("serve", "serve the API until it is interrupted", _serve_options()),
        ("estimate", "value every line of a build", _compute_options()),
        ("classify", "hold the registered class against the built use", _compute_options()),
        ("settle", "try policies against losses, step by step", _compute_options()),
        ("gap", "do the whole job, with the questions to ask first", _compute_options()),
        ("curve", "value a build on a row of dates, and hold a limit against it", _dated_options()),
        ("compare", "compare two estimates, and say what moved them", _dated_options()),
        ("sales", "adjust comparable sales to the build, beside its cost", _compute_options()),
        ("sheet", "write the conversation sheet", _sheet_options()),
    ):
        commands.add_parser(name, help=job, description=f"{job.capitalize()}.", parents=[options])
    return top


def _file_options() -> argparse.ArgumentParser:
    options = argparse.ArgumentParser(add_help=False)
    options.add_argument("file", metavar="FILE", help="the request in JSON, or a bare build; - for the standard input")
    _day_and_locale(options)
    return options


def _compute_options() -> argparse.ArgumentParser:
    options = argparse.ArgumentParser(add_help=False, parents=[_file_options()])
    _form(options)
    return options


def _dated_options() -> argparse.ArgumentParser:
    """Of a request that has its dates in itself."""
    options = argparse.ArgumentParser(add_help=False)
    options.add_argument("file", metavar="FILE", help="the request in JSON; - for the standard input")
    _spoken(options)
    _form(options)
    return options


def _form(options: argparse.ArgumentParser) -> None:
    options.add_argument("--format", choices=("table", "json", "csv"), default="table", help="default: %(default)s")


def _sheet_options() -> argparse.ArgumentParser:
    options = argparse.ArgumentParser(add_help=False, parents=[_file_options()])
    options.add_argument(
        "-o", "--output", type=Path, required=True, metavar="OUT", help="a .html, .pdf, .docx or .md file"
    )
    return options


def _demo_options() -> argparse.ArgumentParser:
    options = argparse.ArgumentParser(add_help=False)
    options.add_argument("--output", type=Path, default=Path("demo-output"), metavar="DIR", help="default: %(default)s")
    _day_and_locale(options)
    return options


def _serve_options() -> argparse.ArgumentParser:
    options = argparse.ArgumentParser(add_help=False)
    options.add_argument("--host", default="127.0.0.1", help="default: %(default)s, this machine alone")
    options.add_argument("--port", type=_port, default=8000, help="default: %(default)s")
    return options


def _day_and_locale(options: argparse.ArgumentParser) -> None:
    options.add_argument(
        "--as-of",
        type=_day,
        metavar="DATE",
        help="valuation date, as 2026-11-01; default: the input's",
    )
    _spoken(options)


def _spoken(options: argparse.ArgumentParser) -> None:
    options.add_argument("--locale", type=_locale, metavar="TAG", help="language and region of the texts: en-US, de-DE")


def _port(text: str) -> int:
    if not text.isdecimal() or int(text) > MOST_PORT:
        raise argparse.ArgumentTypeError(f"{text} is no port: a whole number from 0 to {MOST_PORT}")
    return int(text)


def _day(text: str) -> date:
    return cast("date", _read(text, date))


def _locale(text: str) -> str:
    return cast("str", _read(text, Locale))


def _read(text: str, kind: object) -> object:
    try:
        return validation.read_text(text, kind)
    except validation.InvalidInputError as error:
        raise argparse.ArgumentTypeError(f"{text} is no value for it; expected: {error.faults[0].expected}") from None
