"""Outlines and curves: where they run, how long they are, and whether they close and are simple."""
