"""Kept builds and quotes, and their revisions. Nothing is overwritten: each change adds a revision."""

from collections.abc import Callable, Iterator
from datetime import date, datetime
from secrets import token_hex
from typing import Any, Generic, NamedTuple, TypeVar

from msgspec import Struct
from msgspec.structs import asdict
from sqlalchemy import (
    ColumnElement,
    Connection,
    Row,
    Select,
    and_,
    func,
    insert,
    literal,
    select,
    tuple_,
    update,
)

from hitchworth.model.kept import BuildEntry, BuildSort, KeptKind, Revision, RevisionAction
from hitchworth.model.kept_quote import QuoteEntry
from hitchworth.store import idempotency, outbox, tables
from hitchworth.store.chain import Chain, KeptDocument, chained, checked, revision_name
from hitchworth.store.database import Database
from hitchworth.store.errors import DamagedError, NotKeptError, StaleError
from hitchworth.store.idempotency import Done, IdempotencyClaim

Clock = Callable[[], datetime]
Entry = TypeVar("Entry", BuildEntry, QuoteEntry)

_COLUMNS = [tables.revisions.c[name] for name in Revision.__struct_fields__]
_MADE = tables.builds.alias("made")
_MADE_BUILD = select(_MADE.c.id).where(_MADE.c.quote == tables.builds.c.id).scalar_subquery().label("made_build")


class Change(Struct, frozen=True, kw_only=True):
    """A document to keep: who wants it kept and why, and by what its build or quote is found in a list."""

    action: RevisionAction
    actor: str
    message: str | None
    format: int
    body: bytes
    name: str
    jurisdiction: str | None
    registered_class: str | None
    number: str | None = None
    valid_until: date | None = None
    accepted_on: date | None = None
    """Those of a quote."""
    claim: IdempotencyClaim | None = None
    """The idempotency key of the request."""


class BuildQuery(Struct, frozen=True, kw_only=True):
    """Which builds or quotes to list, in which order, and from where on."""

    name: str | None = None
    """A part of the name, without regard to case."""
    jurisdiction: str | None = None
    registered_class: str | None = None
    updated_since: datetime | None = None
    accepted: bool | None = None
    """Of quotes: those that are accepted, or those that are not."""
    trashed: bool = False
    sort: BuildSort = "-updated_at"
    after: tuple[str | datetime, str] | None = None
    """The key in the order (a time, or a name without case) and the id of the last build of the page before."""
    limit: int = 50


