"""The tables. Amounts are in no column: what is kept of a build is the bytes of its document."""

from datetime import UTC, datetime

from sqlalchemy import (
    Column,
    Dialect,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    Text,
)
from sqlalchemy.types import TypeDecorator

PLAIN_TEXT = Text().with_variant(Text(collation="C"), "postgresql")
"""Text that is compared by its code points, on both databases."""


class Instant(TypeDecorator[datetime]):
    """A point in time, as text of one length in UTC: exact, in order, and legible."""

    impl = PLAIN_TEXT
    cache_ok = True

    def process_bind_param(self, value: datetime | None, _dialect: Dialect) -> str | None:
        return None if value is None else f"{value.astimezone(UTC):%Y-%m-%dT%H:%M:%S.%fZ}"

    def process_result_value(self, value: str | None, _dialect: Dialect) -> datetime | None:
        return None if value is None else datetime.fromisoformat(value)


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
)

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
    Column("body", LargeBinary, nullable=False),
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
    Column("build", PLAIN_TEXT, nullable=False),
    Column("revision", Integer, nullable=False),
    PrimaryKeyConstraint("workspace", "actor", "key"),
    Index(None, "at"),
)

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
    Index(None, "workspace", "created_at", "id"),
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
    Column("status", Integer, nullable=False),
    Column("request_id", PLAIN_TEXT, nullable=False),
    Index(None, "workspace", "id"),
)
