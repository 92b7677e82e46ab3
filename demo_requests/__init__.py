"""The demo: three patterns of an invented workshop, stored, graded and verified through the API."""
