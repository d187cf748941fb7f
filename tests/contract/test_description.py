"""The description of the API: valid, complete, as committed, and true to its own examples."""

import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema_rs import Draft202012Validator
from litestar import Litestar
from litestar.testing import TestClient
from openapi_spec_validator import validate

from hitchworth.model.entry import Component
from hitchworth.operations.renderings import NDJSON
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.validation.bounds import bound_faults
from hitchworth.web.examples import ExampleSender
from hitchworth.web.examples.kept import example_store
from hitchworth.web.openapi import document, document_json
from hitchworth.web.openapi_schemas import request_records
from hitchworth.webhooks.address import AddressRules
from web_server import client

COMMITTED = Path(__file__).parents[2] / "openapi" / "hitchworth.json"
DESCRIBED = msgspec.json.decode(document_json())
SCHEMAS = DESCRIBED["components"]["schemas"]
Operation = dict[str, Any]


def operations() -> Iterator[tuple[str, str, Operation]]:
    for path, methods in DESCRIBED["paths"].items():
        for method, operation in methods.items():
            yield method, path, operation


MAY_BE_MISSING = {"Link", "RateLimit", "RateLimit-Policy"}
"""The headers of a list that has no further page, and of a request without a key."""

OPERATIONS = [pytest.param(*found, id=found[2]["operationId"]) for found in operations()]


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


def test_it_is_valid() -> None:
    validate(DESCRIBED)
    assert document()["openapi"] == "3.1.0"


def test_it_is_committed_as_it_is_printed() -> None:
    renewed = "renew it: python -m hitchworth.web.openapi > openapi/hitchworth.json"
    assert msgspec.json.decode(COMMITTED.read_bytes()) == DESCRIBED, renewed
    assert COMMITTED.read_bytes() == document_json(), renewed


def test_it_is_what_the_server_answers(api: TestClient[Litestar]) -> None:
    assert api.get("/openapi.json").content == document_json()


@pytest.mark.parametrize(("method", "path", "operation"), OPERATIONS)
def test_an_operation_is_described(method: str, path: str, operation: Operation) -> None:
    assert operation["summary"]
    assert operation["description"]
    assert all(parameter["description"].strip() for parameter in operation["parameters"])
    problems = {"400", "406", "500"} | ({"413", "415", "422"} if "requestBody" in operation else set())
    problems |= {"501", "503"} if path.startswith("/v1/builds") else set()
    problems |= {"409", "412", "507"} if names_revision(operation) else set()
    assert problems <= set(operation["responses"])
    for status in problems:
        reference = operation["responses"][status]["$ref"].rpartition("/")[2]
        response = DESCRIBED["components"]["responses"][reference]
        assert set(response["content"]) == {"application/problem+json"}
        assert all(example["value"]["status"] == int(status) for example in examples_of(response))
    content = operation.get("requestBody", {}).get("content", {})
    if content and "multipart/form-data" not in content:  # of a photo, JSON can have no example
        assert "example" in body_of(operation)[1] or "GET /v1/" in operation["requestBody"]["description"]


def body_of(operation: Operation) -> tuple[str, Any]:
    """The first media type of the body that is no form, and what the description says about it: JSON, or a file."""
    content = operation["requestBody"]["content"].items()
    return next((media_type, body) for media_type, body in content if media_type != "multipart/form-data")


def sent_example(media_type: str, sent: Any) -> bytes:
    """The example of a body; of a workbook, what the address in its description answers; of a photo, a photo."""
    if media_type.startswith("image/"):
        return files("hitchworth.web.examples").joinpath("plate.jpg").read_bytes()
    if "example" not in sent:
        with client() as api:
            return api.get("/v1/workbook-template?demo=true").content
    conforms(sent["schema"], sent["example"])
    return sent["example"].encode() if isinstance(sent["example"], str) else msgspec.json.encode(sent["example"])


def names_revision(operation: Operation) -> bool:
    return any(parameter["name"] == "If-Match" for parameter in operation["parameters"])


def examples_of(response: Operation) -> list[Any]:
    examples = list(response["content"]["application/problem+json"]["examples"].values())
    assert examples
    return examples


