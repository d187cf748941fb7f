"""Portfolios: the kept builds of a workspace revalued in one answer, or any number of documents piece by piece.

The docstrings of the functions are the descriptions of the API.
"""

from collections.abc import Callable, Iterable, Iterator
from contextlib import closing
from datetime import UTC, date, datetime, time, timedelta
from typing import Annotated, TypeAlias

import msgspec
from msgspec import Meta, Struct

from hitchworth import validation
from hitchworth.model.caller import Caller
from hitchworth.model.fault import Fault
from hitchworth.model.portfolio import (
    CoveredBasis,
    HorizonDays,
    Portfolio,
    PortfolioChanges,
    PortfolioSummary,
    RevaluationChange,
    RevaluationTerms,
    RevaluedBuild,
)
from hitchworth.model.request import GapRequest
from hitchworth.operations.clock import today
from hitchworth.operations.kept_appraisals import AsOf
from hitchworth.operations.requests import read_request
from hitchworth.portfolio.changes import changes, is_change, sum_of_changes
from hitchworth.portfolio.files import FilePiece, documents_of, file_pieces
from hitchworth.portfolio.revaluation import SourceDocument, revalue
from hitchworth.portfolio.runners import Runner
from hitchworth.portfolio.runs import KeptPiece, Piece, Plan, Run, begin, keep_piece
from hitchworth.portfolio.summary import summarize
from hitchworth.store import Store, open_store
from hitchworth.store.chain import KeptDocument

PORTFOLIO = "/v1/portfolio"

MAX_BUILDS = 200
"""In one answer: each takes as long as its settlements and a value curve for each policy."""

_BUILDS_A_PIECE = 1000
_HEX = "0123456789abcdef"


class PortfolioTerms(Struct, frozen=True, kw_only=True):
    """As of when kept builds are revalued, how far ahead limits are looked at, and what they are compared with."""

    as_of: AsOf = None
    horizon_days: HorizonDays = 365
    basis: CoveredBasis = None
    since: Annotated[
        date | None,
        Meta(
            description="What changed since this day, at the latest `as_of`: the builds are compared with what was "
            "kept at its end, in UTC, valued as of it. Null: nothing is compared.",
            examples=[date(2026, 6, 1)],
        ),
    ] = None


def get_portfolio(store: Store, caller: Caller, terms: PortfolioTerms) -> Portfolio:
    """Revalue all kept builds.

    Of each build that is not in the trash: its replacement cost, its actual cash value, its greatest gap, and the
    limits that do not cover the value or will be outgrown on a day of the horizon; then their sums by currency, how the
    gaps are spread, and what changed since a day. A workspace with more than 200 builds is revalued by
    `hitchworth portfolio`.
    """
    now = RevaluationTerms(as_of=terms.as_of or today(), horizon_days=terms.horizon_days, basis=terms.basis)
    _require_before(terms.since, now.as_of)
    builds = _kept(store, caller.workspace, now, None)
    before: tuple[RevaluedBuild, ...] = ()
    compared: PortfolioChanges | None = None
    changed: tuple[RevaluationChange, ...] = ()
    if terms.since is not None:
        then = msgspec.structs.replace(now, as_of=terms.since)
        before = _kept(store, caller.workspace, then, _end_of(terms.since))
        found = tuple(changes(before, builds))
        compared, changed = sum_of_changes(found, then), tuple(filter(is_change, found))
    return Portfolio(summary=summarize(builds, now), builds=builds, changes=compared, changed=changed)


def _kept(store: Store, workspace: str, terms: RevaluationTerms, at: datetime | None) -> tuple[RevaluedBuild, ...]:
    """Return the kept builds, revalued. Raises InvalidInputError where there are too many."""
    if store.builds.count(workspace, at) > MAX_BUILDS:
        fault = Fault(
            pointer="",
            detail="The workspace keeps more builds than one answer takes",
            expected=f"at most {MAX_BUILDS} builds; `hitchworth portfolio` revalues any number",
            found=f"more than {MAX_BUILDS}",
        )
        raise validation.InvalidInputError([fault])
    documents = map(_source_document, store.builds.documents(workspace, at=at))
    return tuple(revalue(documents, terms, read_portfolio_document))


def _require_before(since: date | None, as_of: date) -> None:
    """Raise InvalidInputError where the builds would be compared with a later day."""
    if since is not None and since > as_of:
        fault = Fault(
            pointer="/since",
            detail="After the day as of which the builds are revalued",
            expected=f"{as_of.isoformat()} or earlier",
            found=since.isoformat(),
        )
        raise validation.InvalidInputError([fault])


def _end_of(day: date) -> datetime:
    """Return the last moment of a day in UTC; of the last day of the calendar, its beginning."""
    begin = datetime.combine(day, time(), UTC)
    return begin if day == date.max else begin + timedelta(days=1, microseconds=-1)


