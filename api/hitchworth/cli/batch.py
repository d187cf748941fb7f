"""`hitchworth batch`: estimates or gap statements of many documents, a line of JSON for each, in their order."""

import os
import sys
from argparse import ArgumentParser, Namespace
from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager, nullcontext
from itertools import islice
from multiprocessing import get_context
from pathlib import Path
from typing import IO, Any, NamedTuple, TypeAlias

import msgspec
from msgspec import Raw, Struct
from rich.console import Console
from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn, TimeRemainingColumn

from hitchworth.cli.exit_codes import InputError, UsageError, usage_errors
from hitchworth.cli.options import add_date, add_force, add_locale, add_processes, add_server
from hitchworth.cli.request_file import document_content, documents_in, request_body
from hitchworth.cli.server_client import connected, from_client
from hitchworth.cli.written_files import require_leave
from hitchworth.localization.locales import SOURCE
from hitchworth.model.estimate import Estimate
from hitchworth.model.gap import GapStatement
from hitchworth.model.problem import INVALID_INPUT, Problem
from hitchworth.model.request import EstimateRequest, GapRequest
from hitchworth.operations.batch_tables import ESTIMATE_BATCH, GAP_STATEMENT_BATCH, batch_csv
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
from hitchworth.operations.tables import ResultTable

Answers: TypeAlias = Callable[[Iterable[Line], str, int], Iterator[bytes]]


class Result(NamedTuple):
    """What can be computed: the request, the operation, the answer with its name in a line, and its table."""

    kind: type[Any]
    operation: Answers
    answer: type[Struct]
    name: str
    table: ResultTable