@pytest.mark.parametrize(("method", "path", "operation"), OPERATIONS)
def test_the_examples_are_true(method: str, path: str, operation: Operation) -> None:
    given = {(part["in"], part["name"]): part["example"] for part in operation["parameters"] if "example" in part}
    address = path.format(**{name: value for (place, name), value in given.items() if place == "path"})
    query = {name: value for (place, name), value in given.items() if place == "query"}
    headers = {name: value for (place, name), value in given.items() if place == "header"}
    content = None
    if "requestBody" in operation:
        media_type, sent = body_of(operation)
        headers["content-type"] = media_type
        content = sent_example(media_type, sent)
    with client(example_store()) as api:
        api.app.state["sender"] = ExampleSender(AddressRules(), 1)  # no network
        response = api.request(method.upper(), address, params=query, headers=headers, content=content)
    status = next(status for status in ("201", "200") if status in operation["responses"])
    assert str(response.status_code) == status
    described = operation["responses"][status]["content"][response.headers["content-type"].partition(";")[0]]
    assert set(operation["responses"][status]["headers"]) - MAY_BE_MISSING <= {
        name for name in operation["responses"][status]["headers"] if name in response.headers
    }
    if "example" in described and media_type_of(response) == NDJSON:
        assert [each["line"] for each in lines_of(described["example"])] == [1, 2]
        assert without_instances(lines_of(described["example"])) == without_instances(lines_of(response.text))
    elif "example" in described:
        conforms(described["schema"], response.json())
        conforms(described["schema"], described["example"])
        is_cut_short = operation["tags"] == ["Reference data"]
        assert is_cut_short or described["example"] == response.json()


def media_type_of(response: Any) -> str:
    return str(response.headers["content-type"].partition(";")[0])


def lines_of(text: str) -> list[Any]:
    return [msgspec.json.decode(line) for line in text.splitlines()]


def without_instances(lines: list[Any]) -> list[Any]:
    """The lines without the id of their request."""
    return [each | {"problem": each["problem"] | {"instance": ""}} if "problem" in each else each for each in lines]


def test_a_jurisdiction_is_one_of_those_with_definitions() -> None:
    (jurisdiction,) = (
        part for part in DESCRIBED["paths"]["/v1/definitions"]["get"]["parameters"] if part["name"] == "jurisdiction"
    )
    assert jurisdiction["schema"]["enum"] == list(jurisdictions())


def conforms(schema: Any, value: Any) -> None:
    validator(schema).validate(value)


def validator(schema: Any) -> Draft202012Validator:
    return Draft202012Validator({**schema, "components": DESCRIBED["components"]})


@pytest.mark.parametrize("name", SCHEMAS)
def test_every_schema_and_every_property_is_described(name: str) -> None:
    assert SCHEMAS[name]["description"]
    assert [field for field, part in SCHEMAS[name]["properties"].items() if not part["description"].strip()] == []


def means_something(default: object, description: str) -> bool:
    """Whether the words say what follows where the field is left out, null or empty."""
    said = "Empty: " if default == "" else r"Null[^.:]*: |Default: "
    return default not in (None, "") or re.search(said, description) is not None


def test_what_null_means_is_said() -> None:
    assert not means_something(None, "What comes off every loss. None: 0. A peril that is null is not known.")
    assert not means_something("", "Postal address. Null: not known.")
    assert [
        f"{name}.{field}"
        for name, schema in request_records().items()
        for field, part in schema.get("properties", {}).items()
        if "default" in part and not means_something(part["default"], part.get("description", ""))
    ] == []
    assert [
        f"{name}.{field}"
        for name, schema in SCHEMAS.items()
        for field, part in schema["properties"].items()
        if {"type": "null"} in part.get("anyOf", ()) and not re.search(r"\b[Nn]ull\b|Default: ", part["description"])
    ] == []


def test_what_happens_without_a_parameter_is_said() -> None:
    """One that narrows a list, `Only ...`, leaves nothing out where it is not given."""
    said = re.compile(r"Default: |[Ll]eft out|[Nn]ull: |[Ww]ithout|[Ee]mpty|\bOnly |[Ee]lse|none is given")
    assert [
        f"{path} {part['name']}: {part['description']}"
        for _, path, operation in operations()
        for part in operation["parameters"]
        if not part["required"] and not said.search(part["description"])
    ] == []


def enumerations() -> Iterator[Any]:
    """Everything that has the values of an enumeration in it: its place, its description, the values."""
    for name, schema in SCHEMAS.items():
        for field, part in schema["properties"].items():
            yield from (pytest.param(part["description"], values, id=f"{name}.{field}") for values in values_in(part))
    for _, path, operation in operations():
        for part in operation["parameters"]:
            found = values_in(part.get("schema", {}))  # a parameter that is a record is described with the records
            yield from (pytest.param(part["description"], values, id=f"{path} {part['name']}") for values in found)


