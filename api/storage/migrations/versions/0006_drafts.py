"""Drafts and their states."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make both tables."""
    op.create_table(
        "drafts",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("pattern_id", sa.String(36), nullable=True),
        sa.Column("base", sa.String(64), nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("at", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_drafts"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_drafts_workshop_id_workshops"),
        sa.ForeignKeyConstraint(
            ["pattern_id"], ["patterns.id"], name="fk_drafts_pattern_id_patterns", ondelete="CASCADE"
        ),
        sa.CheckConstraint("version >= 1", name=op.f("ck_drafts_version_from_one")),
    )
    op.create_index("ix_drafts_workshop_id_changed_at", "drafts", ["workshop_id", "changed_at", "id"])
    op.create_index("ix_drafts_pattern_id", "drafts", ["pattern_id"])
    _create_states()


def downgrade() -> None:
    """Drop them again, with all drafts; what has been published of them stays."""
    for table in ("draft_states", "drafts"):
        op.drop_table(table)


def _create_states() -> None:
    op.create_table(
        "draft_states",
        sa.Column("draft_id", sa.String(36), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("before", sa.Integer(), nullable=True),
        sa.Column("says", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("draft_id", "number", name="pk_draft_states"),
        sa.ForeignKeyConstraint(
            ["draft_id"], ["drafts.id"], name="fk_draft_states_draft_id_drafts", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_draft_states_workshop_id_workshops"),
    )
    op.create_index("ix_draft_states_workshop_id", "draft_states", ["workshop_id"])
