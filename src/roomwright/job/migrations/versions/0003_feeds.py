"""Calendar feeds: the secret address of each house's, and the days that were given out."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "feeds",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(40), nullable=False),
        sa.Column("token", sa.String(80), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["jobs.number"], name="fk_feeds_job_jobs"),
        sa.PrimaryKeyConstraint("job", name="pk_feeds"),
    )
    op.create_table(
        "feed_days",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(40), nullable=False),
        sa.Column("first", sa.Date(), nullable=False),
        sa.Column("last", sa.Date(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["jobs.number"], name="fk_feed_days_job_jobs"),
        sa.PrimaryKeyConstraint("job", "key", name="pk_feed_days"),
    )