def values_in(schema: Any) -> Iterator[list[Any]]:
    if isinstance(schema, dict):
        if "enum" in schema:
            yield schema["enum"]
        yield from (values for name, part in schema.items() if name != "default" for values in values_in(part))
    elif isinstance(schema, list):
        yield from (values for part in schema for values in values_in(part))


@pytest.mark.parametrize(("description", "values"), list(enumerations()))
def test_every_value_of_an_enumeration_is_explained(description: str, values: list[Any]) -> None:
    lines = description.splitlines()
    assert [
        value for value in values if not any(re.match(rf"- `{re.escape(str(value))}`: \S", line) for line in lines)
    ] == []


def test_the_meaning_of_a_value_is_that_of_the_model() -> None:
    assert "- `actual_cash_value`: replacement cost less depreciation" in described("Policy", "basis").splitlines()
    assert "- `limit`: caps the payment" in described("Policy", "order").splitlines()
    assert "- `3`: when there is time" in described("Question", "urgency").splitlines()


def test_a_shared_type_adds_its_note() -> None:
    assert described("EstimateLine", "depreciation") == (
        "Wear, replacement cost x (1 - percent good), with the cost to cure, and obsolescence. "
        "In the build's currency, rounded to its minor unit."
    )
    assert described("ExpectedCost", "annual_premium") == (
        "Premium for a year. In the build's currency, rounded to its minor unit. Null: not known."
    )
    assert described("Schedule", "rate").endswith(" A share: 0.25 is 25 percent. Null: by factor.")
    assert b"x-note" not in document_json()


def described(name: str, field: str) -> str:
    return str(SCHEMAS[name]["properties"][field]["description"])


def test_amounts_are_texts_for_typed_clients_and_numbers_are_taken_too() -> None:
    assert SCHEMAS["EstimateLine"]["properties"]["replacement_cost"]["type"] == "string"
    unit_cost = SCHEMAS["Component"]["properties"]["unit_cost"]
    assert (unit_cost["type"], unit_cost["format"]) == ("string", "decimal")
    assert not {"minimum", "maximum"} & unit_cost.keys()
    assert SCHEMAS["PercentGoodPoint"]["properties"]["age_years"]["type"] == "string"
    assert SCHEMAS["PercentGoodPointOutput"]["properties"]["age_years"]["type"] == "string"
    assert not faults_of("12.5")


def parts(value: Any) -> Iterator[dict[str, Any]]:
    """Every object in a part of the description."""
    if isinstance(value, dict):
        yield value
        for part in value.values():
            yield from parts(part)
    elif isinstance(value, list):
        for part in value:
            yield from parts(part)


def test_a_value_has_one_type_beside_null() -> None:
    """A generated class of several types loses one of them: the false of a fact, the text of a number."""
    for part in parts(SCHEMAS):
        assert isinstance(part.get("type", ""), (str, dict))  # a property may be named type
        ways = [way for way in part.get("anyOf", []) if way != {"type": "null"}]
        assert len(ways) <= 1
        if isinstance(part.get("enum"), list):
            assert "type" in part
    assert "type" not in SCHEMAS["Measurement"]["properties"]["value"]
    assert "One of: true or false, a number, text, `Measurement`." in described("Build", "facts")


def test_a_default_is_told_in_words_and_sent_by_nobody() -> None:
    assert [
        name for name, schema in SCHEMAS.items() for part in schema["properties"].values() if "default" in part
    ] == []
    assert described("Component", "unit").endswith(" Default: `piece`.")
    assert described("Component", "freight").endswith(" Default: `0`.")
    assert described("Loss", "replaced").endswith(" Default: `true`.")
    assert described("Build", "components").endswith(" Default: none.")
    assert described("GapRequest", "options").endswith(" Default: that of each of its fields.")
    assert described("IndexedPriceQuery", "as_of").count("Default:") == 1


def test_an_answer_has_all_its_fields_and_what_was_given_those_that_were_given() -> None:
    assert set(SCHEMAS["Estimate"]["required"]) == SCHEMAS["Estimate"]["properties"].keys()
    assert "vin" not in SCHEMAS["BuildOutput"]["required"]


def test_a_typed_client_gets_one_type_of_answer() -> None:
    """Where a client without a word about the format gets JSON. Tables and charts are told in words."""
    for _, _, operation in operations():
        for status, response in operation["responses"].items():
            content = response.get("content", {})
            assert "application/problem+json" not in content or not status.startswith("2")
            assert next(iter(content), "") != "application/json" or len(content) == 1
    estimates = DESCRIBED["paths"]["/v1/estimates"]["post"]["responses"]["200"]
    assert "text/csv" in estimates["description"]


