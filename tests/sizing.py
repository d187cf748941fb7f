"""The page on sizing (`api/hitchworth/guide/sizing.md`): what is measured, and the arithmetic from it toward ten million builds.

    PYTHONPATH=tests .venv/bin/python tests/sizing.py measure     writes tests/sizing.json, in about two minutes
    PYTHONPATH=tests .venv/bin/python tests/sizing.py             prints the page from it

The page has no figure of its own: a test compares it with what this prints.
"""

import platform
import sys
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time
from typing import Any

import msgspec
import psycopg

from hitchworth.demo import demo_body
from hitchworth.operations.portfolios import FileSource, read_portfolio_document, run_portfolio
from hitchworth.portfolio.changes import changes, sum_of_changes
from hitchworth.portfolio.revaluation import SourceDocument, revalue
from hitchworth.portfolio.runners import in_process
from hitchworth.portfolio.summary import summarize
from hitchworth.store import Store, open_store
from hitchworth.store.schema import migrate
from portfolio_documents import TERMS, camper, line, write_lines
from postgresql_server import SAFE, postgresql
from store_changes import change

MEASURED = Path(__file__).with_name("sizing.json")
BUILDS = 10_000_000
CORES = (2, 16, 64)
CORE_HOUR = Decimal("0.05")
"""An assumption, not a price that anybody asks: put yours in its place."""

RUNS_A_YEAR = 12
REVISIONS = 5
"""How often a kept build is changed, as assumed."""


@dataclass(frozen=True)
class Kind:
    """A kind of build that is measured."""

    name: str
    lines: int
    policies: int
    losses: int
    core_milliseconds: float
    """Processor time to revalue one: read, check, value, settle, search its limits, write."""
    document_bytes: int
    row_bytes: int
    """Of the revalued build in its piece."""


@dataclass(frozen=True)
class Measured:
    """What was measured, and on what."""

    machine: str
    python: str
    kinds: tuple[Kind, ...]
    kept_bytes: int
    """On the disk of PostgreSQL, for one kept build of the first kind with one revision: tables and their indexes."""
    revision_bytes: int
    """For each further revision of it."""
    summary_microseconds: float
    """Processor time to add one revalued build to the sums."""
    comparison_microseconds: float
    """Processor time to compare one with the run before."""


def small() -> dict[str, Any]:
    """A build of 10 lines under one policy, with a theft."""
    document = camper("Camper", limit="20000")
    part = document["build"]["components"][0]
    parts = [
        {**part, "id": f"part-{number}", "schedule": None, "price_index": "us_major_appliances"} for number in range(10)
    ]
    document["build"]["components"] = parts
    return document


def demo() -> dict[str, Any]:
    """The document of the demo."""
    document = msgspec.json.decode(demo_body(), type=dict[str, Any])
    return {name: value for name, value in document.items() if name != "as_of"}


def measure() -> Measured:
    """Measure everything. Takes about two minutes, and a PostgreSQL server of its own."""
    kinds = (_kind("ten lines", small(), 300), _kind("the demo", demo(), 30))
    rows = tuple(revalue(_documents(small(), 1), TERMS, read_portfolio_document)) * 20_000
    kept, revision = _stored(msgspec.json.encode(small()))
    return Measured(
        machine=f"{platform.machine()}, {platform.system()}",
        python=platform.python_version(),
        kinds=kinds,
        kept_bytes=kept,
        revision_bytes=revision,
        summary_microseconds=_least(lambda: summarize(rows, TERMS)) / len(rows) * 1e6,
        comparison_microseconds=_least(lambda: sum_of_changes(changes(rows, rows), TERMS)) / len(rows) * 1e6,
    )


