"""Workspaces, kept builds, their revisions, and idempotency keys."""

from datetime import UTC, datetime

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Change the tables."""
    workspaces = op.create_table(
        "workspaces",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("created_at", TEXT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_workspaces"),
    )
    op.create_table(
        "builds",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("workspace", TEXT, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("digest", TEXT, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("folded_name", TEXT, nullable=False),
        sa.Column("jurisdiction", TEXT),
        sa.Column("registered_class", TEXT),
        sa.Column("created_at", TEXT, nullable=False),
        sa.Column("updated_at", TEXT, nullable=False),
        sa.Column("trashed_at", TEXT),
        sa.ForeignKeyConstraint(["workspace"], ["workspaces.id"], name="fk_builds_workspace"),
        sa.PrimaryKeyConstraint("id", name="pk_builds"),
    )
    for column in ("created_at", "folded_name", "updated_at"):
        op.create_index(f"ix_builds_workspace_{column}_id", "builds", ["workspace", column, "id"])
    op.create_table(
        "revisions",
        sa.Column("build", TEXT, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("action", TEXT, nullable=False),
        sa.Column("at", TEXT, nullable=False),
        sa.Column("actor", TEXT, nullable=False),
        sa.Column("message", TEXT),
        sa.Column("format", sa.Integer(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.Column("digest", TEXT, nullable=False),
        sa.Column("previous", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["build"], ["builds.id"], name="fk_revisions_build"),
        sa.PrimaryKeyConstraint("build", "revision", name="pk_revisions"),
    )
    op.create_table(
        "idempotency_keys",
        sa.Column("workspace", TEXT, nullable=False),
        sa.Column("actor", TEXT, nullable=False),
        sa.Column("key", TEXT, nullable=False),
        sa.Column("request_digest", TEXT, nullable=False),
        sa.Column("at", TEXT, nullable=False),
        sa.Column("build", TEXT, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["workspace"], ["workspaces.id"], name="fk_idempotency_keys_workspace"),
        sa.PrimaryKeyConstraint("workspace", "actor", "key", name="pk_idempotency_keys"),
    )
    op.create_index("ix_idempotency_keys_at", "idempotency_keys", ["at"])
    op.bulk_insert(workspaces, [{"id": "default", "created_at": f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%S.%fZ}"}])
