"""The description of the last release against the present one: nothing that a caller uses is gone."""

from collections.abc import Callable
from copy import deepcopy
from typing import Any

import msgspec
import pytest

from breaking_changes import breaking_changes
from hitchworth.web.openapi import document_json
from keep_release import DESCRIPTIONS

RELEASED = DESCRIPTIONS / "0.1.json"
NOW = msgspec.json.decode(document_json())


def test_the_last_release_goes_on() -> None:
    assert breaking_changes(msgspec.json.decode(RELEASED.read_bytes()), NOW) == []


def test_a_description_breaks_nothing_of_itself() -> None:
    assert breaking_changes(NOW, NOW) == []


def schema(document: Any, name: str) -> Any:
    return document["components"]["schemas"][name]


def without_operation(now: Any) -> None:
    del now["paths"]["/v1/estimates"]


def without_method(now: Any) -> None:
    del now["paths"]["/v1/builds"]["post"]


def renamed_operation(now: Any) -> None:
    now["paths"]["/v1/estimates"]["post"]["operationId"] = "make_estimate"


def field_of_answer_removed(now: Any) -> None:
    del schema(now, "EstimateLine")["properties"]["depreciation"]


def field_of_answer_left_out(now: Any) -> None:
    schema(now, "EstimateLine")["required"].remove("depreciation")


def type_of_answer_widened(now: Any) -> None:
    schema(now, "EstimateLine")["properties"]["depreciation"]["type"] = ["string", "null"]


def field_of_request_removed(now: Any) -> None:
    del schema(now, "Component")["properties"]["unit_cost"]


def field_of_request_required(now: Any) -> None:
    schema(now, "Component")["required"].append("vendor_of_it")


def type_of_request_narrowed(now: Any) -> None:
    schema(now, "Component")["properties"]["quantity"]["type"] = "number"


def code_of_request_removed(now: Any) -> None:
    parameter(now, "format")["schema"]["enum"].remove("csv")


def parameter_removed(now: Any) -> None:
    post = now["paths"]["/v1/estimates"]["post"]
    post["parameters"] = [each for each in post["parameters"] if each["name"] != "format"]


def parameter_required(now: Any) -> None:
    parameter(now, "format")["required"] = True


def parameter_added_and_required(now: Any) -> None:
    more = {"name": "mode", "in": "query", "required": True, "schema": {"type": "string"}}
    now["paths"]["/v1/estimates"]["post"]["parameters"].append(more)


def media_type_of_answer_removed(now: Any) -> None:
    del now["paths"]["/v1/conversation-sheets"]["post"]["responses"]["200"]["content"]["text/markdown"]


def media_type_of_body_removed(now: Any) -> None:
    del now["paths"]["/v1/documents"]["post"]["requestBody"]["content"]["application/yaml"]


def header_removed(now: Any) -> None:
    del now["paths"]["/v1/schedules"]["get"]["responses"]["200"]["headers"]["ETag"]


def status_changed(now: Any) -> None:
    answers = now["paths"]["/v1/estimates"]["post"]["responses"]
    answers["202"] = answers.pop("200")


def parameter(now: Any, name: str) -> Any:
    return next(each for each in now["paths"]["/v1/estimates"]["post"]["parameters"] if each["name"] == name)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (without_operation, "POST /v1/estimates: removed"),
        (without_method, "POST /v1/builds: removed"),
        (renamed_operation, "POST /v1/estimates: operationId renamed"),
        (field_of_answer_removed, ".depreciation: removed"),
        (field_of_answer_left_out, ".depreciation: may now be missing"),
        (type_of_answer_widened, ".depreciation: may now be null"),
        (field_of_request_removed, ".unit_cost: removed"),
        (field_of_request_required, ".vendor_of_it: now required"),
        (type_of_request_narrowed, ".quantity: no longer takes string"),
        (code_of_request_removed, "POST /v1/estimates ?format: no longer takes csv"),
        (parameter_removed, "POST /v1/estimates ?format: removed"),
        (parameter_required, "POST /v1/estimates ?format: now required"),
        (parameter_added_and_required, "POST /v1/estimates ?mode: new and required"),
        (media_type_of_answer_removed, "POST /v1/conversation-sheets 200: no longer as text/markdown"),
        (media_type_of_body_removed, "POST /v1/documents body: no longer as application/yaml"),
        (header_removed, "GET /v1/schedules 200: no header ETag"),
        (status_changed, "POST /v1/estimates 200: removed"),
    ],
    ids=lambda each: each.__name__ if callable(each) else "",
)
def test_a_breaking_change_is_told(change: Callable[[Any], None], told: str) -> None:
    changed = deepcopy(NOW)
    change(changed)
    assert [line for line in breaking_changes(NOW, changed) if line.endswith(told)]


def test_what_is_added_breaks_nothing() -> None:
    more = deepcopy(NOW)
    more["paths"]["/v1/more"] = more["paths"]["/v1/estimates"]
    schema(more, "EstimateLine")["properties"]["added"] = {"type": "string"}
    schema(more, "EstimateLine")["required"].append("added")
    schema(more, "Component")["properties"]["added"] = {"type": "string"}
    parameter(more, "format")["schema"]["enum"].append("more")
    assert breaking_changes(NOW, more) == []
