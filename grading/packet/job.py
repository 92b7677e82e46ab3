"""One order as the workshop works at it: its documents, and how many bags."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from grading.document.order import OfferedCloth
from grading.grade import Grade

Json = Mapping[str, Any]


@dataclass(frozen=True)
class Job:
    """An order: its number in the packet, its grade, and all documents that it keeps.

    `texts` are the documents as they are stored, and `drawn` what has been drawn for it, by the names of their files;
    they are put in as they are.
    """

    number: int
    title: str
    made: Grade
    document: Json
    grade: Json
    layouts: Json
    supplies: Json
    cloths: Mapping[str, OfferedCloth]
    quantity: int
    texts: Mapping[str, str]
    drawn: Mapping[str, bytes]

    @property
    def prefix(self) -> str:
        """What its pieces' names begin with where several orders are told of."""
        return f"order_{self.number}_"

    def cloth_title(self, role: str) -> str:
        """What the cloth of a role is called: the one that was chosen, else what the document says."""
        chosen = self.cloths.get(role)
        if chosen is not None:
            return chosen.says or chosen.name.replace("_", " ")
        says: str = self.document["materials"][role].get("says", "")
        return says or role.replace("_", " ")
