"""The value curve as a table and as a chart."""

import csv
from io import StringIO
from typing import Any
from xml.etree import ElementTree

import msgspec
import pytest

from web_server import JSON, client, example


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


def test_the_table_has_the_points(api: Any) -> None:
    answer = api.post("/v1/value-curves", content=example("value-curve"), headers=JSON | {"accept": "text/csv"})
    points = api.post("/v1/value-curves", content=example("value-curve"), headers=JSON).json()["points"]
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    rows = list(csv.DictReader(StringIO(answer.text)))
    assert len(rows) == len(points) > 0
    for row, point in zip(rows, points, strict=True):
        shown = {name: "" if value is None else str(value) for name, value in point.items()}
        assert row == shown | {"covered": str(point["covered"]).lower()}


@pytest.mark.parametrize(("locale", "name"), [("en-US", "Actual cash value"), ("de-DE", "Zeitwert")])
def test_the_chart_is_in_the_locale_of_the_request(api: Any, locale: str, name: str) -> None:
    body = msgspec.json.decode(example("value-curve")) | {"locale": locale}
    answer = api.post("/v1/value-curves?format=svg", json=body)
    assert answer.headers["content-type"] == "image/svg+xml"
    drawing = ElementTree.fromstring(answer.content)
    assert name in [node.text for node in drawing.iter("{http://www.w3.org/2000/svg}text")]
