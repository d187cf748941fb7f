"""Kept quotes beside kept builds, and the build that an accepted quote became."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Change the tables."""
    op.add_column("builds", sa.Column("kind", TEXT, nullable=False, server_default="build"))
    op.add_column("builds", sa.Column("quote", TEXT))
    op.add_column("builds", sa.Column("number", TEXT))
    op.add_column("builds", sa.Column("valid_until", TEXT))
    op.add_column("builds", sa.Column("accepted_on", TEXT))
    op.create_index("ix_builds_quote", "builds", ["quote"], unique=True)
    op.add_column("access_log", sa.Column("quote", TEXT))
