"""The claim that a wished volume is reached."""

from __future__ import annotations

from collections.abc import Iterator

from grading.document.requests import print_volume, read_volume
from grading.fit.volume import SLACK, inside_volume
from grading.grade import Grade
from grading.proof.claims import Claim


def volume_claims(grade: Grade) -> Iterator[Claim]:
    """The room inside at the nearest point is the wished one or at most SLACK times it."""
    if grade.request.volume is None:
        return
    wished, reached = read_volume(grade.request.volume), inside_volume(grade.model, grade.solution.nearest)
    yield Claim(
        "volume",
        "volume:inside",
        "the room inside is what was asked for",
        "none" if reached is None else print_volume(reached),
        print_volume(wished),
        reached is not None and wished <= reached <= wished * SLACK,
        "request.volume",
    )
