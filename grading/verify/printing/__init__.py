"""Printed numbers and texts: what they must be, and what a grade prints."""
