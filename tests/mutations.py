"""Wrong grades, made on purpose, and whether the verifier rejects them.

Three kinds: (a) one number of a grade changed by one step of the ruler; (b) one dimension moved, and everything that
follows from it computed anew; (c) one relation withheld from the solver, and the size graded without it. What (b)
and (c) break is found by an evaluation of its own (`tests.evaluation`), which neither solver nor verifier shares.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from grading import verify
from grading.errors import SizewrightError
from grading.exact import print_number
from grading.grade import Grade, make_grade, write_grade
from grading.model import Problem, Relation
from grading.pipeline import grade_size, read_document
from grading.solve import Solution, solve
from tests.evaluation import broken, off_the_ruler, out_of_reach

Json = dict[str, Any]
Path = tuple[str | int, ...]
SEED = 20_240_607

OTHER_KINDS = frozenset(
    ["closed", "chain", "fate", "order", "allowance", "ruler", "ease", "displacement", "nearest", "volume", "printed"]
)
"""The kinds of claims that no relation stands behind (section 8 of the reference)."""
_MILLIMETRES = {"mm": Fraction(1), "in": Fraction(254, 10)}
_LENGTH = re.compile(r"(?P<sign>-?)(?:(?P<whole>\d+) )?(?P<number>\d+(?:/\d+|\.\d+)?) (?P<unit>mm|in)")
_RATIONAL = re.compile(r"-?\d+(?:/\d+)?")
_RATIONALS = ("certificate",)


@dataclass(frozen=True)
class Graded:
    """One size of a pattern: the document, the grade as found, and as it is written."""

    document: Json
    found: Grade
    grade: Json

    @property
    def problem(self) -> Problem:
        """What the size had to meet."""
        return self.found.problem

    @property
    def solution(self) -> Solution:
        """The size as it was solved."""
        return self.found.solution

    @property
    def step(self) -> Fraction:
        """The ruler's step in mm."""
        return self.problem.ruler.step

    def made(self, solution: Solution) -> Json:
        """The grade's document of another solution, everything drawn and cut anew."""
        found = self.found
        return write_grade(
            make_grade(
                found.model, found.problem, found.size_name, found.request, solution, found.choice, found.options
            )
        )


@dataclass(frozen=True)
class Mutant:
    """A grade that was made wrong: in what, and which relations that breaks (none for a changed number)."""

    about: str
    grade: Json
    breaks: frozenset[str] = frozenset()
    spoils: bool = True


def graded(document: Json, size: str) -> Graded:
    """Grade a named size of a pattern."""
    found = grade_size(read_document(document), size=size)
    return Graded(document, found, write_grade(found))


# (a) one number changed


def number_places(grade: Json) -> list[tuple[Path, int]]:
    """Where a grade's numbers stand: the path of each value, and which number in its text."""
    return [(path, number) for path, value in _leaves(grade, ()) for number in range(_count(path, value))]


def _leaves(value: Any, path: Path) -> Iterator[tuple[Path, Any]]:
    if isinstance(value, Mapping):
        for key, item in value.items():
            yield from _leaves(item, (*path, key))
    elif isinstance(value, list | tuple):
        for place, item in enumerate(value):
            yield from _leaves(item, (*path, place))
    else:
        yield path, value


def _count(path: Path, value: Any) -> int:
    if isinstance(value, bool) or value is None:
        return 0
    if isinstance(value, int | float):
        return 1
    if path[0] in _RATIONALS or path[-1] == "scale":
        return 1 if _RATIONAL.fullmatch(value) else 0
    return sum(1 for _ in _LENGTH.finditer(value))


def changed_number(grade: Json, place: tuple[Path, int], by: Fraction) -> Json:
    """The grade with one number changed by a length in mm (a count by one)."""
    path, number = place
    return _replaced(grade, path, lambda value: _changed(path, value, number, by))


def _replaced(value: Any, path: Path, change: Any) -> Any:
    """A copy along the path; all else is shared."""
    if not path:
        return change(value)
    copied: Any = dict(value) if isinstance(value, Mapping) else list(value)
    copied[path[0]] = _replaced(value[path[0]], path[1:], change)
    return copied


def _changed(path: Path, value: Any, number: int, by: Fraction) -> Any:
    if isinstance(value, int | float):
        return value + (1 if by > 0 else -1)
    if path[0] in _RATIONALS or path[-1] == "scale":
        return str(Fraction(value) + by)
    match = list(_LENGTH.finditer(value))[number]
    return f"{value[: match.start()]}{_longer(match, by)}{value[match.end() :]}"


def _longer(match: re.Match[str], by: Fraction) -> str:
    unit = _MILLIMETRES[match["unit"]]
    size = Fraction(match["number"]) + int(match["whole"] or 0)
    longer = (-size if match["sign"] else size) + by / unit
    if match["unit"] == "mm" or "." in match["number"]:
        return f"{print_number(longer)} {match['unit']}"
    whole, part = divmod(abs(longer), 1)
    text = " ".join(str(item) for item in (whole, part) if item) or "0"
    return f"{'-' if longer < 0 else ''}{text} in"


