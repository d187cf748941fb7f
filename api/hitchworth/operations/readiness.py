"""Whether a server can answer: its reference data is loaded, and it is not about to stop."""

from functools import cache
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.demo import demo_body
from hitchworth.model.request import GapRequest
from hitchworth.operations import reference_data
from hitchworth.operations.appraisals import create_gap_statement
from hitchworth.operations.requests import read_request


class Readiness(Struct, frozen=True, kw_only=True):
    """A server that can answer."""

    status: Annotated[str, Meta(description="Always ready; a server that is not answers with a problem, status 503.")]


@cache
def load_reference_data() -> None:
    """Load all reference data, which takes about as long as a hundred requests; afterwards it stays loaded."""
    create_gap_statement(read_request(demo_body(), GapRequest))
    for load in (
        reference_data.list_schedules,
        reference_data.list_jurisdictions,
        reference_data.list_definitions,
        reference_data.list_facts,
        reference_data.list_price_indexes,
        reference_data.list_wages,
        reference_data.list_labor_depreciation_rules,
        reference_data.list_questions,
        reference_data.list_protections,
    ):
        load()
