"""Documents: those of every release still read, one form, and requests as of a date."""

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import msgspec
import pytest
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.canonical import digest
from hitchworth.demo import demo_body
from hitchworth.model.document import FORMAT, Document
from hitchworth.model.request import (
    ClassificationRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.operations.appraisals import create_gap_statement
from hitchworth.operations.documents import canonical, read_document, request_at
from hitchworth.operations.requests import read_request

FORMATS = Path(__file__).parents[1] / "document_formats"
RELEASED = {1: "c86faf6e68cf"}
"""The digest of each kept document on its date: it stays as it was printed, whatever release reads it."""

AS_OF = date(2026, 11, 1)


def demo_document() -> Document:
    """The demo as a document: without the date of the request."""
    members = json.loads(demo_body())
    del members["as_of"]
    return read_document(json.dumps(members).encode())


def as_document(**members: Any) -> bytes:
    return json.dumps(members).encode()


def test_a_document_of_every_format_is_kept() -> None:
    assert {path.name for path in FORMATS.iterdir()} == {f"format_{number}.json" for number in range(1, FORMAT + 1)}
    assert RELEASED.keys() == set(range(1, FORMAT + 1))


@pytest.mark.parametrize("number", RELEASED)
def test_a_document_of_every_release_still_reads_and_has_the_digest_that_was_printed(number: int) -> None:
    request = read_request((FORMATS / f"format_{number}.json").read_bytes(), GapRequest)
    assert create_gap_statement(request).digest == RELEASED[number]


def test_the_canonical_form_reads_back_as_the_same_document() -> None:
    document = demo_document()
    assert read_document(canonical(document)) == document
    assert canonical(read_document(canonical(document))) == canonical(document)


def test_the_canonical_form_names_its_format_and_leaves_other_defaults_out() -> None:
    body = as_document(build={"name": "a", "currency": "USD", "vin": None, "labor": []}, locale="en-US", policies=[])
    assert canonical(read_document(body)) == b'{"build":{"currency":"USD","name":"a"},"format":1}'


def test_the_order_of_names_does_not_change_the_canonical_form_and_unknown_facts_stay() -> None:
    build: dict[str, Any] = {"name": "a", "currency": "EUR", "facts": {"wheels": 2, "enclosed": None}}
    one = as_document(locale="de-DE", build=build)
    other = as_document(
        build={"facts": {"enclosed": None, "wheels": 2}, "currency": "EUR", "name": "a"}, locale="de-DE"
    )
    assert canonical(read_document(one)) == canonical(read_document(other))
    assert json.loads(canonical(read_document(one)))["build"]["facts"] == {"enclosed": None, "wheels": 2}


def test_a_default_written_out_or_a_format_does_not_change_the_digest() -> None:
    request = request_at(demo_document(), GapRequest, AS_OF)
    base = request.build.base
    assert base is not None
    explicit = replace(request, format=1, build=replace(request.build, base=replace(base, valued_by_parts=False)))
    assert digest(explicit, AS_OF) == digest(request, AS_OF)
    assert digest(replace(request, build=replace(request.build, name="b")), AS_OF) != digest(request, AS_OF)


def test_the_request_at_a_date_is_the_one_that_would_be_posted() -> None:
    posted = read_request(demo_body(), GapRequest)
    assert posted.as_of == AS_OF
    assert request_at(demo_document(), GapRequest, AS_OF) == posted


@pytest.mark.parametrize("kind", [EstimateRequest, SettlementRequest, ProtectionRequest, ClassificationRequest])
def test_a_smaller_request_takes_its_part_of_the_document(kind: Any) -> None:
    document = demo_document()
    request = request_at(document, kind, AS_OF)
    assert (request.build, request.as_of, request.locale) == (document.build, AS_OF, document.locale)


def test_what_only_one_request_needs_is_given_with_it_and_checked() -> None:
    document = demo_document()
    days = (date(2026, 1, 1), date(2027, 1, 1))
    curve = request_at(document, ValueCurveRequest, dates=days, limit=Decimal(9000))
    assert (curve.dates, curve.limit, curve.build) == (days, Decimal(9000), document.build)
    with pytest.raises(validation.InvalidInputError) as caught:
        request_at(document, ValueCurveRequest, dates=days[::-1])
    assert caught.value.faults[0].pointer == "/dates/1"


def test_a_date_in_the_future_is_refused_where_the_law_of_that_day_is_not_known() -> None:
    with pytest.raises(validation.InvalidInputError) as caught:
        request_at(demo_document(), ClassificationRequest, date(2999, 1, 1))
    assert [fault.pointer for fault in caught.value.faults] == ["/as_of"]


def test_a_document_is_refused_where_a_computation_would_refuse_it() -> None:
    # One set of checks: a rule on policies, a missing exchange rate, a photo that cannot be printed.
    part = msgspec.to_builtins(demo_document().build.components[0])
    build = {"name": "a", "currency": "USD", "components": [{**part, "currency": "EUR", "exchange_rate": None}]}
    policy = {"name": "same"}
    for document, pointer in (
        ({"build": {"name": "a", "currency": "USD"}, "policies": [policy, policy]}, "/policies/1/name"),
        ({"build": build}, "/build/components/0/exchange_rate"),
        ({"build": {"name": "a", "currency": "USD"}, "photo": "AAAA"}, "/photo"),
        ({"build": {"name": "a", "currency": "USD"}, "as_of": "2026-11-01"}, "/as_of"),
    ):
        with pytest.raises(validation.InvalidInputError) as caught:
            read_document(json.dumps(document).encode())
        assert [fault.pointer for fault in caught.value.faults] == [pointer]


def test_reference_rates_are_put_in_for_a_computation_and_not_into_the_document() -> None:
    # The European Central Bank's rate belongs to the day of the computation's reading, not to what a person kept.
    part = msgspec.to_builtins(demo_document().build.components[0])
    build = {"name": "a", "currency": "USD", "components": [{**part, "currency": "EUR", "exchange_rate": None}]}
    document = read_document(as_document(build=build, options={"exchange_rates": "ecb"}))
    assert document.build.components[0].exchange_rate is None
    assert request_at(document, EstimateRequest, AS_OF).build.components[0].exchange_rate is not None
