"""Single parts of kept builds over HTTP: added without the whole, read, replaced and removed by their own addresses."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import msgspec
import pytest

from hitchworth.store import Store, open_store
from hitchworth.store.database import IN_MEMORY
from kept_client import KeptBuilds
from web_server import JSON, assert_problem, client, example


@pytest.fixture
def kept() -> Any:
    with client(open_store(IN_MEMORY)) as api:
        yield KeptBuilds(api)


def component(name: str, **more: Any) -> dict[str, Any]:
    usual = {"id": name, "description": "Battery", "category": "battery", "quantity": 1, "unit_cost": "389.00"}
    return {**usual, "acquired_on": "2026-10-30", **more}


LABOR = {"id": "w", "task": "Wiring", "hours": 1, "rate": 1, "performed_on": "2026-01-01"}
NUMBERS = {"quantity"}
"""Sent as numbers, answered as texts."""

PARTS = [
    ("/components", "/battery-2", "component", {"unit_cost": "401.00"}),
    ("/labor", "/wiring", "labor", {"hours": "4"}),
    ("/policies", "/offer of October", "policy", {"deductible": "750.00"}),
    ("/losses", "/fire", "loss", {"peril": "theft"}),
    ("/answers", "/1", "answer", {"said_by": "the office"}),
]


@pytest.mark.parametrize(("path", "item", "name", "altered"), PARTS)
def test_a_part_is_added_read_replaced_and_removed(
    kept: KeptBuilds, path: str, item: str, name: str, altered: dict[str, Any]
) -> None:
    build, body = kept.example(), msgspec.json.decode(example(name))
    before = kept.get(build)
    added = kept.add(build, path, body)
    assert (added.status_code, added.json()["revision"], added.json()["action"]) == (201, 2, "changed")
    assert added.headers["location"] == f"{build}/revisions/2"
    assert added.headers["etag"] == f'"{added.json()["digest"]}"'
    told = kept.get(f"{build}{path}{item}")
    assert {field: told[field] for field in body if field not in NUMBERS} == {
        field: value for field, value in body.items() if field not in NUMBERS
    }
    assert kept.change("PUT", build, path + item, body | altered).json()["revision"] == 3
    ((field, value),) = altered.items()
    assert kept.get(f"{build}{path}{item}")[field] == value
    assert kept.change("DELETE", build, path + item).json()["revision"] == 4
    assert_problem(kept.api.get(f"{build}{path}{item}"), 404, "not-found")
    after = kept.get(build)
    assert (after["build"], after["answers"], after["losses"]) == (before["build"], before["answers"], before["losses"])
    assert after["policies"] == before["policies"]


def test_a_part_is_read_as_it_was_sent(kept: KeptBuilds) -> None:
    build = kept.example()
    kept.add(build, "/components", component("battery-2", note="größer", tax="35.40"))
    told = kept.get(f"{build}/components/battery-2")
    assert (told["unit_cost"], told["note"], told["tax"]) == ("389.00", "größer", "35.40")


@pytest.mark.parametrize("name", ["12/2 wire", "100% cotton", "a?b#c", "Größe", "..."])
def test_an_id_may_have_any_visible_character(kept: KeptBuilds, name: str) -> None:
    """The test client decodes a path twice, so a percent sign is not followed by two digits here."""
    build = kept.create()
    kept.add(build, "/components", component(name))
    path = f"/components/{name}"
    assert kept.change("PUT", build, path, component(name, unit_cost="1.00")).json()["revision"] == 3
    assert kept.change("DELETE", build, path).json()["revision"] == 4


def test_the_faults_of_a_part_are_told_at_its_own_places(kept: KeptBuilds) -> None:
    build = kept.example()
    body = component("stove", quantity="x", currency="XXX", labor_id=1)
    for response in (kept.add(build, "/components", body), kept.change("PUT", build, "/components/stove", body)):
        assert_problem(response, 422, "invalid-input")
        pointers = {fault["pointer"] for fault in response.json()["errors"]}
        assert {"/quantity", "/labor_id"} <= pointers
    assert kept.get(build)["revision"] == 1


@pytest.mark.parametrize(
    ("path", "body", "pointer"),
    [
        ("/components", component("stove"), "/id"),
        ("/labor", LABOR | {"component_id": "nothing"}, "/component_id"),
        ("/policies", {"name": "agreed value", "kind": "recreational_vehicle", "basis": "actual_cash_value"}, "/name"),
        ("/losses", {"name": "hail", "peril": "hail", "extent": "total"}, "/name"),
        ("/components", 3, ""),
        ("/components", None, ""),
        ("/components", [], ""),
    ],
)
def test_what_cannot_be_added(kept: KeptBuilds, path: str, body: Any, pointer: str) -> None:
    build = kept.example()
    response = kept.add(build, path, msgspec.json.encode(body))
    assert_problem(response, 422, "invalid-input")
    assert pointer in {fault["pointer"] for fault in response.json()["errors"]}
    assert kept.get(build)["revision"] == 1


def test_a_body_is_about_what_the_address_names(kept: KeptBuilds) -> None:
    response = kept.change("PUT", kept.example(), "/components/stove", component("panel"))
    assert_problem(response, 422, "invalid-input")
    assert [(fault["pointer"], fault["found"]) for fault in response.json()["errors"]] == [("/id", "panel")]


def test_what_is_not_there_is_not_replaced_or_removed(kept: KeptBuilds) -> None:
    build = kept.example()
    for path in ("/components/x", "/labor/x", "/policies/x", "/losses/x", "/answers/1", "/facts/has_sink"):
        assert_problem(kept.change("DELETE", build, path), 404, "not-found")
    assert_problem(kept.change("PUT", build, "/components/x", component("x")), 404, "not-found")
    assert_problem(kept.change("PUT", build, "/answers/1", {"fact": "has_sink", "value": True}), 404, "not-found")


def test_what_others_refer_to_is_not_removed(kept: KeptBuilds) -> None:
    """The labor names the plywood, so without it the document would have a fault, which is named where it would be."""
    response = kept.change("DELETE", kept.example(), "/components/plywood")
    assert_problem(response, 422, "invalid-input")
    assert "/build/labor/0/component_id" in {fault["pointer"] for fault in response.json()["errors"]}


@pytest.mark.parametrize(
    ("name", "value"),
    [("has_sink", b"true"), ("has_sink", b"null"), ("width_m", b"2.4"), ("width_m", b'{"value": 8, "unit": "ft"}')],
)
def test_a_fact_is_set_and_removed(kept: KeptBuilds, name: str, value: bytes) -> None:
    build = kept.create()
    assert kept.change("PUT", build, f"/facts/{name}", value).json()["revision"] == 2
    assert kept.get(build)["build"]["facts"] == {name: msgspec.json.decode(value)}
    assert kept.change("DELETE", build, f"/facts/{name}").json()["revision"] == 3
    assert "facts" not in kept.get(build)["build"]


def test_a_fact_with_a_fault(kept: KeptBuilds) -> None:
    response = kept.change("PUT", kept.create(), "/facts/width_m", True)
    assert_problem(response, 422, "invalid-input")
    assert [fault["pointer"] for fault in response.json()["errors"]] == [""]


def test_an_addition_meets_what_others_have_changed(kept: KeptBuilds) -> None:
    """Without If-Match it is added to what the build is by then; with it, only to what the caller has seen."""
    build = kept.example()
    seen = kept.tags[build]
    kept.change("PATCH", build, body={"build": {"name": "Renamed"}})
    response = kept.add(build, "/components", component("battery-2"), **{"if-match": seen})
    assert_problem(response, 412, "precondition-failed")
    assert kept.add(build, "/components", component("battery-2")).json()["revision"] == 3
    assert kept.get(build)["build"]["name"] == "Renamed"
    response = kept.add(build, "/components", component("battery-3"), **{"if-match": kept.tags[build]})
    assert response.json()["revision"] == 4


def test_an_addition_that_is_sent_again_is_answered_as_the_first_time(kept: KeptBuilds) -> None:
    build, key = kept.example(), {"idempotency-key": "receipt-1"}
    first = kept.add(build, "/components", component("battery-2"), **key)
    kept.change("PATCH", build, body={"build": {"name": "Renamed"}})
    again = kept.api.post(f"{build}/components", json=component("battery-2"), headers=key | JSON)
    assert (again.status_code, again.json()) == (201, first.json())
    other = kept.add(build, "/components", component("battery-3"), **key)
    assert_problem(other, 422, "idempotency-key-reused")
    other = kept.add(build, "/labor", component("battery-2"), **key)
    assert_problem(other, 422, "idempotency-key-reused")
    assert kept.get(build)["revision"] == 3


def test_ten_receipts_at_once_are_all_kept(store: Store) -> None:
    with client(store) as api:
        build = KeptBuilds(api).create()

        def send(number: int) -> int:
            headers = JSON | {"idempotency-key": f"receipt-{number}"}
            body = msgspec.json.encode(component(f"part-{number}"))
            return {api.post(f"{build}/components", content=body, headers=headers).status_code for _ in range(2)}.pop()

        with ThreadPoolExecutor(10) as phones:
            assert set(phones.map(send, range(10))) == {201}
        told = api.get(build).json()
        assert told["revision"] == 11
        assert {each["id"] for each in told["build"]["components"]} == {f"part-{number}" for number in range(10)}
        assert api.get(f"{build}/verify").json()["intact"] is True


def test_a_full_database_is_a_clear_problem(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "builds.db"))
    with client(store) as api:
        kept = KeptBuilds(api)
        build = kept.example()
        with store._database.writing() as connection:
            connection.exec_driver_sql("PRAGMA max_page_count = 1")  # as many as there are
        note = {"note": "x" * 4000}
        answers = [kept.add(build, "/components", component(f"c{number}", **note)) for number in range(30)]
        assert_problem(answers[-1], 507, "store-full")
        added = [each for each in answers if each.status_code == 201]
        assert kept.get(build)["revision"] == 1 + len(added)
        with store._database.writing() as connection:
            connection.exec_driver_sql("PRAGMA max_page_count = 100000")
            connection.exec_driver_sql("PRAGMA query_only = ON")
        assert_problem(kept.add(build, "/components", component("y")), 503, "store-read-only")
        assert kept.get(build)["revision"] == 1 + len(added)
    store.close()