class KeptRecords(Generic[Entry]):
    """The builds, or the quotes, of every workspace. Each method takes the workspace, and sees no other."""

    kind: KeptKind
    _entry_type: type[Entry]

    def __init__(self, database: Database, clock: Clock, new_id: Callable[[], str] = lambda: token_hex(8)) -> None:
        self._database = database
        self._clock = clock
        self._new_id = new_id

    def create(self, workspace: str, change: Change) -> Revision:
        """Keep a new one. Raises KeyReusedError."""
        with self._database.writing() as connection:
            writing = Writing(connection, workspace, self._clock())
            return writing.made_before(self.kind, change) or writing.create(self.kind, self._new_id(), change)

    def change(self, workspace: str, seen: Revision, change: Change) -> Revision:
        """Make the next revision, if the one that was seen is still the present one.

        Raises StaleError when it is not, KeyReusedError, and NotKeptError.
        """
        with self._database.writing() as connection:
            writing = Writing(connection, workspace, self._clock())
            return writing.made_before(self.kind, change) or writing.change(self.kind, seen, change)

    def made_before(self, workspace: str, claim: IdempotencyClaim) -> Revision | None:
        """Return the revision that an earlier request under the key has made. Raises KeyReusedError."""
        with self._database.reading() as connection:
            done = idempotency.made(connection, workspace, claim, self._clock())
            return None if done is None else _revision_of(connection, workspace, self.kind, done.made, done.revision)

    def entry(self, workspace: str, build: str) -> Entry:
        """Return one without its document. Raises NotKeptError."""
        with self._database.reading() as connection:
            return self._entry(connection, workspace, build)

    def present(self, workspace: str, build: str) -> Revision:
        """Return the present revision. Raises NotKeptError."""
        with self._database.reading() as connection:
            return _revision_of(connection, workspace, self.kind, self._entry(connection, workspace, build).id, None)

    def read(self, workspace: str, build: str, revision: int | None = None) -> tuple[Entry, KeptDocument]:
        """Return one with one of its documents, the present one unless a revision is given. Raises NotKeptError."""
        with self._database.reading() as connection:
            entry = self._entry(connection, workspace, build)
            number = entry.revision if revision is None else revision
            found = connection.execute(
                select(*_COLUMNS, tables.revisions.c.body).where(_numbered(build, number))
            ).one_or_none()
            if found is None:
                raise NotKeptError(f"the {self.kind} has no revision {number}; the present one is {entry.revision}")
            return entry, _document(self.kind, found)

    def list(self, workspace: str, query: BuildQuery) -> tuple[Entry, ...]:
        """Return those that fit, in order; one more than the limit where there are more."""
        key, descending = _sort_key(query.sort)
        order = [column.desc() if descending else column.asc() for column in (key, tables.builds.c.id)]
        statement = select(*self._columns).where(*_conditions(workspace, self.kind, query)).order_by(*order)
        with self._database.reading() as connection:
            rows = connection.execute(statement.limit(query.limit + 1))
            return tuple(tables.read_record(self._entry_type, row) for row in rows)

    def ids(self, workspace: str) -> tuple[str, ...]:
        """Return the ids of all of a workspace, also of those in the trash, the oldest first."""
        columns = tables.builds.c
        statement = select(columns.id).where(*_all_of(workspace, self.kind)).order_by(columns.created_at, columns.id)
        with self._database.reading() as connection:
            return tuple(connection.scalars(statement))

    def documents(self, workspace: str, prefix: str = "", at: datetime | None = None) -> Iterator[KeptDocument]:
        """Yield the document of each whose id begins so and that is not in the trash, in the order of the ids.

        at: as things were at that time. None: as they are now.
        """
        with self._database.reading() as connection:
            statement = _documents(workspace, self.kind, prefix, at)
            for row in connection.execute(statement, execution_options={"yield_per": 100}):
                yield _document(self.kind, row)

    def count(self, workspace: str, at: datetime | None = None) -> int:
        """Return how many there are that are not in the trash: what `documents` yields."""
        statement = _documents(workspace, self.kind, "", at).with_only_columns(func.count()).order_by(None)
        with self._database.reading() as connection:
            return connection.scalar(statement) or 0

    def revisions(self, workspace: str, build: str, before: int | None, limit: int) -> tuple[Revision, ...]:
        """Return the revisions of one, the newest first; one more than the limit where there are more."""
        columns = tables.revisions.c
        statement = select(*_COLUMNS).where(columns.build == build).order_by(columns.revision.desc()).limit(limit + 1)
        if before is not None:
            statement = statement.where(columns.revision < before)
        with self._database.reading() as connection:
            self._entry(connection, workspace, build)
            return tuple(_revision(self.kind, row) for row in connection.execute(statement))

    def history(self, workspace: str, build: str) -> Iterator[KeptDocument]:
        """Yield every revision of one with its document, the oldest first. Raises NotKeptError."""
        with self._database.reading() as connection:
            self._entry(connection, workspace, build)
            yield from _history(connection, self.kind, build)

    def verify(self, workspace: str, build: str, look: Callable[[KeptDocument], None] = lambda _: None) -> Chain:
        """Return how far the history of one is as it was written; `look` sees each revision that fits, in order.

        Raises NotKeptError, and DamagedError when the record of it, beside its history, cannot be read.
        """
        with self._database.reading() as connection:
            entry = self._entry(connection, workspace, build)
            return checked(entry, _history(connection, self.kind, build), look)

    @property
    def _columns(self) -> Iterator[ColumnElement[Any]]:
        for name in self._entry_type.__struct_fields__:
            yield _MADE_BUILD if name == "made_build" else tables.builds.c[name]

    def _entry(self, connection: Connection, workspace: str, build: str) -> Entry:
        found = connection.execute(select(*self._columns).where(_is(workspace, self.kind, build))).one_or_none()
        if found is None:
            raise NotKeptError(f"there is no such {self.kind}")
        return tables.read_record(self._entry_type, found)