RESULTS: Mapping[str, Result] = {
    "estimate": Result(EstimateRequest, create_estimate_batch, Estimate, "estimate", ESTIMATE_BATCH),
    "gap": Result(GapRequest, create_gap_statement_batch, GapStatement, "gap_statement", GAP_STATEMENT_BATCH),
}
MAX_BYTES = Settings().max_body_bytes
"""Of a line."""
_PIECE_BYTES = 64_000
_PIECE_LINES = 100
"""What a process is given at a time."""
_INSTANCE = ""


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth batch`."""
    parser.add_argument("file", metavar="FILE|FOLDER", help="newline-delimited JSON, - for standard input; or a folder")
    parser.add_argument(
        "--result", choices=tuple(RESULTS), default="estimate", help="what is computed; default: %(default)s"
    )
    add_date(parser)
    add_locale(parser)
    parser.add_argument(
        "-o",
        "--output",
        type=Path,
        metavar="OUT",
        help="a row for each line where it ends in .csv; default: standard output",
    )
    parser.add_argument(
        "--resume", action="store_true", help="write into OUT as the answers come, after those that it has already"
    )
    add_force(parser)
    add_processes(parser, "1")
    add_server(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Answer every line of a file, or every document of a folder. Raises InputError where any has a problem."""
    result = RESULTS[arguments.result]
    if arguments.processes is not None and arguments.server is not None:
        raise UsageError("--processes is for what this machine computes, and --server for what another does")
    is_table = arguments.output is not None and arguments.output.suffix.lower() == ".csv"
    if arguments.resume:
        if arguments.output is None or is_table:
            raise UsageError("--resume needs lines of JSON to go on after: give -o OUT.ndjson with it")
    elif arguments.output is not None:
        require_leave(arguments.output, arguments.file, arguments)
    chosen = {"as_of": arguments.as_of, "locale": arguments.locale}
    overrides = {name: value for name, value in chosen.items() if value is not None}
    server = nullcontext() if arguments.server is None else connected(arguments.server, arguments.key)
    with server as client, _progress(arguments.output) as progress:
        source = _source(arguments.file, result.kind, overrides, progress)
        done = _done(arguments, result, source.places) if arguments.resume else _Done()
        tally = Counter(answers=done.answers, problems=done.problems)
        answers = _counted(_computed(arguments, client, source.lines), tally)
        written = batch_csv(answers, result.table, arguments.locale or SOURCE) if is_table else answers
        with _appended(arguments.output, done) if arguments.resume else _written(arguments.output) as write:
            for piece in written:
                write(piece)
            if not tally["answers"]:  # then nothing is written
                raise InputError(f"{arguments.file}: there is no line in it, and no document")
    if tally["problems"]:
        raise InputError(f"{tally['problems']:,} of {tally['answers']:,} have a problem; their answers say which")


class _Done(NamedTuple):
    """What an output has already: its whole answers, and what of it they fill."""

    answers: int = 0
    problems: int = 0
    size: int = 0
    """Bytes; what follows was half written."""


class _Place(NamedTuple):
    """Which line it is."""

    number: int
    id: str | None
    """Of a line that has none in it."""


class _Source(NamedTuple):
    """The lines to answer. Those whose places have been taken are passed over."""

    places: Iterator[_Place]
    lines: Iterator[Line | bytes]


def _done(arguments: Namespace, result: Result, places: Iterator[_Place]) -> _Done:
    """Return what an output has already, and take the places of what is answered.

    Raises UsageError where it is not the output of such a batch, or not that of these lines.
    """
    done, output = _Done(), arguments.output
    if not output.exists():
        return done
    with usage_errors(), output.open("rb") as file:
        for answer in file:
            if not answer.endswith(b"\n"):
                break
            members, answered = _read(answer)
            if members not in ({"line", "id", "problem"}, {"line", "id", result.name}):
                told = f"line {done.answers + 1:,} is not an answer of such a batch"
                raise UsageError(f"{output}: {told}; nothing was written")
            _require_same(answered, next(places, None), arguments)
            done = _Done(done.answers + 1, done.problems + ("problem" in members), done.size + len(answer))
    return done


def _read(answer: bytes) -> tuple[Set[str], _Place]:
    """Return the members of an answer, and to which line it is; no members where it is none."""
    try:
        members = msgspec.json.decode(answer, type=dict[str, Raw])
        number = msgspec.json.decode(members["line"], type=int)
        identity = msgspec.json.decode(members["id"], type=str | int | None)
    except (msgspec.MsgspecError, UnicodeDecodeError, KeyError):
        return frozenset(), _Place(0, None)
    return members.keys(), _Place(number, identity if isinstance(identity, str) else None)


def _require_same(answered: _Place, place: _Place | None, arguments: Namespace) -> None:
    """Raise UsageError for an answer to another line than the one in its place."""
    output, file = arguments.output, arguments.file
    if place is None:
        raise UsageError(f"{output} has more answers than {file} has lines; nothing was written")
    if place.number != answered.number or place.id not in (None, answered.id):
        named = None not in (answered.id, place.id)
        found, here = (each.id if named else f"line {each.number:,}" for each in (answered, place))
        told = f"{output} has an answer to {found} in the place of that to {here}, so it is not of {file}"
        raise UsageError(f"{told}; nothing was written")


def _computed(arguments: Namespace, client: Any, lines: Iterator[Line | bytes]) -> Iterator[bytes]:
    """Return the answers of a server, of several processes, or of this one."""
    result = RESULTS[arguments.result]
    if client is not None:
        return _served(client, result, lines)
    if arguments.processes in (None, 1):
        return _answered(result, lines)
    return _answered_in_processes(arguments.result, lines, arguments.processes)


def _counted(answers: Iterator[bytes], tally: Counter[str]) -> Iterator[bytes]:
    for answer in answers:
        tally["answers"] += 1
        tally["problems"] += _is_problem(answer)
        yield answer


def _answered(result: Result, lines: Iterator[Line | bytes]) -> Iterator[bytes]:
    """Yield the answers to lines; what is an answer already, as it is."""
    for line in lines:
        yield from (line,) if isinstance(line, bytes) else result.operation([line], _INSTANCE, MAX_BYTES)


def _answered_in_processes(name: str, lines: Iterator[Line | bytes], processes: int) -> Iterator[bytes]:
    """Yield the answers of several processes, in the order of the lines. No more lines are read than they soon need."""
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        waiting: deque[Future[list[bytes]]] = deque()
        try:
            while piece := list(islice(lines, _PIECE_LINES)):
                waiting.append(pool.submit(_answers, name, piece))
                if len(waiting) > 2 * processes:
                    yield from waiting.popleft().result()
            while waiting:
                yield from waiting.popleft().result()
        finally:
            pool.shutdown(cancel_futures=True)


def _answers(name: str, piece: list[Line | bytes]) -> list[bytes]:
    return list(_answered(RESULTS[name], iter(piece)))


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


def _source(file: str, kind: type[Any], overrides: Mapping[str, object], progress: Progress) -> _Source:
    """Return the lines of a file or standard input, or a line for each document of a folder, by name."""
    folder = Path(file)
    if not folder.is_dir():
        lines = _of_file(file, overrides, progress)
        return _Source((_Place(line.number, None) for line in lines), lines)
    with usage_errors():
        paths = [Path(path) for path in documents_in([file])]
    numbered = enumerate(progress.track(paths, description=folder.name), 1)
    places = (_Place(number, path.name) for number, path in numbered)
    return _Source(places, _of_documents(numbered, kind, overrides))


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


def _of_documents(
    numbered: Iterable[tuple[int, Path]], kind: type[Any], overrides: Mapping[str, object]
) -> Iterator[Line | bytes]:
    """Yield a line for each document; its id is the name of the file.

    A workbook that has faults is a problem by itself, which names their cells.
    """
    for number, path in numbered:
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


@contextmanager
def _appended(output: Path, done: _Done) -> Iterator[Callable[[bytes], object]]:
    """Write into a file after what it has, and leave it there when the work is broken off. Raises UsageError.

    One without an answer is not left there.
    """
    with usage_errors():
        try:
            with output.open("ab") as file:
                file.truncate(done.size)
                yield file.write
        finally:
            if output.exists() and not output.stat().st_size:
                output.unlink()
