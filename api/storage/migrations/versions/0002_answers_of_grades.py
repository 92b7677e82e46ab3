"""Grades keep the answer to their request; those that were made before have none."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column; it is empty for the grades that are there."""
    op.add_column("grades", sa.Column("answer", sa.Text(), nullable=True))


def downgrade() -> None:
    """Drop it again, with the answers: they are made anew when they are asked for."""
    op.drop_column("grades", "answer")
