"""Layouts: how pieces lie on their cloth, the least length, and what to buy."""
