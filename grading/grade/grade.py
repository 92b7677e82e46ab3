"""One graded size: the solution and what is cut from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.cut import CutFinding, DrawnPiece, Row, cut_findings, cut_list, draw_pieces
from grading.document.requests import SizeRequest
from grading.exact import Enclosure
from grading.grade.steps import step_texts
from grading.model import Choice, Model, Problem
from grading.solve import Solution


@dataclass(frozen=True)
class SewnSeam:
    """A seam at one size: the lengths of its sides and the ease of the eased one, enclosed, in mm."""

    join: Enclosure
    to: Enclosure
    ease: Enclosure


@dataclass(frozen=True)
class Grade:
    """The result for one size request. Lengths in mm, exact or enclosed."""

    model: Model
    problem: Problem
    size_name: str | None
    request: SizeRequest
    solution: Solution
    choice: Choice
    options: Mapping[str, str]
    pieces: Mapping[str, DrawnPiece]
    seams: Mapping[str, SewnSeam]
    clearances: Mapping[str, Mapping[str, Fraction]]
    findings: Mapping[str, CutFinding]
    cut_list: tuple[Row, ...]
    steps: tuple[str, ...]

    @property
    def values(self) -> Mapping[str, Fraction]:
        """The printed dimensions in mm."""
        return self.solution.printed


def make_grade(
    model: Model,
    problem: Problem,
    size_name: str | None,
    request: SizeRequest,
    solution: Solution,
    choice: Choice | None = None,
    options: Mapping[str, str] | None = None,
) -> Grade:
    """Draw and cut everything at a solved size."""
    values = solution.printed
    pieces, findings = draw_pieces(model, values), cut_findings(model, values)
    return Grade(
        model=model,
        problem=problem,
        size_name=size_name,
        request=request,
        solution=solution,
        choice=choice or Choice(),
        options=options or {},
        pieces=pieces,
        seams=_sewn(model, values),
        clearances={
            name: {side: form.enclosure(values).low for side, form in covering.clearances.items()}
            for name, covering in model.coverings.items()
        },
        findings=findings,
        cut_list=cut_list(model, pieces, findings),
        steps=step_texts(model, values, findings),
    )


def _sewn(model: Model, values: Mapping[str, Fraction]) -> dict[str, SewnSeam]:
    sewn = {}
    for name, seam in model.seams.items():
        join, to = seam.join_length.enclosure(values), seam.to_length.enclosure(values)
        other = to if seam.written.eased == "join" else join
        ease = other.times(seam.factor - 1) + seam.ease.enclosure(values)
        sewn[name] = SewnSeam(join, to, ease)
    return sewn
