"""`hitchworth batch`: estimates or gap statements of many documents, a line of JSON for each, in their order."""

import os
import sys
from argparse import ArgumentParser, Namespace
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import IO, Any, NamedTuple, TypeAlias

import msgspec
from msgspec import Raw, Struct
from rich.console import Console
from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn, TimeRemainingColumn

from hitchworth.cli.exit_codes import InputError, usage_errors
from hitchworth.cli.options import add_date, add_force, add_locale, add_server
from hitchworth.cli.request_file import document_content, documents_in, request_body
from hitchworth.cli.server_client import connected, from_client
from hitchworth.cli.written_files import require_leave
from hitchworth.model.estimate import Estimate
from hitchworth.model.gap import GapStatement
from hitchworth.model.problem import INVALID_INPUT, Problem
from hitchworth.model.request import EstimateRequest, GapRequest
from hitchworth.operations.batches import (
    Line,
    Lines,
    create_estimate_batch,
    create_gap_statement_batch,
    identity_of,
    line_out,
    problem_line,
)
from hitchworth.operations.settings import Settings

Answers: TypeAlias = Callable[[Iterable[Line], str, int], Iterator[bytes]]


class Result(NamedTuple):
    """What can be computed: the request in a line, the operation, and its answer with its name in a line."""

    kind: type[Any]
    operation: Answers
    answer: type[Struct]
    name: str


