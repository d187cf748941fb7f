"""Webhooks, the messages to them, and what they have been told of."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Change the tables."""
    op.create_table(
        "webhooks",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("workspace", TEXT, nullable=False),
        sa.Column("url", TEXT, nullable=False),
        sa.Column("events", TEXT, nullable=False),
        sa.Column("description", TEXT),
        sa.Column("thresholds", TEXT, nullable=False),
        sa.Column("locale", TEXT, nullable=False),
        sa.Column("secret", TEXT, nullable=False),
        sa.Column("old_secret", TEXT),
        sa.Column("old_secret_until", TEXT),
        sa.Column("created_at", TEXT, nullable=False),
        sa.Column("created_by", TEXT, nullable=False),
        sa.Column("disabled_at", TEXT),
        sa.Column("disabled_because", TEXT),
        sa.Column("evaluate_at", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["workspace"], ["workspaces.id"], name="fk_webhooks_workspace"),
        sa.PrimaryKeyConstraint("id", name="pk_webhooks"),
    )
    op.create_index("ix_webhooks_workspace_created_at_id", "webhooks", ["workspace", "created_at", "id"])
    op.create_table(
        "webhook_messages",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("workspace", TEXT, nullable=False),
        sa.Column("webhook", TEXT, nullable=False),
        sa.Column("event", TEXT, nullable=False),
        sa.Column("body", TEXT, nullable=False),
        sa.Column("state", TEXT, nullable=False),
        sa.Column("created_at", TEXT, nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("next_at", TEXT),
        sa.Column("status", sa.Integer()),
        sa.Column("error", TEXT),
        sa.Column("finished_at", TEXT),
        sa.ForeignKeyConstraint(["webhook"], ["webhooks.id"], name="fk_webhook_messages_webhook"),
        sa.ForeignKeyConstraint(["workspace"], ["workspaces.id"], name="fk_webhook_messages_workspace"),
        sa.PrimaryKeyConstraint("id", name="pk_webhook_messages"),
    )
    op.create_index("ix_webhook_messages_webhook_created_at_id", "webhook_messages", ["webhook", "created_at", "id"])
    op.create_index("ix_webhook_messages_next_at", "webhook_messages", ["next_at"])
    op.create_table(
        "webhook_conditions",
        sa.Column("webhook", TEXT, nullable=False),
        sa.Column("workspace", TEXT, nullable=False),
        sa.Column("build", TEXT, nullable=False),
        sa.Column("condition", TEXT, nullable=False),
        sa.Column("since", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["build"], ["builds.id"], name="fk_webhook_conditions_build"),
        sa.ForeignKeyConstraint(["webhook"], ["webhooks.id"], name="fk_webhook_conditions_webhook"),
        sa.ForeignKeyConstraint(["workspace"], ["workspaces.id"], name="fk_webhook_conditions_workspace"),
        sa.PrimaryKeyConstraint("webhook", "build", "condition", name="pk_webhook_conditions"),
    )
