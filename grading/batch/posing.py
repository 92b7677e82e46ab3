"""Many sizes of one kind as one task: what is asked and wished as affine functions of what each row gives."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from sympy import QQ

from grading.document.requests import SizeRequest
from grading.exact import print_length
from grading.form import CONSTANT
from grading.model import Model, Problem, StockChoice, pose
from grading.model.findings import stock_values
from grading.solve import Compiled
from grading.solve.row import Number, Row, rational
from grading.solve.task import Task, task_of

SCALE = "the scale"
Others = Literal["in proportion", "at base"]


@dataclass(frozen=True)
class Kind:
    """What the rows of a batch give: a scale (no columns), or a length for each of these dimensions."""

    columns: tuple[str, ...] = ()
    others: Others = "in proportion"

    @property
    def is_scale(self) -> bool:
        """Whether each row gives a scale."""
        return not self.columns

    @property
    def parameters(self) -> tuple[str, ...]:
        """The names of the parameters; no dimension has a blank in its name."""
        return tuple(asked_name(name) for name in self.columns) or (SCALE,)

    def request(self, cells: Sequence[str | int | float]) -> SizeRequest:
        """The size request of one row, its cells as they were written."""
        if self.is_scale:
            return SizeRequest(scale=cells[0])
        return SizeRequest(set=dict(zip(self.columns, cells, strict=True)), others=self.others)


def asked_name(dimension: str) -> str:
    """The parameter that stands for what is asked of a dimension."""
    return f"asked {dimension}"


@dataclass(frozen=True)
class Posed:
    """A task whose constants hang on parameters: rows may have these beside dimensions and the constant.

    `task` is that of one size of the kind; its equations and wishes are replaced by those here.
    """

    kind: Kind
    task: Task
    problem: Problem
    equations: Mapping[str, Row]
    wish: Mapping[str, Row]
    stock: tuple[StockChoice, ...]


def pose_kind(model: Model, compiled: Compiled, kind: Kind) -> Posed:
    """The task of all sizes of a kind. Raises RequestFaults for columns that cannot be set."""
    problem = pose(model, _usual(model, kind))
    task = task_of(problem, problem.relations, compiled)
    asked = {name: {name: QQ(1), asked_name(name): QQ(-1)} for name in kind.columns}
    equations = {**task.equations, **{f"asked:{name}": row for name, row in asked.items()}}
    return Posed(kind, task, problem, equations, _wishes(model, kind, problem), problem.stock)


def _usual(model: Model, kind: Kind) -> SizeRequest:
    """A size of the kind that can always be posed."""
    if kind.is_scale:
        return SizeRequest(scale=1)
    given: list[str | int | float] = []
    for name in kind.columns:
        dimension = model.pattern.dimensions.get(name)
        if dimension is None:
            given.append("1 mm")
        else:
            stocked = () if dimension.stock is None else stock_values(model.draft, dimension.stock)
            given.append(print_length(stocked[0]) if stocked else dimension.base)
    return kind.request(given)


def _wishes(model: Model, kind: Kind, problem: Problem) -> dict[str, Row]:
    factor = _factor(model, kind)
    wishes: dict[str, Row] = {}
    for name in problem.wish:
        base = rational(model.draft.base[name])
        if name in kind.columns:
            wishes[name] = {asked_name(name): QQ(1)}
        elif model.pattern.dimensions[name].sizing == "proportion":
            wishes[name] = {key: base * value for key, value in factor.items()}
        else:
            wishes[name] = {CONSTANT: base}
    return wishes


def _factor(model: Model, kind: Kind) -> Mapping[str, Number]:
    """What dimensions in proportion are multiplied by: the scale, or the mean of what is asked over base."""
    if kind.is_scale:
        return {SCALE: QQ(1)}
    dimensions = model.pattern.dimensions
    leading = [name for name in kind.columns if dimensions[name].sizing == "proportion"]
    if kind.others == "at base" or not leading:
        return {CONSTANT: QQ(1)}
    return {asked_name(name): 1 / (len(leading) * rational(model.draft.base[name])) for name in leading}


def failing_first(labels: Iterable[str], inequalities: Mapping[str, Row]) -> tuple[str, ...]:
    """Labels that exclude a size: inequalities before the equations and stocks that they fail under."""
    return tuple(
        sorted(dict.fromkeys(labels), key=lambda label: label not in inequalities or label.startswith("stock:"))
    )
