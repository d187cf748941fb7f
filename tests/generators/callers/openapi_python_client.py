"""A caller with the client of openapi-python-client: the README's stove, the demo's gap statement, two facts.

And a workbook, which comes as a file, goes back as one, and has its results then.
"""

import json
import sys
from datetime import date
from pathlib import Path

from generated import AuthenticatedClient
from generated.api.appraisal import (
    create_document,
    create_estimate,
    create_gap_statement,
    fill_workbook,
    get_workbook_template,
)
from generated.models import (
    Build,
    BuildFacts,
    Component,
    Estimate,
    EstimateRequest,
    GapRequest,
    GapRequestOutput,
    GapStatement,
)
from generated.types import File, Unset

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
    build.facts = BuildFacts.from_dict({"has_cooking": False, "has_sink": {"value": False, "planned": True}})
    document = create_document.sync(client=client, body=GapRequest(build=build))
    assert isinstance(document, GapRequestOutput)
    facts = document.build.facts
    assert not isinstance(facts, Unset)
    template = get_workbook_template.sync(client=client, demo=True)
    assert isinstance(template, File)
    filled = fill_workbook.sync(client=client, body=template)
    assert isinstance(filled, File)
    assert filled.payload.read(2) == b"PK"

gaps = [each.gap for each in statement.settlements]
told = [json.dumps(facts["has_cooking"]), json.dumps(facts["has_sink"]["value"])]
print(json.dumps([estimate.totals.actual_cash_value, *gaps, *told]))
