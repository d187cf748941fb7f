"""`hitchworth portfolio`: runs, their tables, and what is refused."""

import csv
import sys
from decimal import Decimal
from pathlib import Path

import msgspec
import polars
import pytest

from hitchworth.cli import main
from hitchworth.store import open_store
from portfolio_documents import camper, folder_of, line, write_lines
from store_changes import change

DAY = ("--as-of", "2026-11-28", "--processes", "1")


def revalue(*arguments: str) -> int:
    return main(["portfolio", "revalue", *arguments])


@pytest.fixture
def source(tmp_path: Path) -> str:
    """Two builds."""
    write_lines(tmp_path / "in" / "a.ndjson", [line("a", camper("A", limit="900")), line("b", camper("B"))])
    return str(tmp_path / "in")


def test_the_sums_are_printed_and_kept(source: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert revalue(source, "--into", str(tmp_path / "run"), *DAY, "--format", "json") == 0
    printed = msgspec.json.decode(capsys.readouterr().out)
    assert printed["summary"] == msgspec.json.decode((tmp_path / "run" / "summary.json").read_bytes())
    assert printed["summary"]["sums"][0]["replacement_cost"] == "2000.00"
    assert revalue(source, "--into", str(tmp_path / "run")) == 0  # the date is that of the run
    assert "2,000.00" in capsys.readouterr().out


def test_a_table_in_each_format(source: str, tmp_path: Path) -> None:
    for ending in ("csv", "ndjson", "parquet"):
        assert revalue(source, "--into", str(tmp_path / "run"), *DAY, "-o", str(tmp_path / f"out.{ending}")) == 0
    with (tmp_path / "out.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    lines = [msgspec.json.decode(each) for each in (tmp_path / "out.ndjson").read_bytes().splitlines()]
    frame = polars.read_parquet(tmp_path / "out.parquet")
    assert [row["limit_state"] for row in rows] == [each["limit_state"] for each in lines] == ["exceeded", "outgrown"]
    assert [row["gap"] for row in rows] == [each["gap"] for each in lines] == ["350.00", "250.00"]
    assert frame["gap"].to_list() == [Decimal("350.00"), Decimal("250.00")]
    assert [str(day) for day in frame["limit_since"]] == [each["limit_since"] for each in lines]
    assert frame.columns == list(rows[0])


def test_two_runs_are_compared(source: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before, after, out = (str(tmp_path / name) for name in ("before", "after", "changed.ndjson"))
    assert revalue(source, "--into", before, *DAY) == 0
    later = ("--as-of", "2027-03-01", "--processes", "1")
    assert revalue(source, "--into", after, *later, "--since", before) == 0
    assert "+1,000.00" in capsys.readouterr().out
    assert main(["portfolio", "compare", before, after, "-o", out]) == 0
    assert [msgspec.json.decode(each)["id"] for each in Path(out).read_bytes().splitlines()] == ["a", "b"]


def test_kept_builds_of_a_database(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = str(tmp_path / "builds.db")
    store = open_store(where)
    store.builds.create("default", change(msgspec.json.encode(camper("A"))))
    store.close()
    assert revalue("--database", where, "--into", str(tmp_path / "run"), *DAY) == 0
    assert "1,000.00" in capsys.readouterr().out
    assert revalue("--database", where, "--workspace", "none", "--into", str(tmp_path / "other"), *DAY) == 2


def test_builds_without_figures_are_faults(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert revalue(folder_of(tmp_path / "in", 1, 1), "--into", str(tmp_path / "run"), *DAY) == 1
    assert "1 of 2 builds have no figures" in capsys.readouterr().err
    (tmp_path / "empty").mkdir()
    assert revalue(str(tmp_path / "empty"), "--into", str(tmp_path / "other"), *DAY) == 1


def test_what_cannot_be_done_is_told(source: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run = str(tmp_path / "run")
    assert revalue(source, "--into", run, *DAY) == 0
    for wrong, told in (
        ((source, "--into", run, "--as-of", "2027-01-01"), "another source or date"),
        ((str(tmp_path / "none"), "--into", str(tmp_path / "x")), "there is no folder"),
        ((source, "--into", run, "--since", source), "there is no run"),
        ((source, "--into", run, "-o", str(tmp_path / "out.txt")), "ends in none of"),
    ):
        assert revalue(*wrong) == 2, wrong
        assert told in capsys.readouterr().err


@pytest.mark.parametrize("option", ["--processes", "--horizon-days"])
def test_numbers_have_bounds(option: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        revalue("source", "--into", "run", option, "99999")
    assert f"{option}: 99999 is invalid" in capsys.readouterr().err


def test_a_missing_extra_is_named(
    source: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    assert revalue(source, "--into", str(tmp_path / "run"), "--as-of", "2026-11-28", "--dask") == 2
    assert "install hitchworth[dask]" in capsys.readouterr().err
