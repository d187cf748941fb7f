"""Serial numbers over HTTP: registers, numbers looked up over the kept builds, photos on reports of a kept build."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from sqlalchemy import update

from camera_photos import photo
from hitchworth.operations import serial_numbers
from hitchworth.store import tables
from kept_access import Access, access, bearer
from web_server import JSON

DAY = {"as_of": "2026-06-01"}


def document(name: str, *numbers: str, **fields: Any) -> bytes:
    parts = [
        {
            "id": f"part-{place}",
            "description": f"Part {place}",
            "category": "solar",
            "quantity": 1,
            "unit_cost": "100",
            "acquired_on": "2026-01-10",
            "serial_number": number,
            "model_number": "M-1",
        }
        for place, number in enumerate(numbers)
    ]
    return msgspec.json.encode({"build": {"name": name, "currency": "USD", "components": parts, **fields}})


class Numbered(Access):
    """A server with two workspaces and a key of each."""

    def __init__(self, server: Access) -> None:
        super().__init__(server.api, server.store, server.clock)
        self.store.workspaces.create("other")
        self.keys = {name: self.key("write", workspace=name) for name in ("default", "other")}

    def add(self, name: str, *numbers: str, workspace: str = "default", **fields: Any) -> str:
        self.clock.advance(minutes=1)
        headers = {**JSON, **bearer(self.keys[workspace])}
        made = self.api.post("/v1/builds", content=document(name, *numbers, **fields), headers=headers)
        assert made.status_code == 201, made.text
        return str(made.json()["id"])

    def ask(self, path: str, workspace: str = "default", **query: str) -> Any:
        return self.api.get(path, params=query, headers=bearer(self.keys[workspace]))

    def find(self, number: str, **query: str) -> Any:
        answer = self.ask("/v1/serial-numbers", number=number, **query)
        assert answer.status_code == 200, answer.text
        return answer.json()


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Numbered]:
    with access(tmp_path) as opened:
        yield Numbered(opened)


def test_a_number_finds_component_and_build_and_says_how_it_is_alike(server: Numbered) -> None:
    server.add("First", "A1-100")
    second = server.add("Second", "B7", "A1-200")
    found = server.find("ai 2oo")
    (item,) = found["items"]
    assert (item["build"], item["name"], item["component"], item["revision"]) == (second, "Second", "part-1", 1)
    assert (item["kind"], item["number"], item["match"]) == ("serial_number", "A1-200", "forgiven")
    assert item["forgiven"] == ["spacing", "letter_case", "look_alikes"]
    assert item["text"] == (
        "Part 1, serial number A1-200: the same characters but for spaces and dashes, capital and small letters, "
        "O for 0, I and l for 1."
    )
    assert (found["number"], found["is_complete"], found["unread"]) == ("ai 2oo", True, [])
    assert found["caution"].startswith("Only characters were compared.")
    (exact,) = server.find("A1-200", locale="de-DE")["items"]
    assert (exact["match"], exact["forgiven"]) == ("exact", [])
    assert exact["text"] == "Part 1, Seriennummer A1-200: dieselben Zeichen."


def test_a_number_that_nobody_has_finds_nothing(server: Numbered) -> None:
    server.add("First", "A1-100")
    assert server.find("A1-101")["items"] == []


def test_builds_of_other_workspaces_are_not_looked_through(server: Numbered) -> None:
    server.add("Theirs", "A1-100", workspace="other", vin="1HTCH0000AB000017")
    assert server.find("A1-100")["items"] == []
    assert server.find("1HTCH0000AB000017")["items"] == []
    assert len(server.ask("/v1/serial-numbers", "other", number="A1-100").json()["items"]) == 1


def test_exact_numbers_come_first_and_model_numbers_last(server: Numbered) -> None:
    server.add("First", "m1", "M-1")
    server.add("Second", "m-1", vin="M-1")
    found = server.find("M-1")["items"]
    order = [(item["name"], item["kind"], item["match"]) for item in found]
    assert order == [
        ("First", "serial_number", "exact"),
        ("Second", "identification_number", "exact"),
        ("First", "model_number", "exact"),
        ("First", "model_number", "exact"),
        ("Second", "model_number", "exact"),
        ("First", "serial_number", "forgiven"),
        ("Second", "serial_number", "forgiven"),
    ]


def test_there_is_an_end_to_what_is_found(server: Numbered, monkeypatch: pytest.MonkeyPatch) -> None:
    server.add("First", "A1", "B1", "C1")
    monkeypatch.setattr(serial_numbers, "MAX_FOUND", 3)
    assert server.find("M-1")["is_complete"] is True
    monkeypatch.setattr(serial_numbers, "MAX_FOUND", 2)
    found = server.find("M-1")
    assert (found["is_complete"], len(found["items"])) == (False, 2)


def test_what_is_in_the_trash_or_out_of_the_trailer_is_found_and_said(server: Numbered) -> None:
    build = server.add("Sold", "A1")
    patch = {"build": {"components": [{**msgspec.json.decode(document("", "A1"))["build"]["components"][0]}]}}
    patch["build"]["components"][0]["removed_on"] = "2026-05-01"
    headers = {**bearer(server.keys["default"]), "if-match": "*", "content-type": "application/merge-patch+json"}
    changed = server.api.patch(f"/v1/builds/{build}", content=msgspec.json.encode(patch), headers=headers)
    assert changed.status_code == 200, changed.text
    server.api.delete(f"/v1/builds/{build}", headers={**bearer(server.keys["default"]), "if-match": "*"})
    (item,) = server.find("A1")["items"]
    assert item["removed_on"] == "2026-05-01"
    assert item["trashed_at"] is not None
    assert item["text"] == (
        "Part 0, serial number A1: the same characters. Out of the trailer from May 1, 2026 on. "
        "The build is in the trash."
    )


def test_what_was_taken_back_is_no_more_in_the_trailer(server: Numbered) -> None:
    parts = msgspec.json.decode(document("", "A1"))["build"]["components"]
    refund = {**parts[0], "id": "back", "quantity": -1, "refund_of": "part-0", "acquired_on": "2026-04-02"}
    server.add("Returned", components=[*parts, refund])
    (item,) = server.find("A1")["items"]
    assert (item["component"], item["removed_on"]) == ("part-0", "2026-04-02")


@pytest.mark.parametrize("body", [b"{}", b"{", b"\xff"])
def test_a_build_that_cannot_be_read_is_named_and_the_others_are_looked_through(server: Numbered, body: bytes) -> None:
    damaged, whole = server.add("Damaged", "A1"), server.add("Whole", "A1")
    with server.store._database.writing() as connection:
        connection.execute(update(tables.revisions).where(tables.revisions.c.build == damaged).values(body=body))
    found = server.find("A1")
    assert [item["build"] for item in found["items"]] == [whole]
    assert found["unread"] == [damaged]


@pytest.mark.parametrize("number", [" - ", "\u2013", ""])
def test_spaces_and_dashes_alone_are_refused(server: Numbered, number: str) -> None:
    answer = server.ask("/v1/serial-numbers", number=number)
    assert answer.status_code == 400, answer.text
    assert "number" in answer.json()["detail"]


def test_a_number_is_required_and_a_key_too(server: Numbered) -> None:
    missing = server.ask("/v1/serial-numbers")
    assert (missing.status_code, missing.json()["type"]) == (400, "/problems/invalid-parameter")
    assert server.api.get("/v1/serial-numbers?number=A1").status_code == 401


def test_a_table_of_what_was_found(server: Numbered) -> None:
    server.add("First", "=A1")
    headers = {**bearer(server.keys["default"]), "accept": "text/csv"}
    answer = server.api.get("/v1/serial-numbers?number=%3DA1", headers=headers)
    lines = answer.text.splitlines()
    assert lines[0].startswith("build,name,revision,trashed_at,component,description,removed_on,kind,number,match")
    assert "'=A1" in lines[1]


def test_register_and_score_of_a_kept_build_are_those_of_its_document(server: Numbered) -> None:
    build = server.add("First", "A1", vin="1HTCH0000AB000017")
    headers = {**JSON, **bearer(server.keys["default"])}
    posted = msgspec.json.encode(msgspec.json.decode(document("First", "A1", vin="1HTCH0000AB000017")) | DAY)
    for kept, path in (("serial-numbers", "/v1/serial-numbers"), ("documentation-score", "/v1/documentation-scores")):
        answer = server.ask(f"/v1/builds/{build}/{kept}", **DAY)
        assert answer.status_code == 200, answer.text
        assert answer.content == server.api.post(path, content=posted, headers=headers).content
    rows = server.api.get(
        f"/v1/builds/{build}/serial-numbers", params=DAY, headers={**headers, "accept": "text/csv"}
    ).text.splitlines()
    assert rows[0] == (
        "component,description,quantity,unit,identification_number,serial_number,model_number,number_location,"
        "acquired_on,supplier,shown_by,photos"
    )
    assert rows[1] == ",First,1,piece,1HTCH0000AB000017,,,,,,,"
    assert rows[2] == "part-0,Part 0,1,piece,,A1,M-1,,2026-01-10,,,"


class Photographed:
    """A kept build with a photo of a number and of the thing, and its reports."""

    def __init__(self, server: Numbered) -> None:
        self.server = server
        self.build = server.add("First", "A1")
        self.headers = bearer(server.keys["default"])
        for number, subject in ((1, "number:part-0"), (2, "part-0")):
            query = {"subject": subject, "kind": "photo", "file_name": f"{number}.jpg"}
            added = self.evidence("POST", content=photo(number=number), params=query)
            assert added.status_code == 201, added.text

    def evidence(self, method: str, path: str = "", **request: Any) -> Any:
        headers = {**self.headers, **request.pop("headers", {})}
        return self.server.api.request(method, f"/v1/builds/{self.build}/evidence{path}", headers=headers, **request)

    def report(self, name: str, **query: str) -> str:
        answer = self.server.api.get(
            f"/v1/builds/{self.build}/reports/{name}",
            params=DAY | query,
            headers={**self.headers, "accept": "text/html"},
        )
        assert answer.status_code == 200, answer.text
        return str(answer.text)

    def files(self, folder: Path) -> list[Path]:
        return [each for each in (folder / "builds.db-evidence" / "files").rglob("*") if each.is_file()]


@pytest.mark.parametrize("report", ["inventory", "serial-numbers"])
def test_photos_of_kept_evidence_are_on_its_reports_and_the_same_each_time(server: Numbered, report: str) -> None:
    photographed = Photographed(server)
    page = photographed.report(report)
    assert page.count('class="thumbnail"') == 1
    assert photographed.report(report) == page
    assert photographed.report(report, revision="1").count('class="thumbnail"') == 0


def test_a_share_link_shows_them_too(server: Numbered) -> None:
    photographed = Photographed(server)
    link = {"name": "Adjuster", "expires_at": "2027-01-31T00:00:00Z"}
    headers = {**JSON, **bearer(server.key("admin"))}
    made = server.api.post(f"/v1/builds/{photographed.build}/shares", json=link, headers=headers)
    page = server.api.get(f"{made.json()['path']}/reports/inventory", headers={"accept": "text/html"})
    assert page.text.count('class="thumbnail"') == 1


def test_a_photo_whose_file_was_altered_is_left_out_and_said(server: Numbered, tmp_path: Path) -> None:
    photographed = Photographed(server)
    for each in photographed.files(tmp_path):
        each.write_bytes(b"altered")
    page = photographed.report("serial-numbers")
    assert 'class="thumbnail"' not in page
    assert "their file is missing or not as it was: 1." in page


def test_hashes_of_another_workspace_show_nothing(server: Numbered) -> None:
    """A document that names the files of somebody else is kept; its reports have no pictures."""
    photographed = Photographed(server)
    told = photographed.evidence("GET").json()["items"]
    body = msgspec.json.decode(document("Theirs", "A1")) | {"evidence": told}
    headers = {**JSON, **bearer(server.keys["other"])}
    build = server.api.post("/v1/builds", content=msgspec.json.encode(body), headers=headers).json()["id"]
    page = server.api.get(
        f"/v1/builds/{build}/reports/inventory", params=DAY, headers={**headers, "accept": "text/html"}
    )
    assert page.status_code == 200
    assert 'class="thumbnail"' not in page.text


def test_a_file_that_is_no_picture_in_the_place_of_one_is_left_out(server: Numbered) -> None:
    """The document says of its PDF that it is a photo."""
    photographed = Photographed(server)
    added = photographed.evidence("POST", content=b"%PDF-1.4\n%%EOF\n" + b" " * 100, params={"kind": "photo"})
    assert added.status_code == 201, added.text
    entry = {**photographed.evidence("GET", f"/{added.json()['id']}").json(), "media_type": "image/jpeg"}
    entry["subjects"] = ["part-0"]
    body = msgspec.json.decode(document("First", "A1")) | {"evidence": [entry]}
    headers = {**JSON, **photographed.headers}
    build = server.api.post("/v1/builds", content=msgspec.json.encode(body), headers=headers).json()["id"]
    page = server.api.get(
        f"/v1/builds/{build}/reports/inventory", params=DAY, headers={**headers, "accept": "text/html"}
    )
    assert page.status_code == 200
    assert "their file is missing or not as it was: 1." in page.text


def test_removing_a_component_unties_what_shows_its_number(server: Numbered) -> None:
    photographed = Photographed(server)
    removed = server.api.delete(
        f"/v1/builds/{photographed.build}/components/part-0", headers={**photographed.headers, "if-match": "*"}
    )
    assert removed.status_code == 200, removed.text
    assert [each["subjects"] for each in photographed.evidence("GET").json()["items"]] == [[], []]


def test_evidence_of_the_number_of_nothing_is_refused(server: Numbered) -> None:
    photographed = Photographed(server)
    refused = photographed.evidence("POST", content=photo(number=9), params={"subject": "number:nothing"})
    assert refused.status_code == 422
    (fault,) = refused.json()["errors"]
    assert fault["pointer"] == "/subjects/0"
    assert "number: and the id of a component" in fault["expected"]
