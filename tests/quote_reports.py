"""The example of a quote, and its reports. Each is made once, when the first test asks for it."""

from datetime import date
from functools import cache
from importlib.resources import files
from io import BytesIO

from msgspec.structs import replace
from PIL import Image

from hitchworth.model.request import QuoteRequest
from hitchworth.operations.quotes import create_quote_report
from hitchworth.operations.requests import read_request
from hitchworth.reports.content import Content, Paper
from hitchworth.reports.quote_catalog import QuoteReportName

HANDED_OVER = date(2026, 9, 4)


@cache
def example() -> QuoteRequest:
    """Return the request that the description of the API shows."""
    return read_request(files("hitchworth.web.examples").joinpath("quote.json").read_bytes(), QuoteRequest)


def with_pricing(**fields: object) -> QuoteRequest:
    """Return the example with other fields of its pricing."""
    return replace(example(), pricing=replace(example().pricing, **fields))


def logo() -> bytes:
    """Return a logo three times as wide as high, half of it clear."""
    image = Image.new("RGBA", (90, 30), (0, 0, 0, 0))
    image.paste((200, 20, 20, 255), (0, 0, 45, 30))
    saved = BytesIO()
    image.save(saved, "PNG")
    return saved.getvalue()


def with_logo() -> QuoteRequest:
    workshop = example().pricing.workshop
    assert workshop is not None
    return with_pricing(workshop=replace(workshop, logo=logo()))


def made(request: QuoteRequest, name: QuoteReportName, locale: str = "en-US", paper: Paper | None = None) -> Content:
    """Return a report on a request, the handover statement on the day of the handover."""
    if name == "handover":
        pricing = replace(request.pricing, quoted_on=request.as_of)
        request = replace(request, as_of=HANDED_OVER, pricing=pricing)
    return create_quote_report(replace(request, locale=locale), name, paper)


@cache
def report(name: QuoteReportName, locale: str = "en-US", paper: Paper | None = None) -> Content:
    """Return a report on the example."""
    return made(example(), name, locale, paper)
