"""What needs attention, of a document and of the kept builds: filters, pages, addresses, languages."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import msgspec
import pytest
from sqlalchemy import update

from hitchworth.store import tables
from kept_access import Access, access, bearer
from web_server import JSON, example

TODAY = "2026-11-28"


def document(name: str, *policies: str, currency: str = "USD") -> bytes:
    """A battery of 1,000.00 that keeps its value, and policies with a limit of 900.00."""
    battery = {
        "id": "battery",
        "description": "Battery",
        "category": "electrical",
        "quantity": 1,
        "unit_cost": "1000.00",
        "acquired_on": "2026-01-10",
        "schedule": {"method": "none"},
    }
    limited = [{"name": each, "basis": "replacement_cost", "limit": "900"} for each in policies]
    return msgspec.json.encode(
        {"build": {"name": name, "currency": currency, "components": [battery]}, "policies": limited}
    )


class Watched(Access):
    """A server with the key of a reader, and builds that need attention."""

    def __init__(self, server: Access) -> None:
        super().__init__(server.api, server.store, server.clock)
        self.admin = self.key("admin")
        self.ids: dict[str, str] = {}

    def add(self, name: str, *policies: str, **more: Any) -> None:
        self.clock.advance(minutes=1)
        body = document(name, *policies, **more)
        made = self.api.post("/v1/builds", content=body, headers={**JSON, **bearer(self.admin)})
        assert made.status_code == 201, made.text
        self.ids[name] = made.json()["id"]

    def get(self, path: str = "/v1/attention", **query: Any) -> Any:
        return self.api.get(path, params=query or None, headers=bearer(self.admin))

    def listed(self, **query: Any) -> list[tuple[str, str]]:
        """Name of build and policy of each item, page after page."""
        found: list[tuple[str, str]] = []
        answer = self.get(as_of=TODAY, **query)
        while True:
            assert answer.status_code == 200, answer.text
            page = answer.json()
            found.extend((item["name"], item["policy"]) for item in page["items"])
            if page["next"] is None:
                assert "link" not in answer.headers
                return found
            assert answer.headers["link"] == f'<{page["next"]}>; rel="next"'
            answer = self.get(page["next"])


@pytest.fixture
def watched(tmp_path: Path) -> Iterator[Watched]:
    with access(tmp_path) as server:
        built = Watched(server)
        built.add("Oak camper", "first", "second", "third")
        built.add("Calm trailer")
        built.add("Elm camper", "fourth")
        built.add("Pine camper", "fifth", "sixth", currency="EUR")
        yield built


ALL = [
    ("Oak camper", "first"),
    ("Oak camper", "second"),
    ("Oak camper", "third"),
    ("Elm camper", "fourth"),
    ("Pine camper", "fifth"),
    ("Pine camper", "sixth"),
]


@pytest.mark.parametrize("limit", [1, 2, 3, 4, 5, 6, 200])
def test_every_item_is_on_one_page(watched: Watched, limit: int) -> None:
    assert watched.listed(limit=limit) == ALL


@pytest.mark.parametrize("most", [1, 2, 3])
def test_a_page_looks_through_a_limited_number_of_builds(
    watched: Watched, monkeypatch: pytest.MonkeyPatch, most: int
) -> None:
    monkeypatch.setattr("hitchworth.operations.kept_attention.MAX_BUILDS", most)
    assert watched.listed(limit=200) == ALL
    assert watched.listed(limit=2) == ALL


def test_the_last_page_has_no_next_one(watched: Watched) -> None:
    assert len(watched.get(as_of=TODAY, limit=6).json()["items"]) == 6
    assert watched.get(as_of=TODAY, limit=6).json()["next"] is None


def test_filters(watched: Watched) -> None:
    assert watched.listed(name="CAMPER", limit=2) == ALL
    assert watched.listed(name="elm") == [ALL[3]]
    assert watched.listed(build=watched.ids["Pine camper"], limit=1) == ALL[4:]
    assert watched.listed(build=watched.ids["Pine camper"], name="oak") == []
    assert watched.listed(build="0" * 16) == []
    assert watched.listed(code="gap") == []
    assert watched.listed(code="limit_exceeded", limit=4) == ALL


def test_an_item_says_where_to_look_and_what_it_is_worth(watched: Watched) -> None:
    item = watched.get(as_of=TODAY, name="Elm").json()["items"][0]
    build = watched.ids["Elm camper"]
    assert (item["code"], item["build"], item["amount"], item["currency"]) == ("limit_exceeded", build, "100.00", "USD")
    assert item["since"] == "2026-01-10"
    assert item["text"] == (
        "fourth, limit $900.00: not enough since January 10, 2026. The value (replacement cost) is $1,000.00 now, "
        "so $100.00 is not covered."
    )
    curve = watched.get(f"{item['path']}&last={TODAY}&first={TODAY}")
    assert curve.status_code == 200
    assert curve.json()["points"][0]["covered"] is False


def test_the_sentences_are_in_the_language_that_is_asked_for(watched: Watched) -> None:
    told = watched.get(as_of=TODAY, locale="de-DE", name="Pine").json()["items"][0]["text"]
    assert told.startswith(
        "fifth, Höchstentschädigung 900,00\N{NO-BREAK SPACE}€: reicht seit 10. Januar 2026 nicht mehr."
    )
    following = watched.get(as_of=TODAY, locale="de-DE", limit=1).json()["next"]
    assert parse_qs(urlsplit(following).query)["locale"] == ["de-DE"]


def test_thresholds_are_parameters_and_go_with_the_pages(watched: Watched) -> None:
    page = watched.get(as_of=TODAY, gap_over="2500.5", limit_days=7, answer_days=10, quote_days=3, limit=1).json()
    told = parse_qs(urlsplit(page["next"]).query)
    assert {name: told[name] for name in ("gap_over", "limit_days", "answer_days", "quote_days")} == {
        "gap_over": ["2500.5"],
        "limit_days": ["7"],
        "answer_days": ["10"],
        "quote_days": ["3"],
    }


def test_as_a_table(watched: Watched) -> None:
    lines = watched.get(as_of=TODAY, name="Elm", format="csv").text.splitlines()
    assert len(lines) == 2
    assert lines[0].startswith("code,condition,name,build,policy,loss,since,amount,currency,path,text")


def test_builds_in_the_trash_are_left_out(watched: Watched) -> None:
    build = watched.ids["Oak camper"]
    headers = {**bearer(watched.admin), "if-match": "*"}
    assert watched.api.delete(f"/v1/builds/{build}", headers=headers).status_code == 200
    assert watched.listed() == ALL[3:]
    assert watched.listed(build=build) == []


def test_a_build_that_cannot_be_read_is_an_item_and_no_failure(watched: Watched) -> None:
    damaged = tables.revisions.c.build == watched.ids["Elm camper"]
    with watched.store._database.writing() as connection:
        connection.execute(update(tables.revisions).where(damaged).values(body=b"no"))
    items = watched.get(as_of=TODAY).json()["items"]
    assert [item["code"] for item in items] == [*["limit_exceeded"] * 3, "unreadable", *["limit_exceeded"] * 2]
    assert "has been altered" in items[3]["text"]
    assert items[3]["path"] == f"/v1/builds/{watched.ids['Elm camper']}"


@pytest.mark.parametrize(
    "cursor", ["x", "WzEsMl0", "WzAsbnVsbCwtMV0", "WzAsWyIyMDI2LTExLTI4VDAwOjAwOjAwWiIsIlx1MDAwMCJdLDBd"]
)
def test_a_cursor_that_is_none_is_refused(watched: Watched, cursor: str) -> None:
    """Among them [0, null, -1], and one after a build whose id is U+0000."""
    refused = watched.get(cursor=cursor)
    assert refused.status_code == 400
    assert "cursor" in refused.json()["errors"][0]["detail"]


@pytest.mark.parametrize(
    ("name", "value"), [("limit_days", "-1"), ("gap_over", "-5"), ("code", "storm"), ("limit", "0")]
)
def test_a_parameter_that_makes_no_sense_is_refused(watched: Watched, name: str, value: str) -> None:
    assert watched.get(**{name: value}).status_code == 400


def test_a_document_is_answered_as_the_kept_build_is(watched: Watched) -> None:
    body = {**msgspec.json.decode(document("Elm camper", "fourth")), "as_of": TODAY}
    sent = watched.api.post("/v1/attention", json=body, headers=bearer(watched.admin)).json()
    kept = watched.get(as_of=TODAY, name="Elm").json()["items"]
    assert [{**item, "build": None, "path": None} for item in kept] == sent["items"]


def test_every_fault_of_a_body_is_named(watched: Watched) -> None:
    body = msgspec.json.decode(example("attention"))
    body["thresholds"] = {"limit_days": 99_999, "gap_over": "-1", "storm": 1}
    body["quotes"] = [{"name": "Q"}]
    refused = watched.api.post("/v1/attention", json=body, headers=bearer(watched.admin))
    assert refused.status_code == 422
    pointers = {fault["pointer"] for fault in refused.json()["errors"]}
    assert pointers >= {"/thresholds/limit_days", "/thresholds/gap_over", "/thresholds/storm", "/quotes/0/valid_until"}


def keep_quote(watched: Watched, number: str, valid_until: str) -> str:
    body = msgspec.json.decode(example("kept-quote"))
    body["pricing"] |= {"number": number, "valid_until": valid_until}
    watched.clock.advance(minutes=1)
    kept = watched.api.post("/v1/kept-quotes", json=body, headers=bearer(watched.admin))
    assert kept.status_code == 201, kept.text
    return str(kept.json()["id"])


def test_a_kept_quote_that_expires_follows_the_builds(watched: Watched) -> None:
    quotes = [keep_quote(watched, number, day) for number, day in (("Q-1", "2026-12-12"), ("Q-2", "2026-12-13"))]
    quotes.append(keep_quote(watched, "Q-3", "2026-12-01"))
    items = watched.get(as_of=TODAY, code="quote_expires").json()["items"]
    assert [(item["path"], item["since"]) for item in items] == [
        (f"/v1/kept-quotes/{quotes[0]}", "2026-12-12"),
        (f"/v1/kept-quotes/{quotes[2]}", "2026-12-01"),
    ]
    assert items[0]["text"] == "The quote Q-1 is valid until December 12, 2026."
    assert items[0]["currency"] == "USD"
    for limit in (1, 5, 6, 7, 8, 200):
        assert [policy for _, policy in watched.listed(limit=limit)] == [*(policy for _, policy in ALL), None, None]
    damaged = tables.revisions.c.build == quotes[2]
    with watched.store._database.writing() as connection:
        connection.execute(update(tables.revisions).where(damaged).values(body=b"no"))
    (item,) = watched.get(as_of=TODAY, code="unreadable").json()["items"]
    assert (item["path"], item["build"], item["currency"]) == (f"/v1/kept-quotes/{quotes[2]}", None, None)
    accepted = watched.api.post(
        f"/v1/kept-quotes/{quotes[0]}/accept",
        content=example("quote-acceptance"),
        headers={**JSON, **bearer(watched.admin)},
    )
    assert accepted.status_code == 201, accepted.text
    assert watched.get(as_of=TODAY, code="quote_expires").json()["items"] == []
