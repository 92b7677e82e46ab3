"""The nearest point: found by active sets, then settled exactly, with the multipliers that show it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sympy import QQ

from grading.errors import Stopped
from grading.form import CONSTANT
from grading.solve.active import prepare
from grading.solve.elimination import Inconsistent, eliminate
from grading.solve.face import Face, face_on, gradient_of
from grading.solve.row import SLOPE_DIGITS, ZERO, Number, fraction, rational, tangent_row, value_of
from grading.solve.task import Task

Stop = Callable[[], bool]
CLOSE = Fraction(1, 10**12)
"""How near, in mm, two successive points are when roots have been followed far enough."""
ROUNDS = 200
"""Linearisations, in floats and again in rationals, before giving up."""


SLOW = 0.9
"""What part of the last way the next may be before ways are halved."""
FLOATS = 1e-6
"""Ways, in mm, below which floats are followed only while each is less than half of the last."""
ROUGH_DIGITS = 14
"""Decimals of the lengths of curves while floats are followed."""
DIGITS = 30
"""Decimals kept of the points at which tangents are drawn."""


class Infeasible(Exception):
    """Rows that cannot hold together: multipliers (>= 0 for inequalities) that sum them to a negative constant."""

    def __init__(self, multipliers: Mapping[str, Number]) -> None:
        self.multipliers = multipliers
        super().__init__(f"infeasible: {', '.join(multipliers)}")


@dataclass(frozen=True)
class Nearest:
    """The nearest point of a task. `multipliers` of the rows that are not zero; `cost` the weighted sum."""

    values: Mapping[str, Number]
    multipliers: Mapping[str, Number]
    active: tuple[str, ...]
    cost: Number


def poll(stop: Stop | None) -> None:
    """Raise Stopped if the caller asks to end."""
    if stop is not None and stop():
        raise Stopped


def nearest(task: Task, stop: Stop | None = None) -> Nearest:
    """The point of least weighted square at which all rows hold; exact but for roots that stay (to 1e-12 mm).

    Raises Undetermined, Stopped, and Infeasible: with exact multipliers; where roots stay, with those of their
    tangents, or with zeros if the tangents come to no end, which shows nothing but that no point was found.
    """
    found = _follow_roots(task, stop) if task.curved else settle(task, guess_active(task), stop)
    if any(label in found.multipliers for label in task.merged):
        return _with_true_slopes(task, found)
    return found


def guess_active(task: Task) -> tuple[str, ...]:
    """Which inequalities bind, in floats."""
    return _float_step(task, _straight_face(task))[0]


def settle(task: Task, guess: Sequence[str], stop: Stop | None = None) -> Nearest:
    """The exact point of a task from a guess of the active set; curved forms are passed over.

    The dual active-set method of `active`, in rationals: right whatever the guess. Raises Infeasible, Undetermined.
    """
    pull = {name: 2 * factor * task.wish[name] for name, factor in task.weight.items()}
    face, active = _start(task, list(guess))
    while True:
        poll(stop)
        values = face.minimum(task.weight, pull)
        multipliers = face.elimination.multipliers(gradient_of(task.weight, task.wish, values))
        negative = [label for label, value in multipliers.items() if value < 0 and label in active]
        if negative:
            active.remove(min(negative, key=lambda label: float(multipliers[label])))
        else:
            slacks = {label: value_of(row, values) for label, row in task.inequalities.items()}
            broken = [label for label, slack in slacks.items() if slack < 0]
            if not broken:
                break
            worst = min(broken, key=lambda label: float(slacks[label]))
            active = _admit(task, active, worst, slacks[worst], multipliers)
        face = _face(task, active)
    cost = sum((factor * (values[name] - task.wish[name]) ** 2 for name, factor in task.weight.items()), ZERO)
    return Nearest(values, multipliers, tuple(active), cost)


def _start(task: Task, active: list[str]) -> tuple[Face, list[str]]:
    """The face of the guess, rows that depend on others left out."""
    while True:
        try:
            face = _face(task, active)
        except Inconsistent as error:
            guessed = [label for label in active if label in error.multipliers]
            if not guessed:
                raise Infeasible(error.multipliers) from None
            active.remove(guessed[-1])
            continue
        return face, [label for label in active if label not in face.elimination.implied]


def _admit(
    task: Task,
    active: list[str],
    worst: str,
    slack: Number,
    multipliers: Mapping[str, Number],
) -> list[str]:
    """The active set after the violated row has been reached, rows that stand in its way dropped."""
    normal = {name: value for name, value in task.inequalities[worst].items() if name}
    left = dict(multipliers)
    while True:
        face = _face(task, active)
        direction = face.steepest(task.weight, normal)
        rest = {
            name: normal.get(name, ZERO) - 2 * task.weight.get(name, ZERO) * direction[name] for name in task.dimensions
        }
        ratios = face.elimination.multipliers(rest)
        climb = sum((value * direction[name] for name, value in normal.items()), ZERO)
        standing = [label for label, value in ratios.items() if value > 0 and label in active]
        steps = [left.get(label, ZERO) / ratios[label] for label in standing]
        step = min(steps) if steps else None
        if climb and (step is None or -slack / climb <= step):
            return [*active, worst]
        if step is None:
            raise Infeasible({worst: QQ(1), **{label: -value for label, value in ratios.items()}})
        blocking = standing[steps.index(step)]
        left = {label: value - step * ratios.get(label, ZERO) for label, value in left.items()}
        slack += step * climb
        active = [label for label in active if label != blocking]


def _face(task: Task, active: Sequence[str]) -> Face:
    rows = {**task.equations, **{label: task.inequalities[label] for label in active}}
    return face_on(rows, task.dimensions, task.order)


def _straight_face(task: Task) -> Face:
    try:
        return _face(task, ())
    except Inconsistent as error:
        raise Infeasible(error.multipliers) from None


def _float_step(task: Task, straight: Face) -> tuple[tuple[str, ...], dict[str, float] | None]:
    """The active set and the point in floats; the task may have more equations (tangents) than the straight face.

    No point where floats cannot tell, or where it takes the exact method to say which rows exclude each other.
    """
    known = straight.labels
    further = {label: row for label, row in task.equations.items() if label not in known}
    try:
        face = straight.narrowed(further) if further else straight
    except Inconsistent:
        return (), None
    program = prepare(face, task.weight, task.wish, list(task.inequalities.values()))
    if program is None:
        return (), None
    labels = list(task.inequalities)
    outcome = program.solve()
    point = dict(zip(face.rows, outcome.point.tolist(), strict=True))
    return tuple(labels[index] for index in outcome.active), None if outcome.infeasible else point


def _follow_roots(task: Task, stop: Stop | None) -> Nearest:
    """Successive tangents: in floats until the points stand still, then exactly."""
    straight = _straight_face(task)
    at, part, before = _first_point(task, straight), Fraction(1), float("inf")
    guess: tuple[str, ...] = ()
    for _ in range(ROUNDS):
        poll(stop)
        guess, point = _float_step(_on_tangents(task, at, ROUGH_DIGITS), straight)
        if point is None:
            break
        target = {name: Fraction(round(value * 2**44), 2**44) for name, value in point.items()}
        moved = float(_distance(at, target))
        if moved < FLOATS and moved > before / 2:
            break
        part, before = part if moved < SLOW * before else part / 2, moved
        at = _towards(at, target, part)
    for _ in range(ROUNDS):
        found = settle(_on_tangents(task, at), guess, stop)
        values = {name: fraction(value) for name, value in found.values.items()}
        if _distance(at, values) <= CLOSE:
            return found
        at, guess = _towards(at, values, part), found.active
    raise Infeasible(dict.fromkeys(task.curved, ZERO))


def _distance(one: Mapping[str, Fraction], other: Mapping[str, Fraction]) -> Fraction:
    return max((abs(value - other[name]) for name, value in one.items()), default=Fraction(0))


def _towards(at: Mapping[str, Fraction], target: Mapping[str, Fraction], part: Fraction) -> dict[str, Fraction]:
    """A point on the way: tangents far along strongly curved roots swing to and fro, and half the way meets them."""
    return {name: round(value + part * (target[name] - value), DIGITS) for name, value in at.items()}


def _on_tangents(task: Task, at: Mapping[str, Fraction], curve_digits: int = SLOPE_DIGITS) -> Task:
    """The task with its curved forms replaced by their tangents."""
    equations, inequalities = dict(task.equations), dict(task.inequalities)
    for label, (form, is_equation) in task.curved.items():
        (equations if is_equation else inequalities)[label] = tangent_row(form, at, curve_digits)
    return task.changed(equations=equations, inequalities=inequalities)


def _first_point(task: Task, straight: Face) -> dict[str, Fraction]:
    """The point on the rows without roots that is nearest, in proportion, to the wished and base values."""
    usual = max(task.start.values(), default=Fraction(1))
    start = {name: rational(task.start.get(name, usual)) for name in task.dimensions}
    weight = {name: 1 / value**2 if value else QQ(1) for name, value in start.items()}
    point = straight.minimum(weight, {name: 2 * weight[name] * value for name, value in start.items()})
    return {name: round(fraction(value), DIGITS) for name, value in point.items()}


def _with_true_slopes(task: Task, found: Nearest) -> Nearest:
    """Multipliers for the equations as written, roots and all, in place of what is left of merged ones."""
    at = {name: fraction(value) for name, value in found.values.items()}
    straight = _on_tangents(task, at)
    rows = {
        label: tangent_row(task.merged[label], at) if label in task.merged else row
        for label, row in straight.equations.items()
    }
    rows |= {label: straight.inequalities[label] for label in found.active}
    slopes = {label: {name: value for name, value in row.items() if name != CONSTANT} for label, row in rows.items()}
    reduced = eliminate(slopes, task.order)
    multipliers = reduced.multipliers(gradient_of(task.weight, task.wish, found.values))
    return Nearest(found.values, multipliers, found.active, found.cost)
