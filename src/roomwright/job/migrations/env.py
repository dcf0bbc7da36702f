"""Run by Alembic: migrates over the connection it is given, inside its transaction."""

from alembic import context

from roomwright.job.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
