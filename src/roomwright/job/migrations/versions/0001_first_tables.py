"""First tables: houses, the journal, and what follows from it."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "jobs",
        sa.Column("number", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("slug", sa.String(80), nullable=True),
        sa.Column("was", sa.String(80), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("removed_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("number", name="pk_jobs"),
        sa.UniqueConstraint("slug", name="uq_jobs_slug"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "journal",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("sequence", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("command_id", sa.String(80), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("command", sa.String(80), nullable=False),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("sentence", sa.Text(), nullable=False),
        sa.Column("record", sa.Text(), nullable=False),
        sa.Column("before", sa.Text(), nullable=False),
        sa.Column("after", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["jobs.number"], name="fk_journal_job_jobs"),
        sa.PrimaryKeyConstraint("job", "sequence", name="pk_journal"),
        sa.UniqueConstraint("job", "command_id", name="uq_journal_job_command_id"),
    )
    op.create_table(
        "facts",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(80), nullable=False),
        sa.Column("id", sa.String(80), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("shape", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["job"], ["jobs.number"], name="fk_facts_job_jobs"),
        sa.PrimaryKeyConstraint("job", "kind", "id", name="pk_facts"),
    )
    op.create_table(
        "fact_references",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("from_kind", sa.String(80), nullable=False),
        sa.Column("from_id", sa.String(80), nullable=False),
        sa.Column("field", sa.String(80), nullable=False),
        sa.Column("to_kind", sa.String(80), nullable=False),
        sa.Column("to_id", sa.String(80), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["jobs.number"], name="fk_fact_references_job_jobs"),
        sa.PrimaryKeyConstraint(
            "job", "from_kind", "from_id", "field", "to_kind", "to_id", name="pk_fact_references"
        ),
    )
    op.create_index(
        "ix_fact_references_job_to_kind_to_id", "fact_references", ["job", "to_kind", "to_id"]
    )
