"""What the options of several commands have in common: their names, their texts, and how their values are read."""

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import Annotated, Any

from msgspec import Meta

from hitchworth import validation
from hitchworth.model.caller import DEFAULT_WORKSPACE
from hitchworth.model.document import Locale

_Processes = Annotated[int, Meta(ge=1, le=1000)]


def value_of(kind: object) -> Callable[[str], Any]:
    """Return what reads the value of an option as this type of the model."""
    return partial(_read, kind)


def _read(kind: object, text: str) -> object:
    try:
        return validation.read_text(text, validation.without_null(kind))
    except validation.InvalidInputError as error:
        raise ArgumentTypeError(f"{text} is invalid; expected: {error.faults[0].expected}") from None


DOCUMENT = (
    "a document: JSON, YAML, TOML or a workbook (.xlsx, .ods); - for standard input. To begin one: hitchworth start"
)
"""What a command reads that computes."""


def add_document(parser: ArgumentParser) -> None:
    """Add the document that a command reads."""
    parser.add_argument("file", metavar="FILE", help=DOCUMENT)


def add_documents(parser: ArgumentParser) -> None:
    """Add the documents that a command reads."""
    parser.add_argument("files", metavar="FILE", nargs="+", help=f"{DOCUMENT}. Several, or a folder, one after another")


def add_server(parser: ArgumentParser) -> None:
    """Add the server that does the work instead of this machine."""
    parser.add_argument("--server", metavar="URL", help="let this server compute, instead of this machine")
    parser.add_argument("--key", metavar="KEY", help="the key for the server; default: the variable HITCHWORTH_KEY")


def add_processes(parser: Any, default: str) -> None:
    """Add in how many processes of this machine is computed, to a parser or a group of options."""
    parser.add_argument("--processes", type=value_of(_Processes), metavar="N", help=f"default: {default}")


def add_quiet(parser: ArgumentParser) -> None:
    """Add the wish to hear of nothing but results and errors."""
    parser.add_argument("-q", "--quiet", action="store_true", help="print results and errors only")


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
    parser.add_argument(
        "--format",
        choices=("table", "json", "csv"),
        default="table",
        help="how the result is printed; default: table; with json, faults are JSON too",
    )


def add_output(parser: ArgumentParser, files: str) -> None:
    """Add the file that a command writes; `files` says which there are."""
    parser.add_argument("-o", "--output", type=Path, required=True, metavar="OUT", help=files)


def add_force(parser: ArgumentParser) -> None:
    """Add the leave to write over a file."""
    parser.add_argument("--force", action="store_true", help="write over a file that is there already, without asking")


def add_workspace(parser: ArgumentParser) -> None:
    """Add the workspace of a database."""
    parser.add_argument(
        "--workspace", default=DEFAULT_WORKSPACE, metavar="NAME", help="whose builds; default: %(default)s"
    )
