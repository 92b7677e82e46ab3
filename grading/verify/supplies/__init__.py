"""Supplies: what is bought and used besides the pieces."""
