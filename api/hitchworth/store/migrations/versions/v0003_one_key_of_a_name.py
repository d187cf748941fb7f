"""One key of a name: when another took its place. What a request under an idempotency key made may be a key or link."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Change the tables."""
    op.add_column("keys", sa.Column("replaced_at", TEXT))
    later = "other.workspace = keys.workspace AND other.name = keys.name AND (other.created_at, other.id) > "
    later += "(keys.created_at, keys.id)"
    op.execute(f"UPDATE keys SET replaced_at = (SELECT MIN(other.created_at) FROM keys AS other WHERE {later})")
    op.create_index(
        "ix_keys_workspace_name",
        "keys",
        ["workspace", "name"],
        unique=True,
        sqlite_where=sa.text("replaced_at IS NULL"),
        postgresql_where=sa.text("replaced_at IS NULL"),
    )
    op.alter_column("idempotency_keys", "build", new_column_name="made")
