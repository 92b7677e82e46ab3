"""Who works at a job, and until when nobody else may take it up."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add both columns; jobs that are there are nobody's."""
    op.add_column("jobs", sa.Column("owner", sa.String(36), nullable=True))
    op.add_column("jobs", sa.Column("held_until", sa.DateTime(timezone=True), nullable=True))
    op.create_index("ix_jobs_state_held_until", "jobs", ["state", "held_until"])


def downgrade() -> None:
    """Drop them again; jobs stay."""
    op.drop_index("ix_jobs_state_held_until", table_name="jobs")
    op.drop_column("jobs", "held_until")
    op.drop_column("jobs", "owner")
