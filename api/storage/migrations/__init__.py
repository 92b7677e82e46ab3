"""The history of the tables, in order; run at the start of the server."""
