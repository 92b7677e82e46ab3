"""Judgements of grades, conflicts, solution maps and pieces measured at the table."""
