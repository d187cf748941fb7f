"""A caller with the client of openapi-python-client: the stove of the README, then the demo's gap statement."""

import json
import sys
from datetime import date
from pathlib import Path

from generated import AuthenticatedClient
from generated.api.appraisal import create_estimate, create_gap_statement
from generated.models import Build, Component, Estimate, EstimateRequest, GapRequest, GapStatement

# It knows no key that may be left out: so this one goes where nobody reads it.
with AuthenticatedClient(base_url=sys.argv[1], token="none", auth_header_name="X-Unused") as client:
    stove = Component(
        id="stove",
        description="Two-burner stove",
        category="stove",
        quantity="1",
        unit_cost="268.00",
        acquired_on=date(2026, 2, 14),
    )
    build = Build(name="Camper", currency="USD", components=[stove])
    estimate = create_estimate.sync(client=client, body=EstimateRequest(build=build, as_of=date(2026, 11, 1)))
    assert isinstance(estimate, Estimate)
    request = GapRequest.from_dict(json.loads(Path(sys.argv[2]).read_bytes()))
    statement = create_gap_statement.sync(client=client, body=request)
    assert isinstance(statement, GapStatement)

print(json.dumps([estimate.totals.actual_cash_value, *(each.gap for each in statement.settlements)]))
