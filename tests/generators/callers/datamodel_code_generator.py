"""A caller with the models of datamodel-code-generator: the README's stove, the demo's gap statement, two facts."""

import json
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path

import httpx2
from generated import Build, Component, Estimate, EstimateRequest, GapRequest, GapRequestOutput, GapStatement
from pydantic import BaseModel


def answer(path: str, request: BaseModel) -> bytes:
    body = request.model_dump_json(exclude_unset=True)
    return (
        httpx2.post(sys.argv[1] + path, content=body, headers={"Content-Type": "application/json"}, timeout=60)
        .raise_for_status()
        .content
    )


stove = Component(
    id="stove",
    description="Two-burner stove",
    category="stove",
    quantity=Decimal(1),
    unit_cost=Decimal("268.00"),
    acquired_on=date(2026, 2, 14),
)
build = Build(name="Camper", currency="USD", components=[stove])
estimate = Estimate.model_validate_json(
    answer("/v1/estimates", EstimateRequest(build=build, as_of=date(2026, 11, 1))),
)
demo = GapRequest.model_validate_json(Path(sys.argv[2]).read_bytes())
statement = GapStatement.model_validate_json(answer("/v1/gap-statements", demo))
build.facts = {"has_cooking": False, "has_sink": {"value": False, "planned": True}}
document = GapRequestOutput.model_validate_json(answer("/v1/documents", GapRequest(build=build)))
facts = document.build.facts
assert facts is not None

gaps = [str(each.gap) for each in statement.settlements]
told = [json.dumps(facts["has_cooking"]), json.dumps(facts["has_sink"]["value"])]
print(json.dumps([str(estimate.totals.actual_cash_value), *gaps, *told]))
