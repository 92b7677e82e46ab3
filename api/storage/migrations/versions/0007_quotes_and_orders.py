"""Offers, quotes, orders with their history, and the keys that keep an order single."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

TABLES = ("offers", "quotes", "orders", "order_events", "idempotency_keys")


def upgrade() -> None:
    """Make all of the tables."""
    op.create_table(
        "offers",
        sa.Column("revision_id", sa.String(64), nullable=False),
        sa.Column("engine", sa.String(200), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("revision_id", "engine", name="pk_offers"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_offers_workshop_id_workshops"),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["revisions.id"], name="fk_offers_revision_id_revisions", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_offers_workshop_id", "offers", ["workshop_id"])
    _create_quotes()
    _create_orders()
    _create_events()
    _create_keys()


def downgrade() -> None:
    """Drop them again, with all quotes and orders: what customers have ordered is lost."""
    for table in reversed(TABLES):
        op.drop_table(table)


def _create_quotes() -> None:
    op.create_table(
        "quotes",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("revision_id", sa.String(64), nullable=False),
        sa.Column("grade_id", sa.String(64), nullable=False),
        sa.Column("layouts_id", sa.String(64), nullable=False),
        sa.Column("engine", sa.String(200), nullable=False),
        sa.Column("wish", sa.Text(), nullable=False),
        sa.Column("supplies", sa.Text(), nullable=False),
        sa.Column("price", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("valid_until", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_quotes"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_quotes_workshop_id_workshops"),
        sa.ForeignKeyConstraint(["revision_id"], ["revisions.id"], name="fk_quotes_revision_id_revisions"),
        sa.ForeignKeyConstraint(["grade_id"], ["grades.id"], name="fk_quotes_grade_id_grades"),
        sa.ForeignKeyConstraint(["layouts_id"], ["layouts.id"], name="fk_quotes_layouts_id_layouts"),
    )
    for column in ("workshop_id", "revision_id", "grade_id", "layouts_id"):
        op.create_index(f"ix_quotes_{column}", "quotes", [column])


def _create_orders() -> None:
    op.create_table(
        "orders",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("quote_id", sa.String(36), nullable=False),
        sa.Column("state", sa.String(20), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("customer", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_orders"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_orders_workshop_id_workshops"),
        sa.ForeignKeyConstraint(["quote_id"], ["quotes.id"], name="fk_orders_quote_id_quotes"),
        sa.UniqueConstraint("quote_id", name="uq_orders_quote_id"),
        sa.CheckConstraint("version >= 1", name=op.f("ck_orders_version_from_one")),
    )
    op.create_index("ix_orders_workshop_id_created_at", "orders", ["workshop_id", "created_at", "id"])


def _create_events() -> None:
    op.create_table(
        "order_events",
        sa.Column("order_id", sa.String(36), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("state", sa.String(20), nullable=False),
        sa.Column("says", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("order_id", "number", name="pk_order_events"),
        sa.ForeignKeyConstraint(
            ["order_id"], ["orders.id"], name="fk_order_events_order_id_orders", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_order_events_workshop_id_workshops"),
    )
    op.create_index("ix_order_events_workshop_id", "order_events", ["workshop_id"])


def _create_keys() -> None:
    op.create_table(
        "idempotency_keys",
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("holder", sa.String(16), nullable=False),
        sa.Column("key", sa.String(255), nullable=False),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("order_id", sa.String(36), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("workshop_id", "holder", "key", name="pk_idempotency_keys"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_idempotency_keys_workshop_id_workshops"),
    )
