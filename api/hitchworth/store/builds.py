"""Kept builds and their revisions. A build is never overwritten: each change adds a revision."""

from collections.abc import Callable, Iterator
from datetime import datetime
from secrets import token_hex
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict
from sqlalchemy import (
    ColumnElement,
    Connection,
    Row,
    and_,
    insert,
    literal,
    select,
    tuple_,
    update,
)

from hitchworth.model.kept import BuildEntry, BuildSort, Revision, RevisionAction
from hitchworth.store import idempotency, outbox, tables
from hitchworth.store.chain import Chain, KeptDocument, chained, checked
from hitchworth.store.database import Database
from hitchworth.store.errors import DamagedError, NotKeptError, StaleError
from hitchworth.store.idempotency import Claim, Done

Clock = Callable[[], datetime]

_COLUMNS = [tables.revisions.c[name] for name in Revision.__struct_fields__]
_ENTRY_COLUMNS = [tables.builds.c[name] for name in BuildEntry.__struct_fields__]


class Change(Struct, frozen=True, kw_only=True):
    """A document to keep: who wants it kept and why, and by what its build is found in a list."""

    action: RevisionAction
    actor: str
    message: str | None
    format: int
    body: bytes
    name: str
    jurisdiction: str | None
    registered_class: str | None
    claim: Claim | None = None
    """The idempotency key of the request."""


class BuildQuery(Struct, frozen=True, kw_only=True):
    """Which builds to list, in which order, and from where on."""

    name: str | None = None
    """A part of the name, without regard to case."""
    jurisdiction: str | None = None
    registered_class: str | None = None
    updated_since: datetime | None = None
    trashed: bool = False
    sort: BuildSort = "-updated_at"
    after: tuple[str | datetime, str] | None = None
    """The key in the order (a time, or a name without case) and the id of the last build of the page before."""
    limit: int = 50


class Builds:
    """The builds of every workspace. Each method takes the workspace, and sees no other."""

    def __init__(self, database: Database, clock: Clock, new_id: Callable[[], str] = lambda: token_hex(8)) -> None:
        self._database = database
        self._clock = clock
        self._new_id = new_id

    def create(self, workspace: str, change: Change) -> Revision:
        """Keep a new build. Raises KeyReusedError."""
        with self._database.writing() as connection:
            at = self._clock()
            if change.claim and (done := idempotency.take(connection, workspace, change.claim, at)):
                return _revision(connection, workspace, done.made, done.revision)
            revision = _first(self._new_id(), change, at)
            connection.execute(
                insert(tables.builds).values(
                    id=revision.build, workspace=workspace, created_at=at, **_present(revision, change, None)
                )
            )
            _add(connection, workspace, revision, change)
            outbox.announce(connection, workspace, revision, change.name, self._new_id)
            return revision

    def change(self, workspace: str, seen: Revision, change: Change) -> Revision:
        """Make the next revision of a build, if the one that was seen is still the present one.

        Raises StaleError when it is not, KeyReusedError, and NotKeptError.
        """
        with self._database.writing() as connection:
            at = self._clock()
            if change.claim and (done := idempotency.take(connection, workspace, change.claim, at)):
                return _revision(connection, workspace, done.made, done.revision)
            revision = _next(seen, change, at)
            trashed_at = at if change.action == "trashed" else None
            changed = connection.execute(
                update(tables.builds)
                .where(_is(workspace, seen.build), tables.builds.c.digest == seen.digest)
                .values(**_present(revision, change, trashed_at))
            )
            if changed.rowcount != 1:
                raise StaleError(_revision(connection, workspace, seen.build, None))
            _add(connection, workspace, revision, change)
            outbox.announce(connection, workspace, revision, change.name, self._new_id)
            return revision

    def made_before(self, workspace: str, claim: Claim) -> Revision | None:
        """Return the revision that an earlier request under the key has made. Raises KeyReusedError."""
        with self._database.reading() as connection:
            done = idempotency.made(connection, workspace, claim, self._clock())
            return None if done is None else _revision(connection, workspace, done.made, done.revision)

    def entry(self, workspace: str, build: str) -> BuildEntry:
        """Return a build without its document. Raises NotKeptError."""
        with self._database.reading() as connection:
            return _entry(connection, workspace, build)

    def present(self, workspace: str, build: str) -> Revision:
        """Return the present revision of a build. Raises NotKeptError."""
        with self._database.reading() as connection:
            return _revision(connection, workspace, build, None)

    def read(self, workspace: str, build: str, revision: int | None = None) -> tuple[BuildEntry, KeptDocument]:
        """Return a build and one of its documents, the present one unless a revision is given. Raises NotKeptError."""
        with self._database.reading() as connection:
            entry = _entry(connection, workspace, build)
            number = entry.revision if revision is None else revision
            found = connection.execute(
                select(*_COLUMNS, tables.revisions.c.body).where(_numbered(build, number))
            ).one_or_none()
            if found is None:
                raise NotKeptError(f"the build has no revision {number}; the present one is {entry.revision}")
            return entry, _document(found)

    def list(self, workspace: str, query: BuildQuery) -> tuple[BuildEntry, ...]:
        """Return the builds that fit, in order; one more than the limit where there are more."""
        key, descending = _sort_key(query.sort)
        order = [column.desc() if descending else column.asc() for column in (key, tables.builds.c.id)]
        statement = select(*_ENTRY_COLUMNS).where(*_conditions(workspace, query)).order_by(*order)
        with self._database.reading() as connection:
            rows = connection.execute(statement.limit(query.limit + 1))
            return tuple(tables.read_record(BuildEntry, row) for row in rows)

    def ids(self, workspace: str) -> tuple[str, ...]:
        """Return the ids of all builds of a workspace, also of those in the trash, the oldest first."""
        columns = tables.builds.c
        statement = select(columns.id).where(columns.workspace == workspace).order_by(columns.created_at, columns.id)
        with self._database.reading() as connection:
            return tuple(connection.scalars(statement))

    def revisions(self, workspace: str, build: str, before: int | None, limit: int) -> tuple[Revision, ...]:
        """Return the revisions of a build, the newest first; one more than the limit where there are more."""
        columns = tables.revisions.c
        statement = select(*_COLUMNS).where(columns.build == build).order_by(columns.revision.desc()).limit(limit + 1)
        if before is not None:
            statement = statement.where(columns.revision < before)
        with self._database.reading() as connection:
            _entry(connection, workspace, build)
            return tuple(tables.read_record(Revision, row) for row in connection.execute(statement))

    def history(self, workspace: str, build: str) -> Iterator[KeptDocument]:
        """Yield every revision of a build with its document, the oldest first. Raises NotKeptError."""
        with self._database.reading() as connection:
            _entry(connection, workspace, build)
            yield from _history(connection, build)

    def verify(self, workspace: str, build: str, look: Callable[[KeptDocument], None] = lambda _: None) -> Chain:
        """Return how far the history of a build is as it was written; `look` sees each revision that fits, in order.

        Raises NotKeptError, and DamagedError when the build itself, beside its history, cannot be read.
        """
        with self._database.reading() as connection:
            return checked(_entry(connection, workspace, build), _history(connection, build), look)


