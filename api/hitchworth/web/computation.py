"""What is computed for a request: its body read, the operation run, the result put into the format asked for."""

from collections.abc import Iterable, Sequence
from logging import getLogger
from typing import Any, NamedTuple

import msgspec

from hitchworth import validation
from hitchworth.extras import MissingExtraError
from hitchworth.localization.locales import SOURCE, resolve_locale
from hitchworth.model.fault import Fault
from hitchworth.operations.batches import Line, problem_line
from hitchworth.operations.changes import QuoteStageError, TrashedError
from hitchworth.operations.imports import UnreadableFileError
from hitchworth.operations.renderings import AS_TABLE, Rendering
from hitchworth.operations.requests import read_request
from hitchworth.operations.tables import ResultTable, csv_head, csv_rows, filled
from hitchworth.store.errors import StoreError
from hitchworth.web import problems
from hitchworth.web.field_selection import FieldTree, picked
from hitchworth.web.kept_problems import kept_problem
from hitchworth.web.operation import FORMAT_NAMES, REQUEST, Operation
from hitchworth.web.parameters import invalid_parameters
from hitchworth.web.problems import RequestError

_log = getLogger("hitchworth.web")


class Result(NamedTuple):
    """The content of a response, its own headers, and the locale of its texts if the request named one."""

    content: Any
    """Bytes; of an operation that gives a file, a FileContent."""
    headers: dict[str, str]
    language: str | None = None
    is_repeated: bool = False


class Rendered(NamedTuple):
    """The format of a response; where that is a table: which one, and for the spreadsheet of which locale."""

    operation: Operation
    rendering: Rendering
    table: str | None
    locale: str | None
    fields: FieldTree | None = None
    """Which parts of the answer are asked for; None: all."""

    def content(self, result: Any, language: str | None) -> bytes:
        """Return the content of the response. language: the locale of the request, where it names one."""
        if self.fields is not None:
            return msgspec.json.encode(picked(msgspec.json.decode(self.rendering.render(result)), self.fields))
        if not self._is_table:
            return self.rendering.render(result)
        locale = self.locale or getattr(result, "locale", None) or language or SOURCE
        return self.rendering.render(filled(self._chosen, result, locale))

    def head(self) -> bytes:
        """Return what comes before the answers to the lines of a batch."""
        return csv_head(self._chosen.record, self.locale or SOURCE).encode() if self._is_table else b""

    def lines(self, answers: Sequence[bytes]) -> bytes:
        """Return answers to lines of a batch, in its format."""
        if not self._is_table:
            return self.rendering.render(answers)
        rows = self._chosen.rows(answers)
        return "".join(csv_rows(self._chosen.record, rows, self.locale or SOURCE)).encode()

    @property
    def _is_table(self) -> bool:
        return self.rendering in AS_TABLE and bool(self.operation.tables)

    @property
    def _chosen(self) -> ResultTable:
        tables = {table.name: table for table in self.operation.tables}
        return tables[self.table] if self.table else self.operation.tables[0]


def compute(operation: Operation, arguments: dict[str, Any], body: bytes, rendered: Rendered) -> Result:
    """Run the operation and render its result. Raises RequestError."""
    language = None
    if operation.takes_upload:
        pass
    elif operation.takes_file:
        arguments[REQUEST] = body
        if "locale" in arguments and "Content-Language" not in operation.headers:  # else the file says which it is
            language = resolve_locale(arguments["locale"]).formats
    elif operation.reads_body:
        arguments[REQUEST] = body
    elif operation.request_type is not None:
        request = arguments[REQUEST] = _read_request(body, operation.request_type)
        language = resolve_locale(request.locale).formats
    try:
        result = operation.function(**arguments)
        headers = {name: value(result) for name, value in operation.headers.items()}
        given = {name: value for name, value in headers.items() if value is not None}
        is_repeated = operation.is_repeated is not None and operation.is_repeated(result)
        return Result(rendered.content(result, language), given, language, is_repeated)
    except validation.MalformedBodyError as error:
        raise RequestError(problems.MALFORMED_BODY, str(error)) from None
    except UnreadableFileError as error:
        formats = ", ".join(FORMAT_NAMES[each] for each in operation.files)
        fault = Fault(pointer="", detail=str(error), expected=f"one of {formats}")
        raise RequestError(problems.INVALID_INPUT, "The file cannot be read.", errors=(fault,)) from None
    except validation.InvalidInputError as error:
        raise _invalid_input_or_parameter(operation, error) from None
    except (StoreError, TrashedError, QuoteStageError, MissingExtraError) as error:
        raise kept_problem(error) from error


def compute_lines(rendered: Rendered, lines: Iterable[Line], instance: str, max_bytes: int) -> bytes:
    """Return the answers of an operation to lines of a batch. What goes wrong with one is its own problem."""
    return rendered.lines([_compute_line(rendered.operation, line, instance, max_bytes) for line in lines])


def _compute_line(operation: Operation, line: Line, instance: str, max_bytes: int) -> bytes:
    try:
        (answer,) = operation.function([line], instance, max_bytes)
    except Exception:
        _log.exception("line %d of a batch failed", line.number)
        detail = "The server could not respond to this line."
        return problem_line(line.number, problems.INTERNAL_ERROR, detail, instance)
    return bytes(answer)


def _read_request(body: bytes, kind: Any) -> Any:
    try:
        return read_request(body, kind)
    except validation.MalformedBodyError as error:
        raise RequestError(problems.MALFORMED_BODY, str(error)) from None
    except validation.InvalidInputError as error:
        raise _invalid_input(error) from None


def _invalid_input(error: validation.InvalidInputError) -> RequestError:
    detail = f"The body has {error.summary}."
    return RequestError(problems.INVALID_INPUT, detail, errors=error.faults, fault_count=error.count)


def _invalid_input_or_parameter(operation: Operation, error: validation.InvalidInputError) -> RequestError:
    """Return the faults that an operation has found: of a parameter, of the body, or of the document that is kept."""
    by_name: dict[str, list[Fault]] = {}
    for fault in error.faults:
        by_name.setdefault(fault.pointer.removeprefix("/"), []).append(fault)
    if operation.request_type is None and by_name.keys() <= {parameter.name for parameter in operation.parameters}:
        return invalid_parameters(by_name)
    return _invalid_input(error)
