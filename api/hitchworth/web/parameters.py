"""The parameters of a request: of its path, its query, its headers and its form, each read as its type."""

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.model.fault import Fault
from hitchworth.validation.fault_texts import describe_type
from hitchworth.validation.type_inspection import is_record
from hitchworth.web import problems
from hitchworth.web.http import HTTPRequest
from hitchworth.web.operation import DECIMAL, FIRST_LINE, Operation, Parameter
from hitchworth.web.problems import RequestError
from hitchworth.web.uploads import FORM

_CALLED = {"query": "parameter", "form": "field"}


def reject_unknown_parameters(operation: Operation, request: HTTPRequest) -> None:
    """Raise RequestError with every parameter, and every field of a form, that the operation does not take."""
    names = [parameter.name for parameter in operation.parameters if parameter.place == "query"] + ["format", "faults"]
    names += ["table", "table_locale"] if operation.tables else []
    names += ["fields"] if operation.selects_fields else []
    names += [FIRST_LINE] if operation.streams else []
    sent = {"query": request.query_params, "form": request.state.get(FORM, ())}
    unknown = {place: [name for name in given if name not in names] for place, given in sent.items()}
    details = [f"The {place} has an unknown {_CALLED[place]}." for place, found in unknown.items() if found]
    if details:
        faults = tuple(
            Fault(
                pointer="", detail=f"Unknown {_CALLED[place]}", expected=f"one of {', '.join(names)}", found=name[:60]
            )
            for place, found in unknown.items()
            for name in found
        )
        raise RequestError(problems.INVALID_PARAMETER, " ".join(details), errors=faults)


def reject_repeated_parameters(operation: Operation, request: HTTPRequest) -> None:
    """Raise RequestError with every parameter that is given several times and takes one value."""
    lists = {parameter.name for parameter in operation.parameters if parameter.item_kind is not None}
    lists |= {"fields"} if operation.selects_fields else set()
    given = {name: _all_sent(name, request) for name in (*request.query_params, *request.state.get(FORM, ()))}
    faults = {
        name: (Fault(pointer="", detail="Given more than once", expected="one value", found=", ".join(texts)[:60]),)
        for name, texts in given.items()
        if len(texts) > 1 and name not in lists
    }
    if faults:
        raise invalid_parameters(faults)


def query_parameter(request: HTTPRequest, name: str, kind: Any) -> Any:
    """Return the value of a query parameter; None when it is missing."""
    text = request.query_params.get(name)
    return None if text is None else _parse_parameter(name, text, kind)


def parameter_values(parameters: Sequence[Parameter], request: HTTPRequest) -> dict[Parameter, Any]:
    """Return the value of each parameter. Raises RequestError with the faults of all of them at once."""
    values: dict[Parameter, Any] = {}
    faults: dict[str, tuple[Fault, ...]] = {}
    has_comma = request.query_params.get(DECIMAL) == "comma"  # the spreadsheet's own mark, put together with its cells
    for parameter in parameters:
        text = _sent(parameter, request)
        if parameter.item_kind is not None:
            try:
                values[parameter] = _parsed_items(parameter, _all_sent(parameter.name, request))
            except validation.InvalidInputError as error:
                faults[parameter.name] = error.faults
        elif text is None and parameter.required:
            if parameter.place == "header":  # only If-Match is required
                raise RequestError(problems.PRECONDITION_REQUIRED, problems.PRECONDITION_REQUIRED.description)
            faults[parameter.name] = (_missing(parameter),)
        elif text is None:
            values[parameter] = parameter.default
        else:
            try:
                sent = validation.with_point(text, parameter.kind) if has_comma else text
                values[parameter] = _parsed(parameter.name, sent, parameter.kind)
            except validation.InvalidInputError as error:
                faults[parameter.name] = error.faults
    if faults:
        raise invalid_parameters(faults)
    return values


def _missing(parameter: Parameter) -> Fault:
    return Fault(pointer="", detail="Missing parameter", expected=describe_type(parameter.kind), found="nothing")


def _sent(parameter: Parameter, request: HTTPRequest) -> str | None:
    """Return what the request has for a parameter; None where it has nothing. A header may be sent in several lines."""
    match parameter.place:
        case "header":
            lines = request.headers.getall(parameter.name, [])
            return ", ".join(lines) if lines else None
        case "path":
            return str(request.path_params[parameter.name]).removeprefix("/")  # the rest of a path begins with one
        case "query":
            return next(iter(_all_sent(parameter.name, request)), None)


def _all_sent(name: str, request: HTTPRequest) -> list[str]:
    """Return what the query, or the form, has under a name. A field that was left empty says nothing."""
    form: dict[str, list[str]] = request.state.get(FORM, {})
    return [*request.query_params.getall(name, []), *filter(None, form.get(name, []))]


def _parsed_items(parameter: Parameter, texts: Sequence[str]) -> tuple[Any, ...]:
    """Return a parameter that may be repeated. Raises InvalidInputError."""
    items = tuple(_parsed(parameter.name, text, parameter.item_kind) for text in texts)
    return tuple(validation.read(msgspec.json.encode(items), parameter.kind))


def _parse_parameter(name: str, text: str, kind: Any) -> Any:
    try:
        return _parsed(name, text, kind)
    except validation.InvalidInputError as error:
        raise invalid_parameters({name: error.faults}) from None


def _parsed(name: str, text: str, kind: Any) -> Any:
    """Return a parameter as its type; a record is written in JSON. Raises InvalidInputError with its faults."""
    try:
        return validation.read(text.encode(), kind) if is_record(kind) else validation.read_text(text, kind)
    except validation.MalformedBodyError as error:
        raise RequestError(problems.INVALID_PARAMETER, f"The parameter {name} is no JSON: {error}") from None


def invalid_parameters(faults: Mapping[str, Sequence[Fault]]) -> RequestError:
    """Return the error that names each parameter with its faults."""
    named = tuple(
        replace(fault, pointer="", detail=f"{name}{fault.pointer.removeprefix(f'/{name}')}: {fault.detail}")
        for name, each in faults.items()
        for fault in each
    )
    detail = (
        f"The parameter {next(iter(faults))} is invalid." if len(faults) == 1 else "Several parameters are invalid."
    )
    return RequestError(problems.INVALID_PARAMETER, detail, errors=named)
