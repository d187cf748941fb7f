"""Keys, share links, and the log of who did what."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Change the tables."""
    op.create_table(
        "keys",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("workspace", TEXT, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("scope", TEXT, nullable=False),
        sa.Column("secret_digest", TEXT, nullable=False),
        sa.Column("created_at", TEXT, nullable=False),
        sa.Column("created_by", TEXT, nullable=False),
        sa.Column("expires_at", TEXT),
        sa.Column("revoked_at", TEXT),
        sa.ForeignKeyConstraint(["workspace"], ["workspaces.id"], name="fk_keys_workspace"),
        sa.PrimaryKeyConstraint("id", name="pk_keys"),
    )
    op.create_index("ix_keys_workspace_created_at_id", "keys", ["workspace", "created_at", "id"])
    op.create_table(
        "shares",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("workspace", TEXT, nullable=False),
        sa.Column("build", TEXT, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("for_policy", TEXT),
        sa.Column("secret_digest", TEXT, nullable=False),
        sa.Column("created_at", TEXT, nullable=False),
        sa.Column("created_by", TEXT, nullable=False),
        sa.Column("expires_at", TEXT, nullable=False),
        sa.Column("revoked_at", TEXT),
        sa.ForeignKeyConstraint(["build"], ["builds.id"], name="fk_shares_build"),
        sa.ForeignKeyConstraint(["workspace"], ["workspaces.id"], name="fk_shares_workspace"),
        sa.PrimaryKeyConstraint("id", name="pk_shares"),
    )
    op.create_index("ix_shares_build_created_at_id", "shares", ["build", "created_at", "id"])
    op.create_table(
        "access_log",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("workspace", TEXT, nullable=False),
        sa.Column("at", TEXT, nullable=False),
        sa.Column("actor", TEXT, nullable=False),
        sa.Column("key", TEXT),
        sa.Column("operation", TEXT, nullable=False),
        sa.Column("build", TEXT),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("request_id", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["workspace"], ["workspaces.id"], name="fk_access_log_workspace"),
        sa.PrimaryKeyConstraint("id", name="pk_access_log"),
    )
    op.create_index("ix_access_log_workspace_id", "access_log", ["workspace", "id"])
