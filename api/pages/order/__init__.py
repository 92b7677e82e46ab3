"""The order form of a pattern, for customers."""
