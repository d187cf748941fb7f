"""Which rendering the Accept header prefers (RFC 9110, 12.5.1)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.operations.renderings import AS_JSON, Rendering
from hitchworth.web.content_negotiation import preferred

HTML = Rendering("html", "text/html", str.encode)
PDF = Rendering("pdf", "application/pdf", str.encode)
AVAILABLE = (HTML, PDF, AS_JSON)


@pytest.mark.parametrize(
    ("accept", "name"),
    [
        ("", "html"),
        ("*/*", "html"),
        ("application/pdf", "pdf"),
        ("APPLICATION/PDF", "pdf"),
        ("application/*", "pdf"),
        ("text/*;q=0.5, application/json;q=0.7", "json"),
        ("application/*;q=0.2, application/pdf;q=0.1, text/html;q=0", "json"),
        ("*/*;q=0.1, application/pdf", "pdf"),
        ("text/html;q=0, */*", "pdf"),
        ("text/html;level=1", "html"),
        ("text/csv", None),
        ("*/*;q=0", None),
        ("text", None),
        ("text/html;q=nonsense", "html"),
        ("text/html;q=0.2, application/pdf;q=0.5, text/html;q=0.9", "html"),  # a range twice: the higher weight
        ("text/html;q=0.9, application/pdf;q=0.5, text/html;q=0.2", "html"),
        ("*/*;q=0, */*;q=0.1", "html"),
    ],
)
def test_the_rendering_with_the_highest_weight_is_preferred(accept: str, name: str | None) -> None:
    chosen = preferred(accept, AVAILABLE)
    assert (chosen.name if chosen else None) == name


@given(st.text())
def test_any_header_is_accepted(accept: str) -> None:
    assert preferred(accept, AVAILABLE) in (*AVAILABLE, None)
