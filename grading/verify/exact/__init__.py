"""Exact numbers: lengths, enclosures of what is not rational, and forms with their values at a point."""
