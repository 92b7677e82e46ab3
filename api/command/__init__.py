"""The command `sizewright`: serve the API, and check, grade and verify patterns that lie in files."""

from api.command.entry import main

__all__ = ["main"]
