"""A caller with the Python client of openapi-generator: the README's stove, the demo's gap statement, two facts."""

import json
import sys
from datetime import date
from pathlib import Path

from openapi_client import ApiClient, AppraisalApi, Build, Component, Configuration, EstimateRequest, GapRequest

with ApiClient(Configuration(host=sys.argv[1])) as client:
    appraisal = AppraisalApi(client)
    stove = Component(
        id="stove",
        description="Two-burner stove",
        category="stove",
        quantity="1",
        unit_cost="268.00",
        acquired_on=date(2026, 2, 14),
    )
    build = Build(name="Camper", currency="USD", components=[stove])
    estimate = appraisal.create_estimate(EstimateRequest(build=build, as_of=date(2026, 11, 1)))
    request = GapRequest.from_json(Path(sys.argv[2]).read_text(encoding="utf-8"))
    assert request is not None
    statement = appraisal.create_gap_statement(request)
    build.facts = {"has_cooking": False, "has_sink": {"value": False, "planned": True}}
    facts = appraisal.create_document(GapRequest(build=build)).build.facts
    assert facts is not None

gaps = [each.gap for each in statement.settlements]
told = [json.dumps(facts["has_cooking"]), json.dumps(facts["has_sink"]["value"])]
print(json.dumps([estimate.totals.actual_cash_value, *gaps, *told]))
