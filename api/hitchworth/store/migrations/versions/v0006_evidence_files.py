"""The files of evidence, by workspace and hash."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0004"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Change the tables."""
    op.create_table(
        "evidence_files",
        sa.Column("workspace", TEXT, nullable=False),
        sa.Column("sha256", TEXT, nullable=False),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.Column("media_type", TEXT, nullable=False),
        sa.Column("added_at", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["workspace"], ["workspaces.id"], name="fk_evidence_files_workspace"),
        sa.PrimaryKeyConstraint("workspace", "sha256", name="pk_evidence_files"),
    )
