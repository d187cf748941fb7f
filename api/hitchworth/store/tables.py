"""The tables. Amounts are in no column: what is kept of a build is the bytes of its document."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any, TypeVar

import msgspec
from sqlalchemy import (
    BigInteger,
    Column,
    Dialect,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    Row,
    Table,
    Text,
    text,
)
from sqlalchemy.types import TypeDecorator

from hitchworth.store.errors import DamagedError

Record = TypeVar("Record", bound=msgspec.Struct)

PLAIN_TEXT = Text().with_variant(Text(collation="C"), "postgresql")
"""Text that is compared by its code points, on both databases."""


class Instant(TypeDecorator[datetime]):
    """A point in time, as text of one length in UTC: exact, in order, and legible."""

    impl = PLAIN_TEXT
    cache_ok = True

    def process_bind_param(self, value: datetime | None, _dialect: Dialect) -> str | None:
        if value is None:
            return None
        in_utc = value.astimezone(UTC).replace(tzinfo=None)
        return f"{in_utc.isoformat(timespec='microseconds')}Z"

    def process_result_value(self, value: str | None, _dialect: Dialect) -> Any:
        """Return the time; what is none, as it is, so that `read_record` tells which record is damaged."""
        try:
            return None if value is None else datetime.fromisoformat(value)
        except (TypeError, ValueError):
            return value


class Day(TypeDecorator[date]):
    """A date, as text."""

    impl = PLAIN_TEXT
    cache_ok = True

    def process_bind_param(self, value: date | None, _dialect: Dialect) -> str | None:
        return None if value is None else value.isoformat()

    def process_result_value(self, value: str | None, _dialect: Dialect) -> Any:
        """Return the date; what is none, as it is, so that `read_record` tells which record is damaged."""
        try:
            return None if value is None else date.fromisoformat(value)
        except (TypeError, ValueError):
            return value


class Body(TypeDecorator[bytes]):
    """The bytes of a document. What somebody has put in their place comes as it is: `read_record` refuses it."""

    impl = LargeBinary
    cache_ok = True

    def result_processor(self, _dialect: Dialect, _coltype: object) -> Callable[[Any], Any] | None:
        return None


metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)

workspaces = Table(
    "workspaces",
    metadata,
    Column("id", PLAIN_TEXT, primary_key=True),
    Column("created_at", Instant, nullable=False),
)

builds = Table(
    "builds",
    metadata,
    Column("id", PLAIN_TEXT, primary_key=True),
    Column("workspace", PLAIN_TEXT, ForeignKey("workspaces.id"), nullable=False),
    Column("kind", PLAIN_TEXT, nullable=False, server_default="build"),
    Column("quote", PLAIN_TEXT),
    Column("number", PLAIN_TEXT),
    Column("valid_until", Day),
    Column("accepted_on", Day),
    Column("revision", Integer, nullable=False),
    Column("digest", PLAIN_TEXT, nullable=False),
    Column("name", PLAIN_TEXT, nullable=False),
    Column("folded_name", PLAIN_TEXT, nullable=False),
    Column("jurisdiction", PLAIN_TEXT),
    Column("registered_class", PLAIN_TEXT),
    Column("created_at", Instant, nullable=False),
    Column("updated_at", Instant, nullable=False),
    Column("trashed_at", Instant),
    Index(None, "workspace", "updated_at", "id"),
    Index(None, "workspace", "created_at", "id"),
    Index(None, "workspace", "folded_name", "id"),
    Index(None, "quote", unique=True),
)
"""Kept builds and kept quotes, which differ in their `kind`: one history, one list of links and one log for both. A
quote has a number and days, and a build may come from a quote: one build from each."""

revisions = Table(
    "revisions",
    metadata,
    Column("build", PLAIN_TEXT, ForeignKey("builds.id"), nullable=False),
    Column("revision", Integer, nullable=False),
    Column("action", PLAIN_TEXT, nullable=False),
    Column("at", Instant, nullable=False),
    Column("actor", PLAIN_TEXT, nullable=False),
    Column("message", PLAIN_TEXT),
    Column("format", Integer, nullable=False),
    Column("body", Body, nullable=False),
    Column("digest", PLAIN_TEXT, nullable=False),
    Column("previous", PLAIN_TEXT, nullable=False),
    PrimaryKeyConstraint("build", "revision"),
)

idempotency_keys = Table(
    "idempotency_keys",
    metadata,
    Column("workspace", PLAIN_TEXT, ForeignKey("workspaces.id"), nullable=False),
    Column("actor", PLAIN_TEXT, nullable=False),
    Column("key", PLAIN_TEXT, nullable=False),
    Column("request_digest", PLAIN_TEXT, nullable=False),
    Column("at", Instant, nullable=False),
    Column("made", PLAIN_TEXT, nullable=False),
    Column("revision", Integer, nullable=False),
    PrimaryKeyConstraint("workspace", "actor", "key"),
    Index(None, "at"),
)

_IS_NEWEST = text("replaced_at IS NULL")

keys = Table(
    "keys",
    metadata,
    Column("id", PLAIN_TEXT, primary_key=True),
    Column("workspace", PLAIN_TEXT, ForeignKey("workspaces.id"), nullable=False),
    Column("name", PLAIN_TEXT, nullable=False),
    Column("scope", PLAIN_TEXT, nullable=False),
    Column("secret_digest", PLAIN_TEXT, nullable=False),
    Column("created_at", Instant, nullable=False),
    Column("created_by", PLAIN_TEXT, nullable=False),
    Column("expires_at", Instant),
    Column("revoked_at", Instant),
    Column("replaced_at", Instant),
    Index(None, "workspace", "created_at", "id"),
    Index(None, "workspace", "name", unique=True, sqlite_where=_IS_NEWEST, postgresql_where=_IS_NEWEST),
)

shares = Table(
    "shares",
    metadata,
    Column("id", PLAIN_TEXT, primary_key=True),
    Column("workspace", PLAIN_TEXT, ForeignKey("workspaces.id"), nullable=False),
    Column("build", PLAIN_TEXT, ForeignKey("builds.id"), nullable=False),
    Column("name", PLAIN_TEXT, nullable=False),
    Column("for_policy", PLAIN_TEXT),
    Column("secret_digest", PLAIN_TEXT, nullable=False),
    Column("created_at", Instant, nullable=False),
    Column("created_by", PLAIN_TEXT, nullable=False),
    Column("expires_at", Instant, nullable=False),
    Column("revoked_at", Instant),
    Index(None, "build", "created_at", "id"),
)

evidence_files = Table(
    "evidence_files",
    metadata,
    Column("workspace", PLAIN_TEXT, ForeignKey("workspaces.id"), nullable=False),
    Column("sha256", PLAIN_TEXT, nullable=False),
    Column("size", BigInteger, nullable=False),
    Column("media_type", PLAIN_TEXT, nullable=False),
    Column("added_at", Instant, nullable=False),
    PrimaryKeyConstraint("workspace", "sha256"),
)

access_log = Table(
    "access_log",
    metadata,
    Column("id", PLAIN_TEXT, primary_key=True),
    Column("workspace", PLAIN_TEXT, ForeignKey("workspaces.id"), nullable=False),
    Column("at", Instant, nullable=False),
    Column("actor", PLAIN_TEXT, nullable=False),
    Column("key", PLAIN_TEXT),
    Column("operation", PLAIN_TEXT, nullable=False),
    Column("build", PLAIN_TEXT),
    Column("quote", PLAIN_TEXT),
    Column("status", Integer, nullable=False),
    Column("request_id", PLAIN_TEXT, nullable=False),
    Index(None, "workspace", "id"),
)

webhooks = Table(
    "webhooks",
    metadata,
    Column("id", PLAIN_TEXT, primary_key=True),
    Column("workspace", PLAIN_TEXT, ForeignKey("workspaces.id"), nullable=False),
    Column("url", PLAIN_TEXT, nullable=False),
    Column("events", PLAIN_TEXT, nullable=False),
    Column("description", PLAIN_TEXT),
    Column("thresholds", PLAIN_TEXT, nullable=False),
    Column("locale", PLAIN_TEXT, nullable=False),
    Column("secret", PLAIN_TEXT, nullable=False),
    Column("old_secret", PLAIN_TEXT),
    Column("old_secret_until", Instant),
    Column("created_at", Instant, nullable=False),
    Column("created_by", PLAIN_TEXT, nullable=False),
    Column("disabled_at", Instant),
    Column("disabled_because", PLAIN_TEXT),
    Column("evaluate_at", Instant, nullable=False),
    Index(None, "workspace", "created_at", "id"),
)

webhook_messages = Table(
    "webhook_messages",
    metadata,
    Column("id", PLAIN_TEXT, primary_key=True),
    Column("workspace", PLAIN_TEXT, ForeignKey("workspaces.id"), nullable=False),
    Column("webhook", PLAIN_TEXT, ForeignKey("webhooks.id"), nullable=False),
    Column("event", PLAIN_TEXT, nullable=False),
    Column("body", PLAIN_TEXT, nullable=False),
    Column("state", PLAIN_TEXT, nullable=False),
    Column("created_at", Instant, nullable=False),
    Column("attempts", Integer, nullable=False),
    Column("next_at", Instant),
    Column("status", Integer),
    Column("error", PLAIN_TEXT),
    Column("finished_at", Instant),
    Index(None, "webhook", "created_at", "id"),
    Index(None, "next_at"),
)

webhook_conditions = Table(
    "webhook_conditions",
    metadata,
    Column("webhook", PLAIN_TEXT, ForeignKey("webhooks.id"), nullable=False),
    Column("workspace", PLAIN_TEXT, ForeignKey("workspaces.id"), nullable=False),
    Column("build", PLAIN_TEXT, ForeignKey("builds.id"), nullable=False),
    Column("condition", PLAIN_TEXT, nullable=False),
    Column("since", Instant, nullable=False),
    PrimaryKeyConstraint("webhook", "build", "condition"),
)
"""What each webhook has been told of a build and still holds."""


def read_record(kind: type[Record], row: Row[*tuple[Any, ...]], name: str | None = None) -> Record:
    """Return the record that a row is. Raises DamagedError when a value is none that this program writes.

    name: what the message calls the record. Default: its id.
    """
    fields = {name: row._mapping[name] for name in kind.__struct_fields__}
    try:
        return msgspec.convert(fields, kind)
    except msgspec.ValidationError:
        which = name or fields["id"]
        raise DamagedError(f"{which} does not fit: what is kept of it has been altered and cannot be read") from None
