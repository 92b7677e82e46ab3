"""A size that was asked for and cannot be: the request, and the problems that it poses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.document import Pattern, SizeRequest
from grading.document.choices import Option
from grading.errors import Refused
from grading.exact import Ruler
from grading.model import Choice, Model, Relation, pose
from grading.model.sizing import ORDERS
from grading.solve import Alternative, Compiled


@dataclass(frozen=True)
class AskedSize:
    """A request of a pattern with the problems it poses: one, or one for each way of turning the bag in a box.

    `model` is of the pattern that the choice of options leaves, `options` are those of the whole document.
    """

    model: Model
    compiled: Compiled
    name: str | None
    request: SizeRequest
    options: Mapping[str, Option]
    alternatives: tuple[Alternative, ...]

    @property
    def ruler(self) -> Ruler:
        """The ruler of the size."""
        return self.model.ruler

    @property
    def written(self) -> dict[str, Any]:
        """The request as plain data."""
        return self.request.model_dump(mode="json", by_alias=True, exclude_none=True, exclude_unset=True)

    @property
    def refused(self) -> Refused:
        """What was asked, for a conflict to carry."""
        return Refused(self.model.pattern.name, self.name, self.written, str(self.ruler))

    @property
    def relations(self) -> Mapping[str, Relation]:
        """All relations by id; of those that turning changes the first."""
        every: dict[str, Relation] = {}
        for alternative in self.alternatives:
            for relation in alternative.problem.relations:
                every.setdefault(relation.id, relation)
        return every

    def length(self, value: str | float) -> Fraction:
        """A length of the document or the request, in mm."""
        return self.model.draft.plain_length(value)


def asked_size(
    document: Pattern, model: Model, compiled: Compiled, name: str | None, request: SizeRequest
) -> AskedSize:
    """The problems of a request. A wish for a volume is left open: wishes are in no conflict. Raises RequestFaults."""
    turned = request.within is not None and request.within.turned == "any"
    alternatives = (
        tuple(Alternative(pose(model, request, Choice(None, order)), order) for order in ORDERS)
        if turned
        else (Alternative(pose(model, request)),)
    )
    return AskedSize(model, compiled, name, request, document.options, alternatives)
