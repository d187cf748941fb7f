"""The schemas of the records in requests and answers, as the description of the API prints them."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from inspect import cleandoc
from typing import Any, TypeAlias

import msgspec

from hitchworth.model.kept import KeptBuild
from hitchworth.model.numbers import NOTE
from hitchworth.operations.renderings import JSON
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.validation.type_inspection import is_record
from hitchworth.web.api import OPERATIONS
from hitchworth.web.operation import Operation
from hitchworth.web.problems import Problem
from hitchworth.web.type_documentation import Explanations, explanations, with_notes

Schema: TypeAlias = dict[str, Any]

_REF = "#/components/schemas/{name}"


def reference(kind: Any) -> Schema:
    """The schema of a type, in which a record is named and not written out."""
    (schema,), _ = msgspec.json.schema_components([kind], ref_template=_REF)
    return dict(schema)


def schemas() -> Schema:
    """The records of requests and of answers; a record that is in both has two schemas, that of answers `...Output`."""
    requests, answers, names = _request_records(), _answer_records(), output_names()
    described = {
        **{name: _described(schema) for name, schema in requests.items()},
        **{names.get(name, name): of_answers(_described(schema), names) for name, schema in answers.items()},
    }
    return dict(sorted(described.items()))


@cache
def output_names() -> Mapping[str, str]:
    """The names of the schemas of answers, where requests have the same record."""
    return {name: f"{name}Output" for name in _request_records().keys() & _answer_records().keys()}


def _request_records() -> Schema:
    bodies = (*(operation.request_type for operation in OPERATIONS if operation.request_type is not None), KeptBuild)
    parameters = (each.kind for operation in OPERATIONS for each in operation.parameters if is_record(each.kind))
    rows = (operation.rows for operation in OPERATIONS if operation.rows is not None)
    return _components((*bodies, *parameters, *rows))


def _answer_records() -> Schema:
    kinds = (operation.response_type for operation in OPERATIONS if _answers_json(operation))
    return _components([*kinds, Problem])


def _components(kinds: Iterable[Any]) -> Schema:
    described = msgspec.json.schema_components(kinds, ref_template=_REF)[1]
    return dict(msgspec.to_builtins(described))  # an example may be a number or a date


def _answers_json(operation: Operation) -> bool:
    return any(rendering.media_type == JSON for rendering in operation.renderings)


def _described(schema: Schema) -> Schema:
    """The schema of a record with the full description of each property."""
    properties = {name: described_property(part) for name, part in schema.get("properties", {}).items()}
    return {**schema, "description": cleandoc(schema.get("description", "")), "properties": properties}


def described_property(schema: Schema) -> Schema:
    """The property with the notes of its type and the meaning of its values in its description."""
    parts = tuple(_parts(schema))
    notes = (part[NOTE] for part in parts if NOTE in part)
    values = (line for part in parts if "enum" in part for line in _value_lines(part["enum"]))
    described: Schema = _corrected(schema)
    described["description"] = paragraph_with_list(with_notes(schema.get("description", ""), notes), values)
    return described


def _parts(schema: Schema) -> Iterator[Schema]:
    """The schema, then those of its alternatives and of its items."""
    yield schema
    for part in schema.get("anyOf", ()):
        yield from _parts(part)
    for name in ("items", "additionalProperties"):
        if isinstance(schema.get(name), dict):
            yield from _parts(schema[name])


def paragraph_with_list(paragraph: str, lines: Iterable[str]) -> str:
    """A paragraph, and below it a list."""
    return "\n\n".join(filter(None, (paragraph, "\n".join(lines))))


def _value_lines(values: Iterable[object]) -> Iterator[str]:
    """The meaning of each value of an enumeration, a line each. Raises KeyError where one is not explained."""
    places: Explanations = {code: place.name for code, place in jurisdictions().items()}
    explained = {**explanations(), frozenset(places): places}
    return list_lines(explained[frozenset(values)].items())


def list_lines(explained: Iterable[tuple[object, str]]) -> Iterator[str]:
    """The lines of a list of values and what each means."""
    return (f"- `{value}`: {text}" for value, text in explained)


def _corrected(schema: Any) -> Any:
    """The schema without notes, and with what msgspec does not print: decimals of requests may be numbers."""
    if isinstance(schema, list):
        return [_corrected(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    corrected = {name: _corrected(part) for name, part in schema.items() if name != NOTE}
    if _is_bounded_decimal(corrected):
        corrected["type"] = ["string", "number"]
    return corrected


def of_answers(schema: Any, names: Mapping[str, str]) -> Any:
    """The schema as answers need it: it admits fields that are added later, and its decimals are text.

    `names` has the name of the answers' schema for each record that is in requests too.
    """
    if isinstance(schema, list):
        return [of_answers(part, names) for part in schema]
    if not isinstance(schema, dict):
        return schema
    dropped = {"pattern", "minimum", "maximum"} if _is_bounded_decimal(schema) else set()
    output = {name: of_answers(part, names) for name, part in schema.items() if name not in dropped}
    if output.get("additionalProperties") is False:
        del output["additionalProperties"]
    if dropped:
        output["type"] = "string"
    if "$ref" in output:
        name = output["$ref"].rpartition("/")[2]
        output["$ref"] = _REF.format(name=names.get(name, name))
    return output


def _is_bounded_decimal(schema: Schema) -> bool:
    return schema.get("format") == "decimal" and "maximum" in schema
