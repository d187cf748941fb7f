"""Which format a request would rather have (RFC 9110, 12.5.1)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.operations.renderings import AS_JSON, Rendering
from hitchworth.web.content_negotiation import preferred

HTML = Rendering("html", "text/html", str.encode)
PDF = Rendering("pdf", "application/pdf", str.encode)
OFFERED = (HTML, PDF, AS_JSON)


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
    ],
)
def test_the_best_of_what_is_offered(accept: str, name: str | None) -> None:
    chosen = preferred(accept, OFFERED)
    assert (chosen.name if chosen else None) == name


@given(st.text())
def test_any_header_is_borne(accept: str) -> None:
    assert preferred(accept, OFFERED) in (*OFFERED, None)