def _is(workspace: str, build: str) -> ColumnElement[bool]:
    """The condition that every access to a single build goes through."""
    return and_(tables.builds.c.workspace == workspace, tables.builds.c.id == build)


def _numbered(build: str, revision: int) -> ColumnElement[bool]:
    return and_(tables.revisions.c.build == build, tables.revisions.c.revision == revision)


def _entry(connection: Connection, workspace: str, build: str) -> BuildEntry:
    found = connection.execute(select(*_ENTRY_COLUMNS).where(_is(workspace, build))).one_or_none()
    if found is None:
        raise NotKeptError("there is no such build")
    return tables.read_record(BuildEntry, found)


def _revision(connection: Connection, workspace: str, build: str, revision: int | None) -> Revision:
    """Return a revision, the present one where none is named. Raises NotKeptError."""
    number = _entry(connection, workspace, build).revision if revision is None else revision
    found = connection.execute(select(*_COLUMNS).where(_numbered(build, number))).one_or_none()
    if found is None:
        raise NotKeptError(f"the build has no revision {number}")
    return tables.read_record(Revision, found)


def _history(connection: Connection, build: str) -> Iterator[KeptDocument]:
    columns = tables.revisions.c
    statement = select(*_COLUMNS, columns.body).where(columns.build == build).order_by(columns.revision)
    for row in connection.execute(statement, execution_options={"yield_per": 20}):
        yield _document(row)


def _document(row: Row[*tuple[Any, ...]]) -> KeptDocument:
    revision = tables.read_record(Revision, row)
    if not isinstance(row.body, bytes):
        which = f"revision {revision.revision} of the build {revision.build}"
        raise DamagedError(f"{which} does not fit: its document has been altered and cannot be read")
    return KeptDocument(revision, row.body)


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
    """Return the columns of a build that change with a revision."""
    return {
        "revision": revision.revision,
        "digest": revision.digest,
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


def _conditions(workspace: str, query: BuildQuery) -> Iterator[ColumnElement[bool]]:
    columns = tables.builds.c
    yield columns.workspace == workspace
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
