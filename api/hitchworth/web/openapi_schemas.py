"""The schemas of the records in requests and answers, as the description of the API prints them."""

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from inspect import cleandoc
from typing import Any, TypeAlias

import msgspec

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
_BOUNDS = ("minimum", "maximum")
_LIST = re.compile(r"Items_(\w+)_")
"""The name that msgspec gives to a list of records."""


def reference(kind: Any) -> Schema:
    """The schema of a type, in which a record is named and not written out."""
    (schema,), _ = msgspec.json.schema_components([kind], ref_template=_REF)
    return dict(schema)


def schemas() -> Schema:
    """The records of requests and of answers; a record that is in both has two schemas, that of answers `...Output`.

    They are for programs that make typed clients of them. So a value has one type, and what else the server takes is
    told in words; so is a default, for a client shall not send what nobody said; and answers have all their fields.
    """
    answers, names = _answer_records(), output_names()
    described = {
        **{name: of_requests(_described(schema)) for name, schema in request_records().items()},
        **{names.get(name, name): _answer_record(schema) for name, schema in answers.items()},
    }
    return dict(sorted(described.items()))


@cache
def output_names() -> Mapping[str, str]:
    """The names of the schemas of answers that are not those of their records: of what requests have too, of lists."""
    answers = _answer_records().keys()
    lists = {name: _LIST.sub(r"\1Items", name) for name in answers if _LIST.fullmatch(name)}
    return lists | {name: f"{name}Output" for name in request_records().keys() & answers}


@cache
def request_records() -> Schema:
    """The schemas of the records of requests, with everything that is read."""
    bodies = (operation.request_type for operation in OPERATIONS if operation.request_type is not None)
    parameters = (each.kind for operation in OPERATIONS for each in operation.parameters if is_record(each.kind))
    rows = (operation.rows for operation in OPERATIONS if operation.rows is not None)
    return _components((*bodies, *parameters, *rows))


def _answer_records() -> Schema:
    kinds = (operation.response_type for operation in OPERATIONS if _answers_json(operation))
    return _components([*kinds, Problem])


def _answer_record(schema: Schema) -> Schema:
    """A record of an answer has all its fields, unless somebody wrote it: then it has what was given."""
    is_written = schema.get("additionalProperties") is False
    answered: Schema = of_answers(_described(schema), output_names())
    return answered if is_written else {**answered, "required": list(answered["properties"])}


def _components(kinds: Iterable[Any]) -> Schema:
    described = msgspec.json.schema_components(kinds, ref_template=_REF)[1]
    return dict(msgspec.to_builtins(described))  # an example may be a number or a date


def _answers_json(operation: Operation) -> bool:
    return any(rendering.media_type == JSON for rendering in operation.renderings)


def _described(schema: Schema) -> Schema:
    """The schema of a record with the full description of each property."""
    properties = {name: described_property(part) for name, part in schema.get("properties", {}).items()}
    untitled = {name: part for name, part in schema.items() if name != "title"}  # it is that of two, with its output
    return {**untitled, "description": cleandoc(schema.get("description", "")), "properties": properties}


def described_property(schema: Schema) -> Schema:
    """The property with the notes of its type, its default and the meaning of its values in its description."""
    parts = tuple(_parts(schema))
    notes = (part[NOTE] for part in parts if NOTE in part)
    sentences = (*notes, *_type_sentences(parts), *_default_sentences(schema))
    values = (line for part in parts if "enum" in part for line in _value_lines(part["enum"]))
    described: Schema = _published(schema)
    described["description"] = paragraph_with_list(with_notes(schema.get("description", ""), sentences), values)
    return described


def _type_sentences(parts: Iterable[Schema]) -> Iterator[str]:
    """Which types a value may have, where it may have several."""
    for ways in filter(lambda ways: len(ways) > 1, map(_ways, parts)):
        yield f"One of: {', '.join(dict.fromkeys(map(_type_in_words, ways)))}."


def _type_in_words(schema: Schema) -> str:
    if "$ref" in schema:
        return f"`{schema['$ref'].rpartition('/')[2]}`"
    words = {"boolean": "true or false", "integer": "a number", "number": "a number", "string": "text"}
    return words.get(schema["type"]) or f"a list of {_type_in_words(schema['items'])}"


def _default_sentences(schema: Schema) -> Iterator[str]:
    """What is taken where the property is left out. Null and an empty text are not given: the description says more."""
    default = schema.get("default")
    if default is None or default == "" or "Default:" in schema.get("description", ""):
        return
    match default:
        case dict() if "$ref" in schema:
            told = "that of each of its fields"
        case [] | dict() if not default:
            told = "none"
        case [*values]:
            told = ", ".join(f"`{value}`" for value in values)
        case value:
            told = f"`{value if isinstance(value, str) else msgspec.json.encode(value).decode()}`"
    yield f"Default: {told}."


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


def _published(schema: Any) -> Any:
    """The schema as typed clients need it: without notes and defaults, and with one type for each value.

    Of a value that may have several types nothing is said but in words: a generated class would lose one of them. An
    enumeration has its type, which msgspec does not print.
    """
    if isinstance(schema, list):
        return [_published(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    dropped = {NOTE, "default", *(["anyOf"] if len(_ways(schema)) > 1 else [])}
    published = {name: _published(part) for name, part in schema.items() if name not in dropped}
    if "enum" in published:
        published["type"] = "string" if isinstance(published["enum"][0], str) else "integer"
    return published


def _ways(schema: Schema) -> list[Schema]:
    """The alternatives of a value, without null."""
    return [way for way in schema.get("anyOf", ()) if way != {"type": "null"}]


def of_requests(schema: Any) -> Any:
    """The schema as requests need it: a decimal is text. The server takes numbers too, between the same bounds."""
    if isinstance(schema, list):
        return [of_requests(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    dropped = _BOUNDS if _is_bounded_decimal(schema) else ()
    written = {name: of_requests(part) for name, part in schema.items() if name not in dropped}
    return {**written, "type": "string"} if dropped else written


def of_answers(schema: Any, names: Mapping[str, str]) -> Any:
    """The schema as answers need it: it admits fields that are added later, and its decimals are text.

    `names` has the name of the answers' schema for each record whose own name it does not have.
    """
    if isinstance(schema, list):
        return [of_answers(part, names) for part in schema]
    if not isinstance(schema, dict):
        return schema
    dropped = {"pattern", *_BOUNDS} if _is_bounded_decimal(schema) else set()
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
