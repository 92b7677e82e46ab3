"""Endpoints, and the notifications on their way to them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make both tables."""
    op.create_table(
        "endpoints",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("url", sa.Text(), nullable=False),
        sa.Column("events", sa.Text(), nullable=False),
        sa.Column("says", sa.String(200), nullable=False),
        sa.Column("secret", sa.String(200), nullable=False),
        sa.Column("old_secret", sa.String(200), nullable=True),
        sa.Column("old_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("disabled_because", sa.String(20), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_endpoints"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_endpoints_workshop_id_workshops"),
    )
    op.create_index("ix_endpoints_workshop_id_created_at", "endpoints", ["workshop_id", "created_at", "id"])
    _create_notifications()


def downgrade() -> None:
    """Drop them again, with the addresses that are notified and what has not been sent yet."""
    for table in ("notifications", "endpoints"):
        op.drop_table(table)


def _create_notifications() -> None:
    op.create_table(
        "notifications",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("endpoint_id", sa.String(36), nullable=False),
        sa.Column("event", sa.String(20), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("state", sa.String(20), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("due_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("status", sa.Integer(), nullable=True),
        sa.Column("says", sa.String(200), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_notifications"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_notifications_workshop_id_workshops"),
        sa.ForeignKeyConstraint(
            ["endpoint_id"], ["endpoints.id"], name="fk_notifications_endpoint_id_endpoints", ondelete="CASCADE"
        ),
        sa.CheckConstraint("tries >= 0", name=op.f("ck_notifications_tries_from_none")),
    )
    op.create_index("ix_notifications_state_due_at", "notifications", ["state", "due_at"])
    op.create_index("ix_notifications_workshop_id_created_at", "notifications", ["workshop_id", "created_at", "id"])
    op.create_index("ix_notifications_endpoint_id", "notifications", ["endpoint_id"])
