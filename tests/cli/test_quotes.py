"""`hitchworth quotes`, in a database that it opens itself and on a server: what it does and prints is the same."""

import json
from collections.abc import Callable, Iterator
from importlib.resources import files
from pathlib import Path

import pytest

from hitchworth.cli import main
from hitchworth.store import open_store
from hitchworth.web.server import running

Run = Callable[..., tuple[int, str, str]]
ORDER = {
    "number": "1",
    "dated": "2026-07-01",
    "reason": "A shelf",
    "fixed": [{"description": "Shelf", "amount": "100.00"}],
}


@pytest.fixture(params=["database", "server"])
def run(request: pytest.FixtureRequest, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Iterator[Run]:
    """Run an action where the parameter says; returns exit code, output and errors."""
    where = str(tmp_path / "builds.db")
    store = open_store(where)

    def at(*options: str) -> Run:
        def action(*arguments: object, command: str = "quotes") -> tuple[int, str, str]:
            capsys.readouterr()
            code = main([command, *map(str, arguments), *options])
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
def quote(tmp_path: Path, run: Run) -> str:
    """The id of a quote that is kept."""
    path = tmp_path / "quote.json"
    path.write_bytes(files("hitchworth.web.examples").joinpath("kept-quote.json").read_bytes())
    code, out, err = run("add", path, "--message", "First")
    assert code == 0, err
    return out.split()[2].rstrip(",")


def test_a_quote_is_accepted_changed_and_compared(tmp_path: Path, run: Run, quote: str) -> None:
    (entry,) = json.loads(run("list", "--format", "json")[1])
    assert (entry["id"], entry["number"], entry["accepted_on"]) == (quote, "2026-014", None)
    order = tmp_path / "order.json"
    order.write_text(json.dumps(ORDER), "utf-8")
    code, _, err = run("change", quote, order)
    assert code == 2
    assert "Nobody has accepted the quote" in err
    code, out, err = run("accept", quote, "--by", "A. Customer", "--on", "2026-06-10")
    assert code == 0, err
    build = out.rpartition(" ")[2].strip()
    (entry,) = json.loads(run("list", "--format", "json")[1])
    assert (entry["accepted_on"], entry["made_build"]) == ("2026-06-10", build)
    code, _, err = run("accept", quote, "--by", "A. Customer", "--on", "2026-06-10")
    assert (code, build in err) == (2, True)
    assert run("change", quote, order)[0] == 0
    code, out, err = run("accept-change", quote, "1", "--by", "A. Customer", "--on", "2026-07-02")
    assert code == 0, err
    contract = json.loads(run("contract", quote, "--format", "json")[1])
    assert contract["changes"][0]["change"] == "100.00"
    table = run("contract", quote)[1]
    assert "A shelf" in table
    assert "2026-07-02" in table
    variance = json.loads(run("variance", quote, "--format", "json")[1])
    assert variance["variance"] == "0.00"
    assert "body-work" in variance["still_quoted"]
    messages = [each["message"] for each in json.loads(run("history", quote, "--format", "json")[1])]
    assert messages == ["Change order 1 accepted by A. Customer", None, "Accepted by A. Customer", "First"]


def test_the_hours_that_it_took_are_told_beside_the_hours_quoted(tmp_path: Path, run: Run, quote: str) -> None:
    code, out, err = run("accept", quote, "--by", "A. Customer", "--on", "2026-06-10")
    assert code == 0, err
    build = out.rpartition(" ")[2].strip()
    document = json.loads(run("show", build, command="builds")[1])
    (quoted,) = (each["hours"] for each in document["build"]["labor"] if each["id"] == "body-work")
    assert "built / quoted" not in run("variance", quote)[1]
    for entry in document["build"]["labor"]:
        if entry["id"] == "body-work":
            entry |= {"hours": "70", "evidence_grade": "receipt"}
    path = tmp_path / "built.json"
    path.write_text(json.dumps(document), "utf-8")
    code, _, err = run("replace", build, path, command="builds")
    assert code == 0, err
    code, out, err = run("variance", quote)
    assert code == 0, err
    (row,) = [line.split() for line in out.splitlines() if line.startswith("joinery")]
    assert (quoted, row) == ("62", ["joinery", "1", "62", "70", "1.13"])  # 70 / 62; one task tells no range
    assert "Lines of which nothing but the quote is known count as quoted: " in out


def test_a_quote_is_shown_as_the_file_that_the_commands_take(tmp_path: Path, run: Run, quote: str) -> None:
    code, out, _ = run("show", quote)
    assert code == 0
    path = tmp_path / "shown.json"
    path.write_text(out.replace("Small plywood camper", "Large plywood camper"), "utf-8")
    assert main(["quote", str(path)]) == 0
    assert run("replace", quote, path, "--revision", "2")[0] == 2
    code, out, err = run("replace", quote, path, "--revision", "1")
    assert code == 0, err
    assert "Kept as revision 2" in out
    assert "The quote is the same already, at revision 2." in run("replace", quote, path)[1]
    assert "Large" in run("list")[1]
    assert "Small" in run("show", quote, "--revision", "1")[1]


def test_faults_are_told(tmp_path: Path, run: Run, quote: str) -> None:
    code, _, err = run("accept", quote, "--by", "A. Customer", "--on", "2026-07-01")
    assert code == 1
    assert "accepted_on" in err
    path = tmp_path / "wrong.json"
    path.write_text('{"name": "Camper", "currency": "USD"}', "utf-8")
    code, _, err = run("add", path)
    assert code == 1
    assert "pricing" in err
