"""The demo scenario: a birch-plywood camper on a flatbed chassis, three policies, four losses. All of it is made up.

The data file is a request as the API takes it, so it also serves as the example of the documents.
"""

from importlib.resources import files

import msgspec

from hitchworth.model.request import GapRequest


def demo_body() -> bytes:
    """The demo request as it lies in the package: JSON, UTF-8."""
    return files("hitchworth.demo").joinpath("gap_request.json").read_bytes()


def demo_request() -> GapRequest:
    """The demo request, decoded. Its valuation date is fixed, so its figures stay the same."""
    return msgspec.json.decode(demo_body(), type=GapRequest)
