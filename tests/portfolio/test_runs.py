"""Runs: the same bytes whatever runs them, taken up again where they were left."""

import subprocess
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import httpx2
import msgspec
import obstore
import pytest
from msgspec.structs import replace

from hitchworth.model.portfolio import PortfolioSummary
from hitchworth.operations.portfolios import (
    FileSource,
    KeptSource,
    Progress,
    compare_runs,
    kept_pieces,
    run_portfolio,
    summarize_run,
)
from hitchworth.portfolio import runs
from hitchworth.portfolio.places import PlaceError, open_place
from hitchworth.portfolio.runners import Runner, in_pool, in_process, on_dask
from hitchworth.portfolio.runs import OtherPlanError, Plan, Run
from hitchworth.store import Store
from portfolio_documents import TERMS, camper, folder_of, line, write_lines
from store_changes import change


def run(source: str, into: Path | str, runner: Runner = in_process, terms: Any = TERMS) -> tuple[Run, list[Progress]]:
    told: list[Progress] = []
    return run_portfolio(FileSource(where=source), terms, str(into), runner, told.append), told


def content(place: Path) -> dict[str, bytes]:
    return {path.relative_to(place).as_posix(): path.read_bytes() for path in place.rglob("*") if path.is_file()}


def test_every_runner_writes_the_same_bytes(tmp_path: Path) -> None:
    source = folder_of(tmp_path / "source")
    written = []
    for name, runner in {"here": in_process, "pool": in_pool(2), "dask": on_dask(workers=2)}.items():
        done, _ = run(source, tmp_path / name, runner)
        summarize_run(done)
        written.append(content(tmp_path / name))
    assert written[0] == written[1] == written[2]
    assert sorted(written[0]) == ["pieces/000000.ndjson", "pieces/000001.ndjson", "pieces/000002.ndjson", *FILES]
    summary = msgspec.json.decode(written[0]["summary.json"], type=PortfolioSummary)
    assert (summary.builds, summary.unreadable) == (15, 3)
    assert summary.sums[0].replacement_cost == 3 * (900 + 1000 + 1100 + 1200)
    assert summary.sums[0].limits_outgrown == 12  # all cost 500 more from March on, and no limit is above 1,200


FILES = ("plan.json", "summary.json")


def test_what_is_done_is_not_done_again(tmp_path: Path) -> None:
    source, place = folder_of(tmp_path / "source"), tmp_path / "run"
    run(source, place)
    whole = content(place)
    (place / "pieces" / "000001.ndjson").unlink()
    _, told = run(source, place)
    assert [(each.pieces_done, each.pieces, each.builds_done) for each in told] == [(2, 3, 0), (3, 3, 5)]
    assert content(place) == whole
    assert run(source, place)[1] == [Progress(pieces_done=3, pieces=3, builds_done=0)]


@pytest.mark.parametrize("runner", [in_process, in_pool(1)], ids=["here", "pool"])
def test_a_run_that_is_stopped_keeps_what_is_done_and_is_taken_up(tmp_path: Path, runner: Runner) -> None:
    source, place = folder_of(tmp_path / "source", files=40, builds=1), tmp_path / "run"

    def stop(progress: Progress) -> None:
        if progress.pieces_done:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_portfolio(FileSource(where=source), TERMS, str(place), runner, stop)
    assert 1 <= len(list((place / "pieces").iterdir())) < 40
    with pytest.raises(PlaceError, match="is not finished"):
        runs.opened(str(place))
    run(source, place, runner)
    run(source, tmp_path / "other")
    assert content(place) == content(tmp_path / "other")


def test_a_place_has_one_run(tmp_path: Path) -> None:
    source, place = folder_of(tmp_path / "source"), tmp_path / "run"
    run(source, place)
    for terms in (replace(TERMS, as_of=date(2027, 1, 1)), replace(TERMS, horizon_days=1)):
        with pytest.raises(OtherPlanError):
            run(source, place, terms=terms)
    with pytest.raises(OtherPlanError):
        run(folder_of(tmp_path / "another"), place)
    write_lines(tmp_path / "source" / "part-0.ndjson", [line("a", camper("A"))])
    with pytest.raises(OtherPlanError):
        run(source, place)
    assert runs.terms_of(str(place)) == TERMS
    assert runs.terms_of(str(tmp_path / "none")) is None


