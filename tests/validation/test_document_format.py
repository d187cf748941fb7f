"""The format of a document: older ones are upgraded step by step, newer ones refused, a bare build is a document."""

import json
from typing import Any

import pytest

from faulty_requests import build_with
from hitchworth import validation
from hitchworth.model.document import FORMAT, Document
from hitchworth.model.fault import Fault
from hitchworth.model.request import EstimateRequest, GapRequest, ProtectionRequest, SettlementRequest
from hitchworth.validation.document_format import STEPS, document_body

BUILD = build_with({})
STEPS_TO_3 = (
    lambda members: {"build" if name == "trailer" else name: value for name, value in members.items()},
    lambda members: {**members, "policies": [*members.get("policies", ()), "added"]},
)
"""Made-up steps: format 1 says `trailer` for the build; format 3 has one policy more than format 2."""


def upgraded(document: dict[str, Any]) -> Any:
    return json.loads(document_body(json.dumps(document).encode(), "", 3, STEPS_TO_3).content)


def faults_of(document: Any, kind: type = Document) -> list[Fault]:
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(json.dumps(document).encode(), kind)
    return list(caught.value.faults)


def test_there_is_a_step_for_every_format_before_this_one() -> None:
    assert len(STEPS) == FORMAT - 1


def test_every_step_from_the_format_written_is_taken_in_order() -> None:
    assert upgraded({"trailer": 1}) == {"build": 1, "policies": ["added"], "format": 3}
    assert upgraded({"format": 1, "trailer": 1}) == {"build": 1, "policies": ["added"], "format": 3}
    assert upgraded({"format": 2, "build": 1}) == {"format": 3, "build": 1, "policies": ["added"]}
    assert upgraded({"format": 3, "build": 1}) == {"format": 3, "build": 1}


def test_a_number_keeps_its_digits_when_it_is_upgraded() -> None:
    body = b'{"format": 2, "rate": 0.10000000000000000000000001, "build": 1}'
    assert b'"rate":0.10000000000000000000000001' in document_body(body, "", 3, STEPS_TO_3).content


def test_the_present_format_is_not_touched() -> None:
    body = b'{ "build" : {} }'
    assert document_body(body).content is body


def test_a_newer_format_is_a_fault_of_its_own() -> None:
    # What a newer release wrote may have any fields, so nothing else is said about it.
    (fault,) = faults_of({"format": FORMAT + 1, "build": 5, "unheard_of": True})
    assert (fault.pointer, fault.detail) == ("/format", "The document was written by a newer release")
    assert fault.expected == f"a format up to {FORMAT}, the newest that this release reads"
    assert fault.found == str(FORMAT + 1)


@pytest.mark.parametrize("written", [0, -1, "1", 1.5, None, []])
def test_what_is_no_format_is_a_fault_beside_the_others(written: object) -> None:
    assert [fault.pointer for fault in faults_of({"format": written, "build": {**BUILD, "name": 5}})] == [
        "/format",
        "/build/name",
    ]


@pytest.mark.parametrize("kind", [Document, GapRequest, EstimateRequest, SettlementRequest, ProtectionRequest])
def test_every_request_made_from_a_document_takes_a_bare_build_and_a_format(kind: type) -> None:
    alone: Any = validation.read(json.dumps(BUILD).encode(), kind)
    written_out: Any = validation.read(json.dumps({"format": FORMAT, "build": BUILD}).encode(), kind)
    assert alone == written_out


def test_the_faults_of_a_bare_build_point_into_it() -> None:
    build = build_with({"quantity": "none"}, currency="XXQ")
    assert [fault.pointer for fault in faults_of(build)] == ["/components/0/quantity", "/currency"]


def test_what_has_a_build_is_no_bare_build() -> None:
    assert [fault.pointer for fault in faults_of({"build": BUILD, "name": "beside it"})] == ["/name"]
    assert [fault.pointer for fault in faults_of({"policies": []})] == ["/build"]


KEPT = {"id": "5f0c", "revision": 3, "digest": "d", "created_at": "x", "updated_at": "x", "trashed_at": None}
"""What a kept build has beside its document."""


@pytest.mark.parametrize("kind", [Document, GapRequest, EstimateRequest, SettlementRequest, ProtectionRequest])
def test_a_kept_build_is_a_document(kind: type) -> None:
    told: Any = validation.read(json.dumps({**KEPT, "format": FORMAT, "build": BUILD}).encode(), kind)
    assert told == validation.read(json.dumps(BUILD).encode(), kind)
    assert faults_of({**KEPT, "format": FORMAT + 1, "build": BUILD}, kind)[0].pointer == "/format"


@pytest.mark.parametrize("missing", ["id", "revision", "digest"])
def test_what_does_not_say_which_build_it_is_may_not_have_the_fields_of_one(missing: str) -> None:
    some = {name: value for name, value in KEPT.items() if name != missing}
    assert {fault.pointer for fault in faults_of({**some, "build": BUILD})} == {f"/{name}" for name in some}


@pytest.mark.parametrize("body", [b"", b"[", b"[]", b'{"build"', b"\xff{", b'{"name": \xff}', b'{"name":"x"' * 3])
def test_what_is_no_object_is_left_to_decoding(body: bytes) -> None:
    assert document_body(body).content == body or document_body(body).bare_builds
    with pytest.raises((validation.MalformedBodyError, validation.InvalidInputError)):
        validation.read(body, Document)


def test_a_byte_order_mark_is_skipped_before_a_bare_build() -> None:
    assert validation.read(b"\xef\xbb\xbf" + json.dumps(BUILD).encode(), Document).build.name == BUILD["name"]