def test_it_says_whether_a_key_is_needed() -> None:
    assert DESCRIBED["security"] == [{"key": []}, {}]
    assert "the scope `write`" in DESCRIBED["paths"]["/v1/builds"]["post"]["description"]


REQUESTS = [
    *(operation["requestBody"]["content"] for _, _, operation in operations() if "requestBody" in operation),
    *(part["content"] for _, _, operation in operations() for part in operation["parameters"] if "content" in part),
]
ANSWERS = [
    *(
        operation["responses"][status]["content"]
        for _, _, operation in operations()
        for status in ("200", "201")
        if status in operation["responses"]
    ),
    *(response["content"] for response in DESCRIBED["components"]["responses"].values()),
]


def reached(part: Any, names: set[str]) -> set[str]:
    """The names of the schemas that a part of the document refers to, directly or through others, added to `names`."""
    if isinstance(part, list):
        for item in part:
            reached(item, names)
    elif isinstance(part, dict):
        name = part.get("$ref", "").rpartition("/")[2]
        if name in SCHEMAS and name not in names:
            names.add(name)
            reached(SCHEMAS[name], names)
        for item in part.values():
            reached(item, names)
    return names


def test_a_record_of_a_request_admits_no_unknown_field() -> None:
    names = reached(REQUESTS, set())
    assert names >= {"GapRequest", "Build", "Component", "Policy", "Loss", "Answer", "Options", "Schedule"}
    assert [name for name in names if SCHEMAS[name].get("additionalProperties") is not False] == []


def test_a_record_of_an_answer_admits_fields_to_come() -> None:
    names = reached(ANSWERS, set())
    assert names >= {"GapStatement", "AnswerOutput", "ScheduleRecord", "ScheduleOutput", "Definition", "Problem"}
    assert [name for name in names if SCHEMAS[name].get("additionalProperties") is False] == []
    assert not names & reached(REQUESTS, set())


def test_nothing_is_described_that_no_operation_has() -> None:
    assert reached(REQUESTS, set()) | reached(ANSWERS, set()) == set(SCHEMAS)


def test_an_answer_with_more_fields_still_conforms() -> None:
    """As a newer server sends it: with a field more in every object."""
    answers = dict(answers_in_json())
    assert len(answers) > 50
    refused = {
        name: next(iter(errors)).message
        for name, answer in answers.items()
        if (errors := list(validator(answer["schema"]).iter_errors(with_a_field_more(answer["example"]))))
    }
    assert refused == {}
    assert all(with_a_field_more(answer["example"]) != answer["example"] for answer in answers.values())


def answers_in_json() -> Iterator[tuple[str, Any]]:
    for _, _, operation in operations():
        success = operation["responses"].get("201") or operation["responses"]["200"]
        if "application/json" in success["content"]:
            yield operation["operationId"], success["content"]["application/json"]


MAPPINGS = {
    field
    for schema in SCHEMAS.values()
    for field, part in schema["properties"].items()
    if any(isinstance(each.get("additionalProperties"), dict) for each in (part, *part.get("anyOf", ())))
}
"""The fields whose names are data and no fields: facts, covers_perils."""


def with_a_field_more(value: Any, field: str = "") -> Any:
    if isinstance(value, list):
        return [with_a_field_more(item) for item in value]
    if isinstance(value, dict):
        more = {} if field in MAPPINGS else {"added_later": "a text"}
        return {**{name: with_a_field_more(item, name) for name, item in value.items()}, **more}
    return value


@given(text=st.from_regex(SCHEMAS["Component"]["properties"]["unit_cost"]["pattern"], fullmatch=True))
def test_a_text_that_the_pattern_admits_is_admitted(text: str) -> None:
    assert not faults_of(f'"{text}"')


@given(number=st.floats(min_value=1e-12, max_value=1e9) | st.integers(min_value=0, max_value=10**9))
def test_a_number_between_the_bounds_is_admitted(number: float) -> None:
    assert not faults_of(msgspec.json.encode(number).decode())


def faults_of(price: str) -> list[Any]:
    """The faults of a price on a refund, which alone may be below 0."""
    line = (
        '{"id":"a","description":"a","category":"a","quantity":1,"acquired_on":"2025-01-01","refund_of":"b",'
        f'"unit_cost":{price}}}'
    )
    return list(bound_faults(msgspec.json.decode(line, type=Component)))
