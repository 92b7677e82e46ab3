"""What a workshop works from: everything of one order, or of several that are cut together, in one archive."""

from grading.packet.archive import archive
from grading.packet.content import Job, packet_files

__all__ = ["Job", "archive", "packet_files"]