def test_kept_builds_are_revalued_from_their_database(where: str, store: Store, tmp_path: Path) -> None:
    store.workspaces.create("shop")
    for number in range(6):
        body = msgspec.json.encode(camper(f"Camper {number}"))
        store.builds.create("shop" if number else "default", change(body))
    trashed = store.builds.present("shop", store.builds.ids("shop")[0])
    store.builds.change("shop", trashed, change(msgspec.json.encode(camper("Camper 1")), action="trashed"))
    source = KeptSource(database=where, workspace="shop")
    done = run_portfolio(source, TERMS, str(tmp_path / "run"), in_process, lambda _: None)
    assert [build.id for build in done.builds()] == sorted(set(store.builds.ids("shop")) - {trashed.build})
    assert all(build.replacement_cost == 1000 for build in done.builds())
    assert where not in (tmp_path / "run" / "plan.json").read_text()  # it may have a password


def test_a_piece_of_kept_builds_has_at_most_about_a_thousand() -> None:
    for count, digits in ((0, 0), (1000, 0), (1001, 1), (16_000, 1), (16_001, 2), (10_000_000, 4)):
        prefixes = [piece.prefix for piece in kept_pieces(count)]
        assert len(prefixes) == len(set(prefixes)) == 16**digits
        assert {len(prefix) for prefix in prefixes} == {digits}


def test_a_run_of_kept_builds_is_taken_up_when_more_are_kept(store: Store, where: str, tmp_path: Path) -> None:
    plan = Plan(source="workspace default", terms=TERMS, pieces=tuple(kept_pieces(2000)))
    runs.begin(str(tmp_path), plan)
    source = KeptSource(database=where, workspace="default")
    assert len(run_portfolio(source, TERMS, str(tmp_path), in_process, lambda _: None).plan.pieces) == 16


def test_two_runs_are_compared(tmp_path: Path) -> None:
    source = folder_of(tmp_path / "source")
    before, _ = run(source, tmp_path / "now")
    after, _ = run(source, tmp_path / "later", terms=replace(TERMS, as_of=date(2027, 3, 1)))
    total, changed = compare_runs(before, after)
    (dollars,) = total.sums
    assert (dollars.kind, dollars.builds, dollars.replacement_cost) == ("same_document", 12, Decimal(12 * 500))
    assert len(list(changed)) == 12
    assert (tmp_path / "later" / "changes.json").read_bytes() == msgspec.json.format(msgspec.json.encode(total))


def test_a_source_and_a_place_in_an_object_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with bucket(monkeypatch):
        source = folder_of(tmp_path / "source")
        store = open_place("s3://portfolio/in")
        for path in Path(source).iterdir():
            obstore.put(store, path.name, path.read_bytes())
        done, _ = run("s3://portfolio/in", "s3://portfolio/run", in_pool(2))
        here, _ = run(source, tmp_path / "run")
        assert list(done.builds()) == list(here.builds())
        summarize_run(done)
        assert runs.opened("s3://portfolio/run").plan.terms == TERMS


class bucket:  # noqa: N801  (used as a function)
    """A server that speaks the protocol of S3, with an empty bucket, in a process of its own."""

    PROGRAM = """
from moto.server import ThreadedMotoServer
server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
server.start()
print(server.get_host_and_port()[1], flush=True)
server._thread.join()
"""

    def __init__(self, variables: pytest.MonkeyPatch) -> None:
        self._variables = variables

    def __enter__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", self.PROGRAM], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        assert self._process.stdout is not None
        address = f"http://127.0.0.1:{self._process.stdout.readline().strip()}"
        for name, value in {
            "AWS_ENDPOINT_URL": address,
            "AWS_ALLOW_HTTP": "true",
            "AWS_ACCESS_KEY_ID": "test",
            "AWS_SECRET_ACCESS_KEY": "test",
            "AWS_REGION": "us-east-1",
        }.items():
            self._variables.setenv(name, value)
        assert httpx2.put(f"{address}/portfolio").status_code == 200

    def __exit__(self, *_: object) -> None:
        self._process.kill()
        self._process.communicate()