class Builds(KeptRecords[BuildEntry]):
    """The builds of every workspace."""

    kind = "build"
    _entry_type = BuildEntry


class Writing(NamedTuple):
    """A transaction that writes into a workspace."""

    connection: Connection
    workspace: str
    at: datetime

    def create(self, kind: KeptKind, new_id: str, change: Change, quote: str | None = None) -> Revision:
        """Keep a new build or quote. quote: the one that a build comes from."""
        revision = _first(new_id, change, self.at)
        columns = _present(revision, change, None) | {"kind": kind, "quote": quote, "created_at": self.at}
        self.connection.execute(insert(tables.builds).values(id=new_id, workspace=self.workspace, **columns))
        _add(self.connection, self.workspace, revision, change)
        self._announce(kind, revision, change)
        return revision

    def change(self, kind: KeptKind, seen: Revision, change: Change) -> Revision:
        """Make the next revision. Raises StaleError when the one that was seen is not the present one."""
        revision = _next(seen, change, self.at)
        trashed_at = self.at if change.action == "trashed" else None
        updated = self.connection.execute(
            update(tables.builds)
            .where(_is(self.workspace, kind, seen.build), tables.builds.c.digest == seen.digest)
            .values(**_present(revision, change, trashed_at))
        )
        if updated.rowcount != 1:
            raise StaleError(_revision_of(self.connection, self.workspace, kind, seen.build, None), kind)
        _add(self.connection, self.workspace, revision, change)
        self._announce(kind, revision, change)
        return revision

    def _announce(self, kind: KeptKind, revision: Revision, change: Change) -> None:
        if kind == "build":
            outbox.announce(self.connection, self.workspace, revision, change.name)

    def made_before(self, kind: KeptKind, change: Change) -> Revision | None:
        """Take the idempotency key of a change; where it was taken before, return what was made under it.

        Raises KeyReusedError.
        """
        done = idempotency.take(self.connection, self.workspace, change.claim, self.at) if change.claim else None
        if done is None:
            return None
        return _revision_of(self.connection, self.workspace, kind, done.made, done.revision)


def _is(workspace: str, kind: KeptKind, build: str) -> ColumnElement[bool]:
    """The condition that every access to a single build or quote goes through."""
    return and_(*_all_of(workspace, kind), tables.builds.c.id == build)


def _all_of(workspace: str, kind: KeptKind) -> tuple[ColumnElement[bool], ...]:
    return tables.builds.c.workspace == workspace, tables.builds.c.kind == kind


def _numbered(build: str, revision: int) -> ColumnElement[bool]:
    return and_(tables.revisions.c.build == build, tables.revisions.c.revision == revision)


def _revision_of(connection: Connection, workspace: str, kind: KeptKind, build: str, revision: int | None) -> Revision:
    """Return a revision of a build or quote, the present one where none is named. Raises NotKeptError."""
    columns = tables.builds.c
    owned = select(columns.revision).where(columns.workspace == workspace, columns.id == build)
    number = connection.scalar(owned) if revision is None else revision
    found = connection.execute(select(*_COLUMNS).where(_numbered(build, number or 0))).one_or_none()
    if found is None:
        raise NotKeptError(f"there is no revision {number}")
    return _revision(kind, found)


def _revision(kind: KeptKind, row: Row[*tuple[Any, ...]]) -> Revision:
    return tables.read_record(Revision, row, revision_name(kind, row.build, row.revision))


def _history(connection: Connection, kind: KeptKind, build: str) -> Iterator[KeptDocument]:
    columns = tables.revisions.c
    statement = select(*_COLUMNS, columns.body).where(columns.build == build).order_by(columns.revision)
    for row in connection.execute(statement, execution_options={"yield_per": 20}):
        yield _document(kind, row)