RESULTS: Mapping[str, Result] = {
    "estimate": Result(EstimateRequest, create_estimate_batch, Estimate, "estimate"),
    "gap": Result(GapRequest, create_gap_statement_batch, GapStatement, "gap_statement"),
}
MAX_BYTES = Settings().max_body_bytes
"""Of a line."""
_PIECE_BYTES = 64_000
_INSTANCE = ""


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth batch`."""
    parser.add_argument("file", metavar="FILE|FOLDER", help="newline-delimited JSON, - for standard input; or a folder")
    parser.add_argument(
        "--result", choices=tuple(RESULTS), default="estimate", help="what is computed; default: %(default)s"
    )
    add_date(parser)
    add_locale(parser)
    parser.add_argument("-o", "--output", type=Path, metavar="OUT", help="default: standard output")
    add_force(parser)
    add_server(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Answer every line of a file, or every document of a folder. Raises InputError where any has a problem."""
    if arguments.output is not None:
        require_leave(arguments.output, arguments.file, arguments)
    result = RESULTS[arguments.result]
    chosen = {"as_of": arguments.as_of, "locale": arguments.locale}
    overrides = {name: value for name, value in chosen.items() if value is not None}
    folder = Path(arguments.file)
    server = nullcontext() if arguments.server is None else connected(arguments.server, arguments.key)
    with server as client, _progress(arguments.output) as progress, _written(arguments.output) as write:
        lines: Iterator[Line | bytes]
        if folder.is_dir():
            lines = _of_folder(folder, result.kind, overrides, progress)
        else:
            lines = _of_file(arguments.file, overrides, progress)
        count = problems = 0
        for answer in _answered(result, lines) if client is None else _served(client, result, lines):
            write(answer)
            count += 1
            problems += _is_problem(answer)
        if not count:  # then nothing is written
            raise InputError(f"{arguments.file}: there is no line in it, and no document")
    if problems:
        raise InputError(f"{problems:,} of {count:,} have a problem; their answers say which")


def _answered(result: Result, lines: Iterator[Line | bytes]) -> Iterator[bytes]:
    """Yield the answers to lines; what is an answer already, as it is."""
    for line in lines:
        yield from (line,) if isinstance(line, bytes) else result.operation([line], _INSTANCE, MAX_BYTES)


def _served(client: Any, result: Result, lines: Iterator[Line | bytes]) -> Iterator[bytes]:
    """Yield the answers of a server in the order of the lines, with their numbers and ids as they are here.

    A line that is too long is not sent.
    """
    sent: deque[Line | bytes] = deque()

    def contents() -> Iterator[bytes]:
        for line in lines:
            if isinstance(line, bytes) or line.content is None:
                sent.extend(_answered(result, iter([line])))
            else:
                sent.append(line)
                yield line.content

    for answer in getattr(client, result.operation.__name__)(contents()):
        while isinstance(line := sent.popleft(), bytes):
            yield line
        identity = identity_of(line.id if line.id is not None else answer.id)
        if answer.problem is None:
            found = msgspec.json.encode(from_client(answer.answer, result.answer))
            yield line_out(line.number, identity, result.name, found)
        else:
            yield line_out(line.number, identity, "problem", msgspec.json.encode(from_client(answer.problem, Problem)))
    yield from (line for line in sent if isinstance(line, bytes))


def _is_problem(answer: bytes) -> bool:
    """Return whether an answer is a problem. It begins with the line and an id, which is short."""
    return b'"problem":' in answer[:1000] and "problem" in msgspec.json.decode(answer, type=dict[str, Raw])


def _of_file(file: str, overrides: Mapping[str, object], progress: Progress) -> Iterator[Line]:
    """Yield the lines of a file, or of standard input. The bar shows how much of the file has been read."""
    lines = Lines(MAX_BYTES)
    with usage_errors(), _opened(file) as opened:
        task = progress.add_task(Path(file).name, total=None if file == "-" else os.fstat(opened.fileno()).st_size)
        while piece := opened.read(_PIECE_BYTES):
            yield from (_with(line, overrides) for line in lines.feed(piece))
            progress.advance(task, len(piece))
        yield from (_with(line, overrides) for line in lines.end())


def _opened(file: str) -> IO[bytes]:
    return os.fdopen(os.dup(sys.stdin.fileno()), "rb") if file == "-" else Path(file).open("rb")


def _with(line: Line, overrides: Mapping[str, object]) -> Line:
    """Return a line with the date and the locale of the command line; what is no object stays as it is."""
    if not overrides or line.content is None:
        return line
    try:
        members = msgspec.json.decode(line.content, type=dict[str, Raw])
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        return line
    identity = {name: members.pop(name) for name in ("id",) if name in members}
    if "build" not in members:  # a build alone
        members = {"build": Raw(msgspec.json.encode(members))}
    return Line(number=line.number, content=msgspec.json.encode(identity | members | dict(overrides)))


def _of_folder(
    folder: Path, kind: type[Any], overrides: Mapping[str, object], progress: Progress
) -> Iterator[Line | bytes]:
    """Yield a line for each document of a folder, by name; its id is the name of the file.

    A workbook that has faults is a problem by itself, which names their cells.
    """
    with usage_errors():
        files = [Path(file) for file in documents_in([str(folder)])]
    for number, path in enumerate(progress.track(files, description=folder.name), 1):
        try:
            body = request_body(document_content(str(path)).content, kind, overrides).content
        except InputError as error:
            yield problem_line(number, INVALID_INPUT, str(error), _INSTANCE, identity=identity_of(path.name))
        else:
            yield Line(number=number, content=body, id=path.name)


def _progress(output: Path | None) -> Progress:
    """Return a bar on standard error; none where that is no terminal, or the answers go to the same."""
    console = Console(stderr=True)
    is_shown = console.is_terminal and (output is not None or not sys.stdout.isatty())
    columns = (TextColumn("{task.description}"), BarColumn(), TaskProgressColumn(), TimeRemainingColumn())
    return Progress(*columns, console=console, disable=not is_shown, transient=True)


@contextmanager
def _written(output: Path | None) -> Iterator[Callable[[bytes], object]]:
    """Write to standard output, or into a file that is there whole or not at all. Raises UsageError."""
    if output is None:
        yield sys.stdout.buffer.write
        sys.stdout.buffer.flush()
        return
    new = output.with_name(f"{output.name}.new")
    with usage_errors():
        try:
            with new.open("wb") as file:
                yield file.write
            new.replace(output)
        except BaseException:
            new.unlink(missing_ok=True)
            raise
