"""Blobs: pictures that belong to a house, by the sha256 of their bytes."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "blobs",
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("type", sa.String(80), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["jobs.number"], name="fk_blobs_job_jobs"),
        sa.PrimaryKeyConstraint("job", "sha256", name="pk_blobs"),
    )
