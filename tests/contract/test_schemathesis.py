"""Generated requests, right and wrong, against the real application: it keeps what its description promises."""

from typing import Any

import schemathesis
from schemathesis.config import SchemathesisConfig

from hitchworth.web.app import create_app
from hitchworth.web.openapi import Document, document

CONFIG = SchemathesisConfig.from_dict(
    {
        "generation": {"max-examples": 25, "deterministic": True},
        # What a schema cannot say (a currency that exists, ids that are there) is answered with 422.
        "checks": {"positive_data_acceptance": {"expected-statuses": ["2xx", "404", "422"]}},
    }
)


def with_plain_statuses() -> Document:
    """The description without the parameter that turns every problem into a 200; that one has tests of its own."""
    described = document()
    for operations in described["paths"].values():
        for operation in operations.values():
            operation["parameters"] = [part for part in operation["parameters"] if part["name"] != "faults"]
    return described


api = schemathesis.openapi.from_dict(with_plain_statuses(), config=CONFIG)
api.app = create_app()


@api.parametrize()
def test_the_application_keeps_its_description(case: schemathesis.Case[Any]) -> None:
    case.call_and_validate()
