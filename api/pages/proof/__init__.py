"""The proof of a grade, for the person who sews it."""
