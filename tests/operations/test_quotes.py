"""What the interfaces offer about quotes: errors of the input, exchange rates, acceptance, one job from end to end."""

import json
from datetime import date
from decimal import Decimal
from importlib.resources import files
from typing import Any

import msgspec
import pytest
from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.request import EstimateRequest, ProgressBillRequest, QuoteRequest, QuoteVarianceRequest
from hitchworth.operations import documents
from hitchworth.operations.appraisals import create_estimate
from hitchworth.operations.quotes import (
    create_accepted_document,
    create_contract,
    create_progress_bill,
    create_quote,
    create_quote_report,
    create_quote_variance,
)
from hitchworth.operations.requests import read_request
from hitchworth.validation import InvalidInputError
from quote_reports import example, with_pricing


def body(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(files("hitchworth.web.examples").joinpath(f"{name}.json").read_bytes())
    return found


def read(fields: dict[str, Any], kind: Any = QuoteRequest) -> Any:
    return read_request(json.dumps(fields).encode(), kind)


def pointers(error: pytest.ExceptionInfo[InvalidInputError]) -> list[str]:
    return [fault.pointer for fault in error.value.faults]


def test_faults_of_the_computed_quote_are_faults_of_the_input() -> None:
    first, *others = example().pricing.payments
    wrong = with_pricing(payments=tuple(replace(each, share=None, amount=Decimal(1)) for each in (first, *others)))
    for create in (create_quote, create_contract, create_accepted_document):
        if create is create_accepted_document:
            continue  # it does not look at the payments
        with pytest.raises(InvalidInputError) as error:
            create(wrong)
        assert pointers(error) == ["/pricing/payments"]
    beyond = replace(example(), changes=(replace(example().changes[1], from_contingency=True),))
    for create in (create_contract, create_accepted_document):
        with pytest.raises(InvalidInputError) as error:
            create(beyond)
        assert pointers(error) == ["/changes/0/from_contingency"]
    with pytest.raises(InvalidInputError) as error:
        create_quote_report(beyond, "handover")
    assert pointers(error) == ["/changes/0/from_contingency"]


def test_a_bill_or_a_comparison_of_what_cannot_be_is_a_fault_of_the_input() -> None:
    bill = body("progress-bill")
    bill["progress"].append({"id": "no"})
    with pytest.raises(InvalidInputError) as error:
        create_progress_bill(read(bill, ProgressBillRequest))
    assert pointers(error) == ["/progress/3/id"]
    variance = body("quote-variance")
    variance["changes"][1]["from_contingency"] = True
    with pytest.raises(InvalidInputError) as error:
        create_quote_variance(read(variance, QuoteVarianceRequest))
    assert pointers(error) == ["/changes/1/from_contingency"]


def test_the_statement_of_a_bill_says_what_is_to_be_paid_and_what_is_not_in_it() -> None:
    # Tax: 186.43 of the trailer, 78.26 of the plywood and 60 percent of the 298.94 of the body are 444.05; of earlier
    # work, 186.43, 36.00 and 72.00 are 294.43, so 149.62 are left. The deposit is 30 percent of 13,854.04.
    bill = create_progress_bill(read(body("progress-bill"), ProgressBillRequest))
    assert (str(bill.due), str(bill.tax), str(bill.deposit), str(bill.to_pay)) == (
        "2369.08",
        "149.62",
        "4156.21",
        "2518.70",
    )
    assert bill.statement.startswith(
        "Due now: $2,518.70. For this period: $2,369.08 before tax; tax: $149.62; less the deposit: $0.00."
    )
    for part in (
        "Earlier bills credited of the deposit: $4,156.21. Progress bills take the place of the payments",
        "not billed of it: $639.84.",
        "The tax that is still to be settled is not included.",
    ):
        assert part in bill.statement
    first = body("progress-bill")
    first["progress"] = [{"id": "trailer", "completed_share": "1"}]
    # 3,107.18 less 5 percent is 2,951.82, and 186.43 of tax: 3,138.25 of the deposit, and 1,017.96 are left.
    assert "credit what is left of the deposit: $1,017.96." in statement_of(first)
    del first["pricing"]["payments"][0]["paid_on"]
    first["changes"][0]["fixed"] = [{"description": "Drive", "amount": "100", "taxed_as": "materials"}]
    told = statement_of(first)
    assert "credit what is left" not in told
    assert "in no progress bill: $106.00." in told
    # 30 percent of 13,894.72 and 106.00, the cents by largest remainder at each change.
    assert "The deposit of $4,200.21 is not credited: the payments do not say that it was paid." in told


def statement_of(bill: dict[str, Any]) -> str:
    return create_progress_bill(read(bill, ProgressBillRequest)).statement


def test_a_quote_that_nobody_accepted_is_no_build() -> None:
    with pytest.raises(InvalidInputError) as error:
        create_accepted_document(with_pricing(acceptance=None))
    assert pointers(error) == ["/pricing/acceptance"]


def test_a_logo_that_is_no_picture_is_named() -> None:
    fields = body("quote")
    fields["pricing"]["workshop"]["logo"] = "bm8gcGljdHVyZQ=="
    with pytest.raises(InvalidInputError) as error:
        read(fields)
    (fault,) = error.value.faults
    assert (fault.pointer, fault.detail) == ("/pricing/workshop/logo", "The logo cannot be printed: not a picture")


def test_reference_rates_are_put_into_build_changes_and_the_trailer_as_built() -> None:
    fields = body("quote-variance") | {"options": {"exchange_rates": "ecb"}}
    foreign = {"currency": "EUR", "acquired_on": "2024-06-03"}
    for entries in (fields["build"], fields["changes"][0], fields["built"]):
        entries["components"][0].update(foreign)
    found = read(fields, QuoteVarianceRequest)
    rates = {
        part.exchange_rate
        for part in (found.build.components[0], found.changes[0].components[0], found.built.components[0])
    }
    assert len(rates) == 1
    assert Decimal(1) < next(iter(rates)) < Decimal("1.2")
    old = fields | {
        "changes": [
            fields["changes"][0]
            | {"components": [fields["changes"][0]["components"][0] | {"acquired_on": "1990-01-01"}]}
        ]
    }
    with pytest.raises(InvalidInputError) as error:
        read(old, QuoteVarianceRequest)
    assert pointers(error) == ["/changes/0/components/0/exchange_rate"]


def test_refunds_are_taken_off_what_was_quoted_and_built() -> None:
    fields = body("quote-variance")
    part = fields["built"]["components"][2]
    fields["built"]["components"].append(
        part | {"id": "back", "quantity": 1, "refund_of": "panel", "acquired_on": "2026-08-20"}
    )
    found = read(fields, QuoteVarianceRequest)
    assert [each.quantity for each in found.built.components if each.id == "panel"] == [3]
    quoted = body("quote")
    part = quoted["build"]["components"][2]
    quoted["build"]["components"].append(part | {"id": "back", "quantity": 1, "refund_of": "panel"})
    line = next(line for line in create_quote(read(quoted)).lines if line.id == "panel")
    assert line.quantity == 1


def test_the_day_of_the_quote_prices_it() -> None:
    later = replace(example(), as_of=date(2027, 1, 1), pricing=replace(example().pricing, quoted_on=date(2026, 6, 1)))
    assert create_quote(later) == create_quote(example())
    assert create_quote(later).quoted_on == date(2026, 6, 1)


def test_texts_are_in_the_language_of_the_request() -> None:
    german = replace(example(), locale="de-DE")
    assert "laut Angebot" in create_quote(german).statement
    assert create_quote(german).locale == "de-DE"
    assert "Der Vertrag" in create_contract(german).statement.replace("der Vertrag", "Der Vertrag")
    variance = replace(read(body("quote-variance"), QuoteVarianceRequest), locale="de-DE")
    assert create_quote_variance(variance).causes[0].label == "Umfang"
    bill = replace(read(body("progress-bill"), ProgressBillRequest), locale="de-DE")
    assert create_progress_bill(bill).statement.startswith("Jetzt fällig: ")


def test_the_statement_says_how_certain_the_total_is() -> None:
    tax = example().pricing.tax
    assert "at most $13,933.07" in create_quote(example()).statement
    unknown = with_pricing(tax=replace(tax, rate=None))
    assert "without the tax that is still to be settled" in create_quote(unknown).statement
    certain = with_pricing(tax=replace(tax, rate=Decimal(0), treatments=()))
    assert create_quote(certain).statement.endswith("with tax, as quoted on June 1, 2026.")
    pending = replace(
        example(), changes=tuple(replace(each, accepted_by=None, accepted_on=None) for each in example().changes)
    )
    assert "nobody has accepted yet: 2." in create_contract(pending).statement
    assert "deduct $467.46; the contract is $13,894.72." in create_contract(example()).statement


def test_a_job_from_the_quote_over_two_changes_to_the_build_and_what_it_cost() -> None:
    quote, contract = create_quote(example()), create_contract(example())
    assert contract.contract_total == quote.totals.total + sum(each.total_change for each in contract.changes)
    document = create_accepted_document(example())
    assert documents.read_document(documents.canonical(document)) == document
    estimate = create_estimate(EstimateRequest(build=document.build, as_of=date(2026, 12, 1)))
    # Beside what the contract comes to, the stove that the customer brought; without the contingency of 639.84.
    assert estimate.totals.replacement_cost == contract.contract_total - quote.totals.contingency + 240
    grades = {part.evidence_grade for part in document.build.components if part.id != "stove"}
    assert grades == {"written_quote"}
    variance = create_quote_variance(read(body("quote-variance"), QuoteVarianceRequest))
    assert variance.variance == variance.built - variance.quoted
    for parts in (variance.causes, variance.categories, variance.lines):
        amounts = [getattr(each, "amount", None) or getattr(each, "variance", None) or Decimal(0) for each in parts]
        assert sum(amounts, Decimal(0)) == variance.variance


def test_the_build_of_an_accepted_quote_is_a_build() -> None:
    read_request(msgspec.json.encode({"build": create_accepted_document(example()).build}), EstimateRequest)
    assert isinstance(create_accepted_document(example()).build, Build)