def single_mutants(made: Graded, sample: int | None = None, seed: int = SEED) -> Iterator[Mutant]:
    """Each number of a grade changed by one step of the ruler, up and down by turns; or a sample of them."""
    places = number_places(made.grade)
    if sample is not None:
        places = random.Random(seed).sample(places, min(sample, len(places)))
    for turn, place in enumerate(places):
        by = made.step if turn % 2 == 0 else -made.step
        path, number = place
        about = f"{'.'.join(str(step) for step in path)} ({number}) by {by}"
        yield Mutant(about, changed_number(made.grade, place, by))


# (b) one dimension moved, with all that follows


def moved_mutants(
    made: Graded, steps: Sequence[int] = (-9, -1, 1, 2), sample: int | None = None, seed: int = SEED
) -> Iterator[Mutant]:
    """Each dimension moved by some steps, and everything downstream computed anew; or a sample of them."""
    moves = [(name, count) for name in made.solution.printed for count in steps]
    if sample is not None:
        moves = random.Random(seed).sample(moves, min(sample, len(moves)))
    for name, count in moves:
        printed = {**made.solution.printed, name: made.solution.printed[name] + count * made.step}
        mutant = _resolved(made, f"{name} by {count} steps", replace(made.solution, printed=printed))
        if mutant is not None:
            yield mutant


def _resolved(made: Graded, about: str, solution: Solution) -> Mutant | None:
    """The mutant of a wrong solution; None where it turns a piece inside out, so that nothing can be drawn."""
    values = solution.printed
    breaks = broken(made.problem, solution.stock, values)
    spoils = (
        bool(breaks)
        or bool(off_the_ruler(made.problem, values))
        or bool(out_of_reach(made.problem, solution.nearest, values))
    )
    try:
        return Mutant(about, made.made(solution), breaks, spoils)
    except (ZeroDivisionError, ValueError):
        if not any(name.startswith(("outline:", "limits:")) for name in breaks):
            raise
        return None


# (c) one relation withheld


def withheld_mutants(made: Graded, sample: int | None = None, seed: int = SEED) -> Iterator[Mutant]:
    """The size graded with each relation withheld from the solver in turn.

    A sample is drawn from those that hold the size where it is: equations, and inequalities that are just met.
    """
    names = [relation.id for relation in made.problem.relations]
    names += [f"stock:{choice.dimension}" for choice in made.problem.stock]
    if sample is not None:
        names = [relation.id for relation in made.problem.relations if _holds_back(made, relation)]
        names = random.Random(seed).sample(names, min(sample, len(names)))
    for name in names:
        try:
            solution = solve(made.problem, withhold=frozenset({name}))
        except SizewrightError:
            continue
        stock = {**made.solution.stock, **solution.stock}
        mutant = _resolved(made, f"without {name}", replace(solution, stock=stock))
        if mutant is not None:
            yield mutant


def _holds_back(made: Graded, relation: Relation) -> bool:
    return relation.is_equation or relation.id in made.solution.multipliers


# what the verifier says


def failing(document: Json, grade: Json) -> list[verify.Claim] | None:
    """The claims that the verifier says do not hold; None where it cannot read the grade at all."""
    try:
        return list(verify.judge(document, grade).failing)
    except verify.UnreadableInput:
        return None


def is_rejected(document: Json, grade: Json) -> bool:
    """Whether the verifier turns a grade down."""
    claims = failing(document, grade)
    return claims is None or bool(claims)


def named_relations(claims: Sequence[verify.Claim]) -> frozenset[str]:
    """The relations among failing claims; that a value is on its stock list is what `stock:D` stands for."""
    return frozenset(claim.about.removesuffix(":listed") for claim in claims if claim.kind not in OTHER_KINDS)


def misses(document: Json, mutant: Mutant) -> frozenset[str]:
    """The broken relations of a mutant that the verifier does not name, or names without their being broken."""
    claims = failing(document, mutant.grade)
    return frozenset() if claims is None else mutant.breaks ^ named_relations(claims)


def count(document: Json, size: str, sample: int | None = None, seed: int = SEED) -> dict[str, int]:
    """Count the mutants (a) and (c) of one size and those that the verifier missed; a sample of each, or all."""
    made = graded(document, size)
    totals = {"single": 0, "single_missed": 0, "withheld": 0, "withheld_missed": 0}
    for mutant in single_mutants(made, sample, seed):
        totals["single"] += 1
        totals["single_missed"] += not is_rejected(document, mutant.grade)
    for mutant in withheld_mutants(made, sample, seed):
        totals["withheld"] += 1
        totals["withheld_missed"] += bool(misses(document, mutant))
    return totals
