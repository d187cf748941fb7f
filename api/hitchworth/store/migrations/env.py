"""What Alembic runs: the migrations, in the transaction of the connection that it was given."""

from alembic import context

from hitchworth.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,
    compare_type=True,
)
with context.begin_transaction():
    context.run_migrations()