def _documents(workspace: str, kind: KeptKind, prefix: str, at: datetime | None) -> Select[Any]:
    """Return what selects the document of each build or quote that is not in the trash, at a time or now."""
    kept, revised = tables.builds.c, tables.revisions.c
    number: ColumnElement[int] = kept.revision
    if at is not None:
        then = tables.revisions.alias("then")
        latest = select(func.max(then.c.revision)).where(then.c.build == kept.id, then.c.at <= at)
        number = latest.correlate(tables.builds).scalar_subquery()
    joined = tables.builds.join(tables.revisions, and_(revised.build == kept.id, revised.revision == number))
    statement = select(*_COLUMNS, revised.body).select_from(joined).where(*_all_of(workspace, kind))
    if prefix:
        statement = statement.where(kept.id.startswith(prefix, autoescape=True))
    return statement.where(revised.action != "trashed").order_by(kept.id)


def _document(kind: KeptKind, row: Row[*tuple[Any, ...]]) -> KeptDocument:
    document = KeptDocument(kind, _revision(kind, row), row.body)
    if not isinstance(row.body, bytes):
        raise DamagedError(f"{document.name} does not fit: its document has been altered and cannot be read")
    return document


def _first(build: str, change: Change, at: datetime) -> Revision:
    return _chained(build, 1, "", change, at)


def _next(seen: Revision, change: Change, at: datetime) -> Revision:
    return _chained(seen.build, seen.revision + 1, seen.digest, change, at)


def _chained(build: str, number: int, previous: str, change: Change, at: datetime) -> Revision:
    revision = Revision(
        build=build,
        revision=number,
        action=change.action,
        at=at,
        actor=change.actor,
        message=change.message,
        format=change.format,
        digest="",
        previous=previous,
    )
    return chained(revision, change.body)


def _present(revision: Revision, change: Change, trashed_at: datetime | None) -> dict[str, Any]:
    """Return the columns that change with a revision."""
    return {
        "revision": revision.revision,
        "digest": revision.digest,
        "number": change.number,
        "valid_until": change.valid_until,
        "accepted_on": change.accepted_on,
        "name": change.name,
        "folded_name": change.name.casefold(),
        "jurisdiction": change.jurisdiction,
        "registered_class": change.registered_class,
        "updated_at": revision.at,
        "trashed_at": trashed_at,
    }


def _add(connection: Connection, workspace: str, revision: Revision, change: Change) -> None:
    connection.execute(insert(tables.revisions).values(**asdict(revision), body=change.body))
    if change.claim:
        idempotency.keep(connection, workspace, change.claim, Done(revision.build, revision.revision))


def _sort_key(sort: BuildSort) -> tuple[ColumnElement[Any], bool]:
    """Return the column of an order, and whether it descends."""
    name = sort.removeprefix("-")
    return tables.builds.c["folded_name" if name == "name" else name], sort.startswith("-")


def _conditions(workspace: str, kind: KeptKind, query: BuildQuery) -> Iterator[ColumnElement[bool]]:
    columns = tables.builds.c
    yield from _all_of(workspace, kind)
    if query.accepted is not None:
        yield columns.accepted_on.is_not(None) if query.accepted else columns.accepted_on.is_(None)
    yield columns.trashed_at.is_not(None) if query.trashed else columns.trashed_at.is_(None)
    if query.name is not None:
        yield columns.folded_name.contains(query.name.casefold(), autoescape=True)
    if query.jurisdiction is not None:
        yield columns.jurisdiction == query.jurisdiction
    if query.registered_class is not None:
        yield columns.registered_class == query.registered_class
    if query.updated_since is not None:
        yield columns.updated_at >= query.updated_since
    if query.after is not None:
        key, descending = _sort_key(query.sort)
        place, last = tuple_(key, columns.id), tuple_(*map(literal, query.after, (key.type, columns.id.type)))
        yield place < last if descending else place > last