def _kind(name: str, document: dict[str, Any], builds: int) -> Kind:
    with TemporaryDirectory() as folder:
        source = Path(folder, "source")
        write_lines(source / "a.ndjson", [line(f"{number:016x}", document) for number in range(builds)])
        runs = iter(range(100))

        def run() -> None:
            into = str(Path(folder, f"run-{next(runs)}"))
            run_portfolio(FileSource(where=str(source)), TERMS, into, in_process, lambda _: None)

        seconds = _least(run)
        written = Path(folder, "run-0", "pieces", "000000.ndjson").stat().st_size
    build = document["build"]
    return Kind(
        name=name,
        lines=len(build["components"]) + len(build.get("labor", ())),
        policies=len(document["policies"]),
        losses=len(document["losses"]),
        core_milliseconds=seconds / builds * 1000,
        document_bytes=len(msgspec.json.encode(document)),
        row_bytes=written // builds,
    )


def _documents(document: dict[str, Any], count: int) -> Iterable[SourceDocument]:
    body = msgspec.json.encode(document)
    return (SourceDocument(f"{number:016x}", body) for number in range(count))


def _least(work: Callable[[], object], times: int = 3) -> float:
    """Return the least processor time of several runs, in seconds; the first warms up."""
    found = []
    for _ in range(times + 1):
        begin = process_time()
        work()
        found.append(process_time() - begin)
    return min(found[1:])


def _stored(body: bytes, builds: int = 2000) -> tuple[int, int]:
    """Return what a kept build takes on the disk with one revision, and what each further one takes."""
    with postgresql(SAFE) as address:
        migrate(address)
        store = open_store(address)
        sizes = [_size(address)]
        for _ in range(2):
            _write(store, body, builds)
            sizes.append(_size(address))
        store.close()
    return (sizes[1] - sizes[0]) // builds, (sizes[2] - sizes[1]) // builds


def _write(store: Store, body: bytes, builds: int) -> None:
    """Keep so many builds, or change each that is kept."""
    kept = store.builds.ids("default")
    if not kept:
        for _ in range(builds):
            store.builds.create("default", change(body))
    for number, each in enumerate(kept):
        store.builds.change("default", store.builds.present("default", each), change(body + b" " * (number % 7)))


def _size(address: str) -> int:
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute("VACUUM ANALYZE")
        found = connection.execute("SELECT sum(pg_total_relation_size(relid)) FROM pg_stat_user_tables").fetchone()
    return int(found[0]) if found else 0


def page(measured: Measured) -> str:
    """Return the page: every figure computed from what was measured and from the assumptions above."""
    return "\n".join((_opening(measured), *map(_section, measured.kinds), _keeping(measured), _closing(measured)))


def _opening(measured: Measured) -> str:
    rows = "\n".join(
        f"| {kind.name} | {kind.lines} | {kind.policies} × {kind.losses} | {kind.core_milliseconds:.2f} ms "
        f"| {per_hour(kind):,} | {kind.document_bytes:,} | {kind.row_bytes:,} |"
        for kind in measured.kinds
    )
    return f"""# Sizing: toward ten million builds

How many cores, how much disk and how much time you need to [revalue](portfolio.md) ten million builds. Every figure is
computed from what was measured with Python {measured.python} on {measured.machine}, a machine that others shared. To measure on yours, in
the source: `PYTHONPATH=tests .venv/bin/python tests/sizing.py measure`, and then
`PYTHONPATH=tests .venv/bin/python tests/sizing.py > api/hitchworth/guide/sizing.md`.

## Measured

Processor time of one core to revalue one build with `hitchworth portfolio revalue`: to read and check its document, value
it, settle each loss under each policy, search every policy's limit over a year back and a year ahead, and write the
result.

| Build | Lines | Policies × losses | Time for a build | Builds per core and hour | Bytes of a document | Bytes of a result |
|---|---|---|---|---|---|---|
{rows}

## Ten million builds

The pieces do not wait for each other. So the time of a run is the processor time divided by the cores, if source and disk
keep up: the last column says how much they have to read.
"""


