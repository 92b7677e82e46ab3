"""The difference of two revisions of a pattern, size by size."""

from __future__ import annotations

from dataclasses import dataclass

from grading.compare.changes import (
    Change,
    Facts,
    PartChange,
    Rulers,
    fact_changes,
    part_changes,
    step_changes,
)
from grading.compare.facts import (
    covering_facts,
    dimension_facts,
    finding_facts,
    outline_texts,
    piece_facts,
    seam_facts,
)
from grading.compare.sizes import GradedSizes, Refusal
from grading.document import Pattern
from grading.grade import Grade

PUBLISHED = "published"


@dataclass(frozen=True)
class SizeDifference:
    """What has changed in one size. Where a side cannot be made, only that is told."""

    name: str
    refused_before: Refusal | None
    refused_after: Refusal | None
    asked: tuple[Change, ...] = ()
    dimensions: tuple[Change, ...] = ()
    pieces: tuple[PartChange, ...] = ()
    seams: tuple[PartChange, ...] = ()
    coverings: tuple[PartChange, ...] = ()
    findings: tuple[PartChange, ...] = ()
    steps: tuple[Change, ...] = ()

    @property
    def is_changed(self) -> bool:
        """Whether a maker of this size would notice; not for one that could be made neither before nor after."""
        if self.refused_before or self.refused_after:
            return not (self.refused_before and self.refused_after)
        parts = (self.dimensions, self.pieces, self.seams, self.coverings, self.findings, self.steps)
        return bool(self.asked) or any(parts)


@dataclass(frozen=True)
class Difference:
    """Two revisions beside each other.

    sizes      each size that both have
    only_old   the sizes that the newer one has no more
    only_new   the sizes that are new
    """

    old: Pattern
    new: Pattern
    sizes: tuple[SizeDifference, ...]
    only_old: tuple[str, ...]
    only_new: tuple[str, ...]

    @property
    def published(self) -> tuple[str, ...]:
        """The sizes of a published edition that the newer revision changes or takes away; empty if none was."""
        if self.old.edition is None or self.old.edition.state != PUBLISHED:
            return ()
        return (*(size.name for size in self.sizes if size.is_changed), *self.only_old)


def compare(old: GradedSizes, new: GradedSizes) -> Difference:
    """Compare two revisions in every size that both have, from their graded sizes."""
    return Difference(
        old=old.pattern,
        new=new.pattern,
        sizes=tuple(_size(name, size, new.sizes[name]) for name, size in old.sizes.items() if name in new.sizes),
        only_old=tuple(name for name in old.sizes if name not in new.sizes),
        only_new=tuple(name for name in new.sizes if name not in old.sizes),
    )


def _size(name: str, before: Grade | Refusal, after: Grade | Refusal) -> SizeDifference:
    if isinstance(before, Refusal) or isinstance(after, Refusal):
        return SizeDifference(
            name,
            before if isinstance(before, Refusal) else None,
            after if isinstance(after, Refusal) else None,
        )
    rulers = Rulers(before.model.ruler, after.model.ruler)
    return SizeDifference(
        name=name,
        refused_before=None,
        refused_after=None,
        asked=fact_changes(_asked(before), _asked(after), rulers),
        dimensions=fact_changes(dimension_facts(before), dimension_facts(after), rulers),
        pieces=_pieces(before, after, rulers),
        seams=part_changes(seam_facts(before), seam_facts(after), rulers),
        coverings=part_changes(covering_facts(before), covering_facts(after), rulers),
        findings=part_changes(finding_facts(before), finding_facts(after), rulers),
        steps=step_changes(before.steps, after.steps),
    )


def _pieces(before: Grade, after: Grade, rulers: Rulers) -> tuple[PartChange, ...]:
    """The pieces that change; the outline itself is told of where nothing else shows that it has changed."""
    old, new = piece_facts(before), piece_facts(after)
    was, reads = outline_texts(before), outline_texts(after)
    for name in old.keys() & new.keys():
        if was[name] != reads[name] and not fact_changes(old[name], new[name], rulers):
            old[name] = {**old[name], "outline": was[name]}
            new[name] = {**new[name], "outline": reads[name]}
    return part_changes(old, new, rulers)


def _asked(grade: Grade) -> Facts:
    request = grade.request.model_dump(mode="json", by_alias=True, exclude_none=True)
    return {"ruler": str(grade.model.ruler), **{key: str(value) for key, value in request.items() if key != "ruler"}}
