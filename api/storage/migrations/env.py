"""Tells alembic what to compare and where to run; the connection is given by `api.storage.migrate`."""

from __future__ import annotations

from alembic import context

from api.storage.tables import PatternRow

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=PatternRow.metadata, render_as_batch=True)
with context.begin_transaction():
    context.run_migrations()
