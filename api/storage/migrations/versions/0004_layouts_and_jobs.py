"""Layouts of grades, and jobs: work that may outlast a request."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make both tables."""
    op.create_table(
        "layouts",
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("grade_id", sa.String(64), nullable=False),
        sa.Column("engine", sa.String(200), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("pieces_csv", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_layouts"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_layouts_workshop_id_workshops"),
        sa.ForeignKeyConstraint(["grade_id"], ["grades.id"], name="fk_layouts_grade_id_grades", ondelete="CASCADE"),
    )
    op.create_index("ix_layouts_workshop_id", "layouts", ["workshop_id"])
    op.create_index("ix_layouts_grade_id", "layouts", ["grade_id"])
    _create_jobs()


def downgrade() -> None:
    """Drop them again, with layouts and jobs; layouts can be made again from their grades."""
    for table in ("jobs", "layouts"):
        op.drop_table(table)


def _create_jobs() -> None:
    op.create_table(
        "jobs",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("grade_id", sa.String(64), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("engine", sa.String(200), nullable=False),
        sa.Column("request", sa.Text(), nullable=False),
        sa.Column("state", sa.String(20), nullable=False),
        sa.Column("progress", sa.Text(), nullable=False),
        sa.Column("result", sa.String(64), nullable=True),
        sa.Column("problem", sa.Text(), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_jobs"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_jobs_workshop_id_workshops"),
        sa.ForeignKeyConstraint(["grade_id"], ["grades.id"], name="fk_jobs_grade_id_grades", ondelete="CASCADE"),
        sa.CheckConstraint("state IN ('waiting', 'done', 'failed', 'cancelled')", name=op.f("ck_jobs_known_state")),
    )
    op.create_index("ix_jobs_workshop_id_state", "jobs", ["workshop_id", "state"])
    op.create_index("ix_jobs_grade_id", "jobs", ["grade_id"])
