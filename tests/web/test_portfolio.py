"""The kept builds of a workspace together."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import pytest

from hitchworth.operations import portfolios
from kept_access import Access, access, bearer
from portfolio_documents import camper
from web_server import JSON, assert_problem

AS_OF = "2026-11-28"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Access]:
    with access(tmp_path) as opened:
        yield opened


def keep(server: Access, document: dict[str, Any], key: str) -> str:
    made = server.api.post("/v1/builds", content=msgspec.json.encode(document), headers={**JSON, **bearer(key)})
    assert made.status_code == 201, made.text
    return str(made.json()["id"])


def portfolio(server: Access, key: str, **query: Any) -> Any:
    return server.api.get("/v1/portfolio", params={"as_of": AS_OF, **query}, headers=bearer(key))


def test_all_builds_of_the_workspace_are_revalued(server: Access) -> None:
    writer, reader = server.key("write"), server.key("read")
    server.store.workspaces.create("shop")
    other = server.key("write", workspace="shop")
    ids = [keep(server, camper(name, limit=limit), writer) for name, limit in (("A", "1200"), ("B", "900"))]
    keep(server, camper("Of others"), other)
    answer = portfolio(server, reader).json()
    assert [each["id"] for each in answer["builds"]] == sorted(ids)
    (dollars,) = answer["summary"]["sums"]
    assert (dollars["builds"], dollars["replacement_cost"], dollars["gap"]) == (2, "2000.00", "600.00")  # 250 + 350
    assert (dollars["limits_exceeded"], dollars["lacking"], dollars["limits_outgrown"]) == (1, "100.00", 1)
    assert dollars["outgrown_by_month"] == [{"month": "2027-03", "limits": 1}]
    assert (answer["changes"], answer["changed"]) == (None, [])
    near = portfolio(server, reader, horizon_days=30).json()
    assert near["summary"]["sums"][0]["limits_outgrown"] == 0


def test_what_changed_since_a_day(server: Access) -> None:
    key = server.key("write")
    server.clock.now = datetime(2026, 11, 20, 23, 59, tzinfo=UTC)
    edited, trashed = (keep(server, camper(name), key) for name in ("Edited", "Trashed"))
    server.clock.now = datetime(2026, 11, 21, tzinfo=UTC)
    for build, method, body in ((edited, "PUT", camper("Edited", "1500.00")), (trashed, "DELETE", None)):
        tag = server.api.get(f"/v1/builds/{build}", headers=bearer(key)).headers["etag"]
        content = None if body is None else msgspec.json.encode(body)
        headers = {**JSON, **bearer(key), "if-match": tag}
        assert server.api.request(method, f"/v1/builds/{build}", content=content, headers=headers).status_code == 200
    added = keep(server, camper("Added"), key)
    answer = portfolio(server, key, since="2026-11-20").json()
    assert {each["id"]: each["kind"] for each in answer["changed"]} == {
        edited: "edited",
        trashed: "removed",
        added: "added",
    }
    assert {each["kind"]: each["replacement_cost"] for each in answer["changes"]["sums"]} == {
        "added": "1000.00",
        "removed": "-1000.00",
        "edited": "500.00",
    }
    assert answer["changes"]["since"]["as_of"] == "2026-11-20"
    assert portfolio(server, key, since="2026-11-19").json()["changes"]["sums"][0]["kind"] == "added"


def test_nothing_is_compared_with_a_later_day(server: Access) -> None:
    refused = portfolio(server, server.key("read"), since="2026-11-29")
    assert_problem(refused, 400, "invalid-parameter")
    (fault,) = refused.json()["errors"]
    assert fault["detail"] == "since: After the day as of which the builds are revalued"
    assert (fault["expected"], fault["found"]) == (f"{AS_OF} or earlier", "2026-11-29")


def test_builds_are_counted_as_they_were(server: Access, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of two builds that there were, one is in the trash."""
    monkeypatch.setattr(portfolios, "MAX_BUILDS", 1)
    key = server.key("write")
    for name in ("A", "B"):
        build = keep(server, camper(name), key)
    headers = {**bearer(key), "if-match": "*"}
    server.clock.advance(days=1)
    assert server.api.delete(f"/v1/builds/{build}", headers=headers).status_code == 200
    assert portfolio(server, key).status_code == 200
    assert_problem(portfolio(server, key, since="2026-11-27"), 422, "invalid-input")


def test_more_builds_than_one_answer_takes_are_refused(server: Access, monkeypatch: pytest.MonkeyPatch) -> None:
    """None of them is read for that."""
    monkeypatch.setattr(portfolios, "MAX_BUILDS", 1)
    key = server.key("write")
    keep(server, camper("A"), key)
    assert portfolio(server, key).status_code == 200
    keep(server, camper("B"), key)
    monkeypatch.delattr(server.store.builds.__class__.__mro__[1], "documents")
    assert_problem(portfolio(server, key), 422, "invalid-input")


def test_the_builds_as_a_table(server: Access) -> None:
    key = server.key("write")
    keep(server, camper("=A"), key)
    lines = portfolio(server, key, format="csv").text.splitlines()
    assert lines[0].startswith("id,document,name,currency,replacement_cost")
    assert ",'=A,USD,1000.00,1000.00,250.00,RV,theft,RV,outgrown,2027-03-01,300.00," in lines[1]
    assert portfolio(server, key, format="csv", table="changed").text.splitlines()[0].startswith("id,kind,currency")


def test_the_calendar_ends(server: Access) -> None:
    key = server.key("write")
    keep(server, camper("A"), key)
    for day in ("0001-01-01", "9999-12-31"):
        assert portfolio(server, key, as_of=day, since=day).status_code == 200, day
