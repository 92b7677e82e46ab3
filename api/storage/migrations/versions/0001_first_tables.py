"""The first tables: workshops, patterns, revisions, grades."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "workshops",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_workshops"),
    )
    op.create_table(
        "patterns",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("head", sa.String(64), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_patterns"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_patterns_workshop_id_workshops"),
    )
    op.create_index("ix_patterns_workshop_id_created_at", "patterns", ["workshop_id", "created_at", "id"])
    _create_revisions()
    _create_grades()


def downgrade() -> None:
    """Drop them again, with workshops, patterns, revisions and grades: everything is lost."""
    for table in ("grades", "revisions", "patterns", "workshops"):
        op.drop_table(table)


def _create_revisions() -> None:
    op.create_table(
        "revisions",
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("pattern_id", sa.String(36), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_revisions"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_revisions_workshop_id_workshops"),
        sa.ForeignKeyConstraint(
            ["pattern_id"], ["patterns.id"], name="fk_revisions_pattern_id_patterns", ondelete="CASCADE"
        ),
        sa.UniqueConstraint("pattern_id", "number", name="uq_revisions_pattern_id_number"),
        sa.CheckConstraint("number >= 1", name=op.f("ck_revisions_number_from_one")),
    )
    op.create_index("ix_revisions_workshop_id", "revisions", ["workshop_id"])


def _create_grades() -> None:
    op.create_table(
        "grades",
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("revision_id", sa.String(64), nullable=False),
        sa.Column("engine", sa.String(200), nullable=False),
        sa.Column("request", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("proof", sa.Text(), nullable=False),
        sa.Column("cut_list_csv", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_grades"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_grades_workshop_id_workshops"),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["revisions.id"], name="fk_grades_revision_id_revisions", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_grades_workshop_id", "grades", ["workshop_id"])
    op.create_index("ix_grades_revision_id", "grades", ["revision_id"])
