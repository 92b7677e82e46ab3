"""What can be wrong with an archive."""

from __future__ import annotations

MOST_LISTED = 20


class ArchiveError(Exception):
    """An archive that cannot be written, or read back; the text says why, and nothing of it has been stored."""


class Refused(ArchiveError):
    """A file of an archive that cannot be taken."""

    def __init__(self, path: str, problem: str) -> None:
        self.path, self.problem = path, problem
        super().__init__(f"{path}: {problem}")


class NotWhole(ArchiveError):
    """Files that are missing, are not as they were written, or do not belong there: `missing`, `altered`, `strange`."""

    def __init__(self, missing: list[str], altered: list[str], strange: list[str]) -> None:
        self.missing, self.altered, self.strange = missing, altered, strange
        kinds = (("is missing", missing), ("is not as it was written", altered), ("does not belong to it", strange))
        lines = [line for says, paths in kinds for line in _listed(says, paths)]
        super().__init__("\n".join(["The archive is not whole; nothing of it has been stored:", *lines]))


def _listed(says: str, paths: list[str]) -> list[str]:
    lines = [f"  {path} {says}" for path in paths[:MOST_LISTED]]
    return [*lines, f"  and {len(paths) - MOST_LISTED} more"] if len(paths) > MOST_LISTED else lines