def _section(kind: Kind) -> str:
    hours = core_hours(kind)
    rows = "\n".join(
        f"| {cores} | {hours:,.0f} h / {cores} = {duration(hours / cores)} "
        f"| {kind.document_bytes * rate(kind, cores) / 1e6:,.2f} MB/s |"
        for cores in CORES
    )
    cost = hours * float(CORE_HOUR)
    return f"""**As {kind.name}** ({kind.lines} lines): {BUILDS:,} × {kind.core_milliseconds:.2f} ms = {hours:,.0f} core hours a run.

| Cores | Time of a run | Documents read |
|---|---|---|
{rows}

- Cost: {hours:,.0f} core hours × {CORE_HOUR} (an assumed price of a core hour; use yours) = {cost:,.0f} a run;
  × {RUNS_A_YEAR} runs = {cost * RUNS_A_YEAR:,.0f} a year.
- Storage: {BUILDS:,} × {kind.document_bytes:,} bytes = {gigabytes(BUILDS * kind.document_bytes)} of documents, and
  {BUILDS:,} × {kind.row_bytes:,} bytes = {gigabytes(BUILDS * kind.row_bytes)} of results a run.
"""


def _keeping(measured: Measured) -> str:
    whole = measured.kept_bytes + (REVISIONS - 1) * measured.revision_bytes
    plain = measured.kinds[0].document_bytes
    return f"""## Keeping them

One kept build of {measured.kinds[0].lines} lines takes {measured.kept_bytes:,} bytes on the disk of PostgreSQL, tables and indexes
together, and each further revision {measured.revision_bytes:,}: nothing is overwritten. With {REVISIONS} revisions each (an assumption):
{measured.kept_bytes:,} + {REVISIONS - 1} × {measured.revision_bytes:,} = {whole:,} bytes a build, × {BUILDS:,} = {gigabytes(BUILDS * whole)}. PostgreSQL
compresses documents, and the lines of this one are alike, so real ones take more: not compressed, {REVISIONS} × {plain:,} bytes,
× {BUILDS:,} = {gigabytes(BUILDS * REVISIONS * plain)}. Add the size of the photos and papers.
"""


def _closing(measured: Measured) -> str:
    adding = BUILDS * measured.summary_microseconds / 1e6
    comparing = BUILDS * measured.comparison_microseconds / 1e6
    return f"""## The part that runs on one core

One core adds up the results and compares them with the run before, in one pass: {BUILDS:,} ×
{measured.summary_microseconds:.1f} µs = {duration(adding / 3600)} and {BUILDS:,} × {measured.comparison_microseconds:.1f} µs = {duration(comparing / 3600)}, without reading.
It needs about 40 bytes of memory for each build ({gigabytes(BUILDS * 40)}), and more for builds in another order than in the run before.
"""


def per_hour(kind: Kind) -> int:
    """Return how many builds a core revalues in an hour, to the nearest hundred below."""
    return int(3_600_000 / kind.core_milliseconds) // 100 * 100


def core_hours(kind: Kind) -> float:
    """Return the core hours of a run over all builds."""
    return BUILDS * kind.core_milliseconds / 3_600_000


def rate(kind: Kind, cores: int) -> float:
    """Return how many builds so many cores revalue in a second."""
    return cores * 1000 / kind.core_milliseconds


def duration(hours: float) -> str:
    """Return a time in the unit that suits it."""
    if hours >= 48:
        return f"{hours / 24:,.1f} days"
    if hours >= 1:
        return f"{hours:,.1f} h"
    return f"{hours * 60:,.1f} min"


def gigabytes(count: float) -> str:
    """Return bytes in gigabytes of 10**9."""
    return f"{count / 1e9:,.1f} GB"


def read_measured() -> Measured:
    """Return what was measured last."""
    return msgspec.json.decode(MEASURED.read_bytes(), type=Measured)


if __name__ == "__main__":
    if sys.argv[1:] == ["measure"]:
        MEASURED.write_bytes(msgspec.json.format(msgspec.json.encode(asdict(measure()))) + b"\n")
    else:
        print(page(read_measured()), end="")
