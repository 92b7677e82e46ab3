"""All handlers of the designer's pages."""

from __future__ import annotations

from api.pages.desk import drafts, editor, grades, importing, patterns, substitutions, trials

HANDLERS = (
    *patterns.HANDLERS,
    *drafts.HANDLERS,
    *editor.HANDLERS,
    *trials.HANDLERS,
    *grades.HANDLERS,
    *importing.HANDLERS,
    *substitutions.HANDLERS,
)
