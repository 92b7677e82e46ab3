"""Benchmarks: ratios taken side by side in one run, printed as one JSON object on the last line."""
