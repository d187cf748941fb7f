"""What the options of several commands have in common: their names, their texts, and how their values are read."""

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from hitchworth import validation
from hitchworth.model.caller import DEFAULT_WORKSPACE
from hitchworth.model.document import Locale


def value_of(kind: object) -> Callable[[str], Any]:
    """Return what reads the value of an option as this type of the model."""
    return partial(_read, kind)


def _read(kind: object, text: str) -> object:
    try:
        return validation.read_text(text, kind)
    except validation.InvalidInputError as error:
        raise ArgumentTypeError(f"{text} is invalid; expected: {error.faults[0].expected}") from None


def add_document(parser: ArgumentParser) -> None:
    """Add the document that a command reads."""
    parser.add_argument("file", metavar="FILE", help="a document in JSON or as a workbook; - for standard input")


def add_date(parser: ArgumentParser) -> None:
    """Add the valuation date."""
    parser.add_argument(
        "--as-of",
        type=value_of(date),
        metavar="DATE",
        help="valuation date, as 2026-11-01; default: that in the file, or today",
    )


def add_locale(parser: ArgumentParser) -> None:
    """Add the language and the formats of the answer."""
    parser.add_argument(
        "--locale", type=value_of(Locale), metavar="TAG", help="language and region of the texts: en-US, de-DE"
    )


def add_format(parser: ArgumentParser) -> None:
    """Add the form of the output."""
    parser.add_argument("--format", choices=("table", "json", "csv"), default="table", help="default: %(default)s")


def add_output(parser: ArgumentParser, files: str) -> None:
    """Add the file that a command writes; `files` says which there are."""
    parser.add_argument("-o", "--output", type=Path, required=True, metavar="OUT", help=files)


def add_workspace(parser: ArgumentParser) -> None:
    """Add the workspace of a database."""
    parser.add_argument("--workspace", default=DEFAULT_WORKSPACE, metavar="NAME", help="default: %(default)s")