def _source_document(kept: KeptDocument) -> SourceDocument:
    return SourceDocument(kept.revision.build, kept.body)


def read_portfolio_document(body: bytes) -> GapRequest:
    """Read a document as the gap statement takes it. Raises MalformedBodyError and InvalidInputError."""
    return read_request(body, GapRequest)


class FileSource(Struct, frozen=True, kw_only=True, tag="files"):
    """The documents in the files of a folder or an object store."""

    where: str

    @property
    def name(self) -> str:
        """What a plan calls it."""
        return self.where


class KeptSource(Struct, frozen=True, kw_only=True, tag="kept"):
    """The kept builds of a workspace."""

    database: str
    """A path, or an address that may have a password: no plan has it."""
    workspace: str

    @property
    def name(self) -> str:
        """What a plan calls it."""
        return f"workspace {self.workspace}"


PortfolioSource: TypeAlias = FileSource | KeptSource


class Task(Struct, frozen=True, kw_only=True):
    """A piece to revalue: whoever does it reads it from the source, and writes it into the place of the run."""

    source: PortfolioSource
    terms: RevaluationTerms
    piece: Piece
    number: int
    into: str


class Progress(Struct, frozen=True, kw_only=True):
    """How far a run is."""

    pieces_done: int
    pieces: int
    builds_done: int
    """In this process, not those that were there when the run was taken up."""


def run_portfolio(
    source: PortfolioSource, terms: RevaluationTerms, into: str, runner: Runner, tell: Callable[[Progress], object]
) -> Run:
    """Revalue every document of a source, piece by piece; pieces that are there already are not done again.

    tell: hears of every piece that is done. Raises OtherPlanError where the place has another run, PlaceError and
    StoreError where source or place cannot be used.
    """
    run = begin(into, Plan(source=source.name, terms=terms, pieces=tuple(_pieces(source))))
    missing = run.missing()
    pieces = run.plan.pieces
    tasks = [Task(source=source, terms=terms, piece=pieces[number], number=number, into=into) for number in missing]
    builds, done = 0, len(pieces) - len(missing)
    tell(Progress(pieces_done=done, pieces=len(pieces), builds_done=0))
    if not tasks:
        return run
    with closing(runner(revalue_piece, tasks)) as counts:
        for count in counts:
            builds, done = builds + count, done + 1
            tell(Progress(pieces_done=done, pieces=len(pieces), builds_done=builds))
    return run


def revalue_piece(task: Task) -> int:
    """Revalue a piece, write it, and return how many builds it has: what a runner runs, wherever it does."""
    builds = tuple(revalue(_documents(task), task.terms, read_portfolio_document))
    keep_piece(task.into, task.number, builds)
    return len(builds)


def summarize_run(run: Run) -> PortfolioSummary:
    """Write the sums of a run beside it (`summary.json`), and return them."""
    summary = summarize(run.builds(), run.plan.terms)
    run.write("summary.json", msgspec.json.format(msgspec.json.encode(summary)))
    return summary


def compare_runs(before: Run, after: Run) -> tuple[PortfolioChanges, Iterator[RevaluationChange]]:
    """Write what changed between two runs beside the later (`changes.json`), and return it, in sum and build by build.

    The builds are read again as they are iterated over; those that are what they were are left out.
    """
    found = sum_of_changes(changes(before.builds(), after.builds()), before.plan.terms)
    after.write("changes.json", msgspec.json.format(msgspec.json.encode(found)))
    return found, filter(is_change, changes(before.builds(), after.builds()))


def _pieces(source: PortfolioSource) -> Iterable[Piece]:
    match source:
        case FileSource(where=where):
            return file_pieces(where)
        case KeptSource(database=database, workspace=workspace):
            with closing(open_store(database)) as store:
                store.workspaces.read(workspace)
                return kept_pieces(store.builds.count(workspace))


def kept_pieces(count: int) -> Iterator[KeptPiece]:
    """Yield beginnings of ids, so long that at most about a thousand have each: an id is random hexadecimal digits."""
    prefixes = [""]
    while count > _BUILDS_A_PIECE * len(prefixes):
        prefixes = [prefix + digit for prefix in prefixes for digit in _HEX]
    yield from (KeptPiece(prefix=prefix) for prefix in prefixes)


def _documents(task: Task) -> Iterator[SourceDocument]:
    match task.source, task.piece:
        case FileSource(where=where), FilePiece() as piece:
            yield from documents_of(where, piece)
        case KeptSource(database=database, workspace=workspace), KeptPiece(prefix=prefix):
            with closing(open_store(database)) as store:
                yield from map(_source_document, store.builds.documents(workspace, prefix))
