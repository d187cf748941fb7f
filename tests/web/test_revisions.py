"""The history of a kept build over HTTP: read, restored, and verified against alterations and papers."""

import re
from typing import Any

import msgspec
import pytest
from sqlalchemy import delete, update

from hitchworth.store import open_store, tables
from hitchworth.store.database import IN_MEMORY
from kept_client import KeptBuilds
from store_changes import behind_its_back
from web_server import assert_problem, client

DAY = "2026-06-01"
REVISIONS = tables.revisions


@pytest.fixture
def kept() -> Any:
    with client(open_store(IN_MEMORY)) as api:
        yield KeptBuilds(api)


@pytest.fixture
def build(kept: KeptBuilds) -> str:
    """A build with three revisions: as sent, without the stove, renamed."""
    build = kept.example()
    kept.change("DELETE", build, "/components/stove", params={"message": "Ausgebaut: größerer Kocher"})
    kept.change("PATCH", build, body={"build": {"name": "Renamed"}})
    return build


def test_the_history_names_who_when_and_why(kept: KeptBuilds, build: str) -> None:
    page = kept.api.get(f"{build}/revisions", params={"limit": 2})
    newest, second = page.json()["items"]
    assert (newest["revision"], newest["message"]) == (3, None)
    assert (second["revision"], second["message"]) == (2, "Ausgebaut: größerer Kocher")
    assert newest["previous"] == second["digest"]
    assert page.headers["link"] == f'<{page.json()["next"]}>; rel="next"'
    rest = kept.api.get(page.json()["next"])
    assert ([each["revision"] for each in rest.json()["items"]], rest.json()["next"]) == ([1], None)
    assert_problem(kept.api.get(f"{build}/revisions?cursor=x"), 400, "invalid-parameter")


def test_any_revision_is_read_as_it_was(kept: KeptBuilds, build: str) -> None:
    first = kept.get(f"{build}/revisions/1")
    assert (first["revision"], len(first["build"]["components"])) == (1, 4)
    assert kept.get(f"{build}/revisions/3") == kept.get(build)
    for missing in ("4", "2147483647"):
        response = kept.api.get(f"{build}/revisions/{missing}")
        assert_problem(response, 404, "not-found")
        assert "the present one is 3" in response.json()["detail"]
    for malformed in ("0", "x", "2147483648", "-1"):
        assert_problem(kept.api.get(f"{build}/revisions/{malformed}"), 400, "invalid-parameter")


def test_a_revision_is_restored_as_a_new_one(kept: KeptBuilds, build: str) -> None:
    response = kept.change("POST", build, "/revisions/1/restore", params={"message": "It was better"})
    assert (response.status_code, response.headers["location"]) == (201, f"{build}/revisions/4")
    assert (response.json()["action"], response.json()["message"]) == ("restored", "It was better")
    first, now = kept.get(f"{build}/revisions/1"), kept.get(build)
    assert (now["revision"], now["build"]) == (4, first["build"])
    assert kept.get(f"{build}/revisions/3")["build"]["name"] == "Renamed"
    assert_problem(kept.change("POST", build, "/revisions/9/restore"), 404, "not-found")


def test_an_unaltered_history_is_intact(kept: KeptBuilds, build: str) -> None:
    told = kept.get(f"{build}/verify")
    assert (told["intact"], told["revisions"], told["first_unfit"], told["belongs"]) == (True, 3, None, None)
    assert f'"{told["digest"]}"' == kept.tags[build]


@pytest.mark.parametrize("altered", [1, 2, 3])
def test_the_first_altered_revision_is_named(kept: KeptBuilds, build: str, altered: int) -> None:
    forged = msgspec.json.encode({"build": kept.get(f"{build}/revisions/{altered}")["build"] | {"name": "Forged"}})
    with behind_its_back(kept.api.app.state["store"]) as connection:
        connection.execute(update(REVISIONS).where(REVISIONS.c.revision == altered).values(body=forged))
    told = kept.get(f"{build}/verify", digest=kept.tags[build].strip('"'))
    assert (told["intact"], told["first_unfit"], told["revisions"]) == (False, altered, altered - 1)
    assert told["belongs"] is False


def test_a_revision_that_was_cut_off_is_noticed(kept: KeptBuilds, build: str) -> None:
    with behind_its_back(kept.api.app.state["store"]) as connection:
        connection.execute(delete(REVISIONS).where(REVISIONS.c.revision == 3))
    told = kept.get(f"{build}/verify")
    assert (told["intact"], told["first_unfit"]) == (False, 3)


@pytest.mark.parametrize("altered", [b"{", b'{"build": {}}'])
def test_a_document_that_was_damaged_is_not_blamed_on_who_asks(kept: KeptBuilds, build: str, altered: bytes) -> None:
    with behind_its_back(kept.api.app.state["store"]) as connection:
        connection.execute(update(REVISIONS).where(REVISIONS.c.revision == 3).values(body=altered))
    for path in (build, f"{build}/estimate"):
        answer = kept.api.get(path)
        assert (answer.status_code, answer.json()["type"]) == (500, "/problems/kept-data-damaged")
    assert kept.get(f"{build}/verify")["first_unfit"] == 3
    kept.change("POST", build, "/revisions/2/restore")
    assert kept.api.get(build).status_code == 200


def test_a_report_belongs_to_the_revision_that_it_was_made_from(kept: KeptBuilds, build: str) -> None:
    """By either of its digests: that of the data, with the date printed beside it, and that of the revision."""
    page = kept.api.get(f"{build}/reports/inventory?as_of={DAY}&revision=2", headers={"accept": "text/markdown"}).text
    (data,) = re.findall(r"Digest of the data: ([0-9a-f]{12})\.", page)
    (revision,) = re.findall(r"Its digest begins with ([0-9a-f]{32})", page)
    assert belongs_to(kept, build, digest=revision) == [2]
    assert belongs_to(kept, build, digest=revision[:12]) == [2]
    assert belongs_to(kept, build, digest=data, as_of=DAY) == [2]
    assert belongs_to(kept, build, digest=data, as_of="2026-06-02") == []
    assert belongs_to(kept, build, digest=data) == []
    assert belongs_to(kept, build, digest="0" * 64) == []
    kept.change("POST", build, "/revisions/2/restore")
    assert belongs_to(kept, build, digest=data, as_of=DAY) == [2, 4]


def belongs_to(kept: KeptBuilds, build: str, **query: str) -> list[int]:
    told = kept.get(f"{build}/verify", **query)
    assert told["belongs"] is bool(told["belongs_to"])
    return list(told["belongs_to"])


@pytest.mark.parametrize("digest", ["0123456789a", "x" * 12, "A" * 12, "0" * 65])
def test_what_is_no_digest(kept: KeptBuilds, build: str, digest: str) -> None:
    assert_problem(kept.api.get(f"{build}/verify?digest={digest}"), 400, "invalid-parameter")
