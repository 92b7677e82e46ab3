"""Testers' records: what came of sewing a size of a revision."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "tester_records",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("revision_id", sa.String(64), nullable=False),
        sa.Column("size", sa.String(60), nullable=False),
        sa.Column("cloth", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_tester_records"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_tester_records_workshop_id_workshops"),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["revisions.id"], name="fk_tester_records_revision_id_revisions", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_tester_records_workshop_id", "tester_records", ["workshop_id"])
    op.create_index("ix_tester_records_revision_id_created_at", "tester_records", ["revision_id", "created_at", "id"])


def downgrade() -> None:
    """Drop it again, with what testers have sent in."""
    op.drop_table("tester_records")
