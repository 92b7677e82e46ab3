"""Solving in processes of their own, away from the event loop."""
