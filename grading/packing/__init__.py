"""Rectangles packed on a strip of cloth: searches, strips for a rotary cutter, and how little could do."""
