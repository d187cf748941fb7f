"""What a process of the pool does: it computes the answer to a request, or the answers to some lines of a batch.

It has the operations and, where builds are kept, a store of its own. What it logs comes back with the answer, because
the server has one log.
"""

import gc
import os
import signal
from collections.abc import Callable, Sequence
from functools import cache
from logging import Handler, LogRecord, getLogger, root
from pathlib import Path
from shutil import copyfileobj
from threading import Thread
from time import sleep
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.operations.batches import Line
from hitchworth.operations.evidence import FileContent
from hitchworth.operations.readiness import load_reference_data
from hitchworth.store import Store, open_store
from hitchworth.store.blobs import file_errors
from hitchworth.store.errors import StoreError
from hitchworth.web.api import OPERATIONS
from hitchworth.web.computation import Rendered, Result, compute, compute_lines
from hitchworth.web.field_selection import FieldTree
from hitchworth.web.kept_problems import kept_problem
from hitchworth.web.log import ElsewhereError, described
from hitchworth.web.operation import STORE
from hitchworth.web.problems import RequestError
from hitchworth.web.server_state import StorePlace

_BY_ID = {operation.operation_id: operation for operation in OPERATIONS}
_NICENESS = 5
"""How much less urgent a computation is than the event loop. Without it, small requests waited several times longer."""


class AnswerFormat(Struct, frozen=True):
    """The format of an answer, as it is sent to a process: operation and rendering by their names."""

    operation: str
    rendering: str
    table: str | None
    locale: str | None
    fields: FieldTree | None

    @classmethod
    def of(cls, rendered: Rendered) -> "AnswerFormat":
        """Return the format as it is sent."""
        operation, rendering, table, locale, fields = rendered
        return cls(operation.operation_id, rendering.name, table, locale, fields)

    def rendered(self) -> Rendered:
        """Return the format again."""
        operation = _BY_ID[self.operation]
        rendering = next(each for each in operation.renderings if each.name == self.rendering)
        return Rendered(operation, rendering, self.table, self.locale, self.fields)


class Job(Struct, frozen=True, kw_only=True):
    """A request whose answer is computed."""

    format: AnswerFormat
    arguments: dict[str, Any]
    """But the store."""
    body: bytes
    store: StorePlace | None
    file: str
    """The path of the file to write, where the answer is one."""


class Outcome(Struct, frozen=True):
    """What came of a computation, and what was logged meanwhile."""

    result: Any
    """An error stands for itself."""
    records: tuple[LogRecord, ...]

    def received(self) -> Any:
        """Return the result, after writing into the log of this process. Raises the error where there was one."""
        for record in self.records:
            getLogger(record.name).handle(record)
        if isinstance(self.result, Exception):
            raise self.result
        return self.result


class _Records(Handler):
    """Keeps what is logged."""

    def __init__(self) -> None:
        super().__init__()
        self.kept: list[LogRecord] = []

    def emit(self, record: LogRecord) -> None:
        """Keep a record, the error in it as it is going to be logged: with a traceback it could not be sent."""
        record.msg, record.args = record.getMessage(), None
        if record.exc_info:
            record.errors, record.exc_info = list(described(record.exc_info[1])), None
        self.kept.append(record)


@cache
def prepare() -> None:
    """Make the process ready for its first computation. The server decides when it ends."""
    for each in (signal.SIGINT, signal.SIGTERM):
        signal.signal(each, signal.SIG_IGN)
    Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    load_reference_data()
    gc.collect()
    gc.freeze()
    if hasattr(os, "nice"):  # Windows has none
        os.nice(_NICENESS)


def answer(job: Job) -> Outcome:
    """Return what `compute` does for the request, or raises. A file that is the answer is at its path."""
    prepare()
    rendered = job.format.rendered()
    operation = rendered.operation
    arguments = job.arguments | ({} if job.store is None else {STORE: _store(job.store)})

    def computed() -> Result:
        result = compute(operation, arguments, job.body, rendered)
        return result._replace(content=_left(result.content, job.file)) if operation.gives_file else result

    return _outcome(computed)


def answer_lines(answer_format: AnswerFormat, lines: Sequence[Line], instance: str, max_bytes: int) -> Outcome:
    """Return the answers to lines of a batch, one after the other."""
    prepare()
    return _outcome(lambda: compute_lines(answer_format.rendered(), lines, instance, max_bytes))


def _outcome(computed: Callable[[], Any]) -> Outcome:
    records = _Records()
    root.addHandler(records)
    result: Any
    try:
        result = computed()
    except RequestError as error:
        result = error
    except StoreError as error:
        result = kept_problem(error)
    except Exception as error:
        result = ElsewhereError(list(described(error)))
    finally:
        root.removeHandler(records)
    return Outcome(result, tuple(records.kept))


def _left(content: FileContent, path: str) -> FileContent:
    """Leave the file of an answer at a path, and return the rest of it. Raises StoreError."""
    with content.file, file_errors(), Path(path).open("xb") as left:
        copyfileobj(content.file, left)
    return replace(content, file=None)


@cache
def _store(place: StorePlace) -> Store:
    return open_store(place.database, evidence=place.evidence)


def _end_with(server: int) -> None:
    """End this process when the server has ended, even in the middle of a computation."""
    while os.getppid() == server:
        sleep(1)
    os._exit(1)
