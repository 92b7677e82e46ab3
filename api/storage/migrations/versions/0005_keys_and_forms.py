"""Keys of workshops, and tokens of order forms with the origins that they are bound to."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the three tables."""
    op.create_table(
        "keys",
        sa.Column("id", sa.String(16), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("says", sa.String(200), nullable=False),
        sa.Column("scopes", sa.Text(), nullable=False),
        sa.Column("secret_hash", sa.String(64), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("successor", sa.String(16), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_keys"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_keys_workshop_id_workshops"),
    )
    op.create_index("ix_keys_workshop_id_created_at", "keys", ["workshop_id", "created_at", "id"])
    _create_forms()


def downgrade() -> None:
    """Drop them again, with all keys and tokens of forms: nobody can sign in until a new key is made."""
    for table in ("form_origins", "forms", "keys"):
        op.drop_table(table)


def _create_forms() -> None:
    op.create_table(
        "forms",
        sa.Column("id", sa.String(16), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.Column("pattern_id", sa.String(36), nullable=False),
        sa.Column("says", sa.String(200), nullable=False),
        sa.Column("secret_hash", sa.String(64), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_forms"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_forms_workshop_id_workshops"),
        sa.ForeignKeyConstraint(
            ["pattern_id"], ["patterns.id"], name="fk_forms_pattern_id_patterns", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_forms_workshop_id", "forms", ["workshop_id"])
    op.create_index("ix_forms_pattern_id_created_at", "forms", ["pattern_id", "created_at", "id"])
    op.create_table(
        "form_origins",
        sa.Column("form_id", sa.String(16), nullable=False),
        sa.Column("origin", sa.String(255), nullable=False),
        sa.Column("workshop_id", sa.String(36), nullable=False),
        sa.PrimaryKeyConstraint("form_id", "origin", name="pk_form_origins"),
        sa.ForeignKeyConstraint(["form_id"], ["forms.id"], name="fk_form_origins_form_id_forms", ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["workshop_id"], ["workshops.id"], name="fk_form_origins_workshop_id_workshops"),
    )
    op.create_index("ix_form_origins_workshop_id", "form_origins", ["workshop_id"])
    op.create_index("ix_form_origins_origin", "form_origins", ["origin"])
