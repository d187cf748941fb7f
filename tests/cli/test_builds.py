"""`hitchworth builds`, in a database that it opens itself and on a server: what it does and prints is the same."""

import csv
import io
import json
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from hitchworth.cli import main
from hitchworth.demo import demo_body
from hitchworth.model.kept import RevisionAction
from hitchworth.store import open_store
from hitchworth.web.server import running

Run = Callable[..., tuple[int, str, str]]
STOVE = {
    "id": "stove",
    "description": "Stove",
    "category": "stove",
    "quantity": 1,
    "unit_cost": "240.00",
    "acquired_on": "2026-03-01",
}
CAMPER = {"name": "Camper", "currency": "USD", "components": [STOVE]}
DEARER = {**CAMPER, "components": [{**STOVE, "unit_cost": "290.00"}]}


@pytest.fixture(params=["database", "server"])
def run(request: pytest.FixtureRequest, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Iterator[Run]:
    """Run an action where the parameter says; returns exit code, output and errors."""
    where = str(tmp_path / "builds.db")
    store = open_store(where)

    def at(*options: str) -> Run:
        def action(*arguments: object) -> tuple[int, str, str]:
            capsys.readouterr()
            code = main(["builds", *map(str, arguments), *options])
            printed = capsys.readouterr()
            return code, printed.out, printed.err

        return action

    if request.param == "database":
        store.close()
        yield at("--database", where)
    else:
        with running(store=store) as address:
            yield at("--server", address)
        store.close()


@pytest.fixture
def file(tmp_path: Path) -> Callable[[Any], str]:
    def write(document: Any) -> str:
        path = tmp_path / f"{len(list(tmp_path.iterdir()))}.json"
        path.write_text(json.dumps(document), "utf-8")
        return str(path)

    return write


@pytest.fixture
def kept(run: Run, file: Callable[[Any], str]) -> str:
    """The id of a build with one revision."""
    code, out, _ = run("add", file(CAMPER), "--message", "The start")
    assert code == 0
    return out.split()[2].rstrip(",")


def actions(run: Run, build: str) -> list[RevisionAction]:
    """What each revision did, the first first."""
    return [each["action"] for each in reversed(json.loads(run("history", build, "--format", "json")[1]))]


def test_what_is_added_is_listed_and_shown_as_a_document(run: Run, kept: str, file: Callable[[Any], str]) -> None:
    _, listed, _ = run("list", "--format", "json")
    assert [(each["id"], each["name"], each["revision"]) for each in json.loads(listed)] == [(kept, "Camper", 1)]
    _, shown, _ = run("show", kept)
    assert json.loads(shown) == {"format": 1, "build": {**CAMPER, "components": [{**STOVE, "quantity": "1"}]}}
    assert run("add", file(json.loads(shown)))[0] == 0
    assert main(["estimate", file(json.loads(shown))]) == 0


def test_the_date_of_a_request_is_no_part_of_what_is_kept(run: Run, tmp_path: Path) -> None:
    (tmp_path / "demo.json").write_bytes(demo_body())
    code, out, _ = run("add", tmp_path / "demo.json")
    assert code == 0
    assert "as_of" not in json.loads(run("show", out.split()[2].rstrip(","))[1])


def test_a_build_is_replaced_as_it_was_seen(run: Run, kept: str, file: Callable[[Any], str]) -> None:
    assert run("replace", kept, file(DEARER), "--revision", "1", "--message", "Receipt")[0] == 0
    code, _, error = run("replace", kept, file(CAMPER), "--revision", "1")
    assert (code, error) == (2, "hitchworth: the build is at revision 2, not 1; nothing was kept\n")
    assert run("replace", kept, file(DEARER))[1] == "The build is the same already, at revision 2.\n"
    assert actions(run, kept) == ["created", "changed"]


def test_the_history_says_who_when_and_why(run: Run, kept: str, file: Callable[[Any], str]) -> None:
    run("replace", kept, file(DEARER), "--message", "=Receipt")
    newest, first = csv.DictReader(io.StringIO(run("history", kept, "--format", "csv")[1]))
    assert (newest["revision"], newest["actor"], newest["message"]) == ("2", "local", "'=Receipt")
    assert (first["message"], newest["previous"]) == ("The start", first["digest"])
    shown = run("history", kept)[1]
    assert all(text in shown for text in ("The start", "=Receipt", first["digest"][:12]))


def test_an_earlier_revision_is_shown_compared_and_restored(run: Run, kept: str, file: Callable[[Any], str]) -> None:
    run("replace", kept, file(DEARER))
    assert '"240.00"' in run("show", kept, "--revision", "1")[1]
    assert "Stove repriced from $240.00 to $290.00" in run("compare", kept)[1]
    assert "Stove repriced from $290.00 to $240.00" in run("compare", kept, "2", "1")[1]
    found = json.loads(run("compare", kept, "2026-04-01", "2026-05-01", "--format", "json")[1])
    assert (found["changes"], found["before"]["as_of"]) == ([], "2026-04-01")
    (row,) = csv.DictReader(io.StringIO(run("compare", kept, "--as-of", "2026-04-01", "--format", "csv")[1]))
    assert (row["name"], row["replacement_cost"]) == ("stove", "50.00")
    assert run("restore", kept, "1")[1] == "Revision 1 is the present document again, as revision 3.\n"
    assert '"240.00"' in run("show", kept)[1]
    assert actions(run, kept) == ["created", "changed", "restored"]


def test_the_trash(run: Run, kept: str, file: Callable[[Any], str]) -> None:
    assert run("trash", kept, "--message", "Sold")[0] == 0
    assert kept not in run("list")[1]
    assert kept in run("list", "--trashed")[1]
    assert run("replace", kept, file(DEARER))[0] == 2
    assert run("recover", kept)[0] == 0
    assert kept in run("list", "--name", "camp")[1]
    assert kept not in run("list", "--name", "boat")[1]
    assert actions(run, kept) == ["created", "trashed", "recovered"]


def test_an_intact_history_is_verified_and_a_paper_is_found_in_it(run: Run, kept: str) -> None:
    code, out, _ = run("verify", kept)
    assert (code, out.split(".")[0]) == (0, "The history is as it was written")
    digest = out.split()[-1].rstrip(".")
    assert run("verify", kept, "--digest", digest[:12])[1].endswith("The digest belongs to revision 1.\n")
    code, out, error = run("verify", kept, "--digest", "0" * 12, "--as-of", "2026-11-01")
    assert (code, out) == (1, "")
    assert error.endswith("The digest belongs to no revision of this build on 2026-11-01.\n")


def test_what_was_altered_behind_its_back_is_noticed(run: Run, kept: str, tmp_path: Path) -> None:
    with sqlite3.connect(tmp_path / "builds.db") as connection:
        (table,) = (
            name
            for (name,) in connection.execute("select name from sqlite_master where type = 'table'")
            if "revision" in name
        )
        connection.execute(f"update {table} set message = 'Another reason'")
    connection.close()
    code, _, error = run("verify", kept)
    assert (code, error) == (1, "Revision 1 does not fit: it was altered, or it is missing.\n")


@pytest.mark.parametrize(
    ("document", "place"),
    [
        ({"name": "Camper", "currency": "dollars"}, "/currency:"),
        ({"build": {"name": "", "currency": "USD"}}, "/build/name:"),
        ({"format": 99}, "/format:"),
        ({"build": CAMPER, "polices": []}, "/polices:"),
        ([], "Wrong type"),
    ],
)
def test_a_faulty_document_is_not_kept(run: Run, file: Callable[[Any], str], document: Any, place: str) -> None:
    code, out, error = run("add", file(document))
    assert (code, out) == (1, "")
    assert error.startswith(place)
    assert json.loads(run("list", "--format", "json")[1]) == []


def test_what_is_not_there_is_said(run: Run, kept: str, tmp_path: Path) -> None:
    for arguments in (
        ("show", "0" * 16),
        ("show", kept, "--revision", "9"),
        ("restore", kept, "9"),
        ("add", tmp_path / "nowhere.json"),
        ("compare", kept, "yesterday"),
        ("verify", kept, "--digest", "short"),
    ):
        code, out, error = run(*arguments)
        assert (code, out) == (2, ""), arguments
        assert error.startswith("hitchworth: ")
    assert run("compare", kept, "2026-02-30")[0] in (1, 2)
    assert actions(run, kept) == ["created"]


def test_one_place_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("HITCHWORTH_URL", "HITCHWORTH_DATABASE"):
        monkeypatch.delenv(name, raising=False)
    where = str(tmp_path / "builds.db")
    for options, said in (
        ([], "name where the builds are"),
        (["--database", where, "--server", "http://127.0.0.1:1"], "name one place"),
        (["--database", where], "there is no database"),
        (["--server", "http://127.0.0.1:1"], "no answer from"),
        (["--server", "not an address"], "not an http"),
    ):
        assert main(["builds", "list", *options]) == 2
        assert said in capsys.readouterr().err
    assert not Path(where).exists()
    monkeypatch.setenv("HITCHWORTH_DATABASE", where)
    (tmp_path / "camper.json").write_text(json.dumps(CAMPER))
    assert main(["builds", "add", str(tmp_path / "camper.json")]) == 0
    assert main(["builds", "list"]) == 0
    assert "Camper" in capsys.readouterr().out


def test_a_faulty_document_makes_no_database(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "faulty.json").write_text("{}")
    assert main(["builds", "add", str(tmp_path / "faulty.json"), "--database", str(tmp_path / "new.db")]) == 1
    assert capsys.readouterr().err
    assert not (tmp_path / "new.db").exists()


def test_workspaces_are_apart(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = ["--database", str(tmp_path / "builds.db")]
    (tmp_path / "camper.json").write_text(json.dumps(CAMPER))
    assert main(["builds", "add", str(tmp_path / "camper.json"), *where]) == 0
    build = capsys.readouterr().out.split()[2].rstrip(",")
    assert main(["workspaces", "create", "other", *where]) == 0
    other = ["--workspace", "other", *where]
    for action in ("show", "history", "trash", "recover", "verify", "compare"):
        assert main(["builds", action, build, *other]) == 2, action
    assert main(["builds", "restore", build, "1", *other]) == 2
    assert main(["builds", "replace", build, str(tmp_path / "camper.json"), *other]) == 2
    capsys.readouterr()
    assert main(["builds", "list", "--format", "json", *other]) == 0
    assert json.loads(capsys.readouterr().out) == []
    assert main(["builds", "history", build, "--format", "json", *where]) == 0
    assert len(json.loads(capsys.readouterr().out)) == 1


def test_a_digit_or_two_prove_nothing(run: Run, kept: str) -> None:
    # Any build has a digest that begins with some digit: too short a text must not be said to belong to it.
    digest = json.loads(run("history", kept, "--format", "json")[1])[0]["digest"]
    code, out, error = run("verify", kept, "--digest", digest[:2])
    assert (code, out) == (2, "")
    assert error == f"hitchworth: {digest[:2]} is not a digest of 12 to 64 hexadecimal digits\n"


def test_restoring_the_present_document_says_that_nothing_changed(run: Run, kept: str) -> None:
    assert run("restore", kept, "1")[:2] == (0, "The build is the same already, at revision 1.\n")
    assert actions(run, kept) == ["created"]
