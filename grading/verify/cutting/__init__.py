"""Cutting: cut lines, cut boxes and the cut list."""
