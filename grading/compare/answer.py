"""The answer to a size request in a maker's words: for each dimension what was wished, what is given, and why."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grading.compare.reasons import Pulls, pulls_of
from grading.compare.texts import exactly, shown
from grading.exact import Ruler, read_length
from grading.form import Values
from grading.grade import Grade
from grading.model import Relation
from grading.model.relation import Origin

SAME = Fraction(1, 10**9)
"""Lengths in mm that differ by no more are the same to a person; where roots take part, sizes are found to 1e-12."""
MOST_TOLD = 3
"""Reasons that one sentence gives; all of them stand beside it."""


@dataclass(frozen=True)
class DimensionAnswer:
    """One dimension of a size. Lengths in mm, exact; `because` is what holds it from its wish, or what decides it.

    asked    what the request sets, if it does
    wished   what it would be if nothing stood in the way; None for one that the seams and rules decide
    nearest  the nearest to all wishes that keeps every relation
    given    as it is cut: on the ruler
    choices  what is in stock, for one that is chosen from stock
    """

    name: str
    title: str
    sizing: str
    asked: Fraction | None
    wished: Fraction | None
    nearest: Fraction
    given: Fraction
    choices: tuple[Fraction, ...]
    because: tuple[Relation, ...]
    ruler: Ruler

    @property
    def is_held(self) -> bool:
        """Whether it is held back: the nearest size is not the wished one."""
        return self.wished is not None and abs(self.nearest - self.wished) > SAME

    @property
    def differs(self) -> bool:
        """Whether it is given otherwise than wished, be it only for the ruler."""
        return self.wished is not None and abs(self.given - self.wished) > SAME

    @property
    def says(self) -> str:
        """What is given and why, in one sentence."""
        given = self._text(self.given)
        if self.sizing == "count":
            return f"{self.name}: {self.given}"
        if self.wished is None:
            told = _listed([join_text(relation) for relation in self.because])
            return f"{self.name}: {given}, decided by {told or 'what is left for it'}"
        if not self.differs and not self.is_held:
            return f"{self.name}: {given}, {self._as_wished()}"
        return f"{self.name}: {given} instead of {self._text(self.wished)}, {self._why()}"

    def _as_wished(self) -> str:
        if self.asked is not None:
            return "as asked"
        return {"fixed": "as drafted", "stock": "as drafted, and in stock"}.get(self.sizing, "as wished")

    def _why(self) -> str:
        if not self.is_held:
            return self._on_ruler()
        if self.sizing == "stock" and not self.because:
            why = "since of what is in stock this is the nearest with which all else holds"
        else:
            why = self._reasons()
        if abs(self.given - self.nearest) <= SAME:
            return why
        return f"{why}; that would be {self._text(self.nearest)}, {self._on_ruler()}"

    def _on_ruler(self) -> str:
        if self.given == self.ruler.put(self.nearest):
            return f"rounded to the ruler of {self.ruler}"
        return f"so that all measures lie on the ruler of {self.ruler} and every join still holds"

    def _reasons(self) -> str:
        """What holds it back: first what stands firm, then the joins through which that reaches it."""
        ends = [relation for relation in self.because if not relation.is_equation or relation.origin in _FIRM]
        ends.sort(key=lambda relation: relation.origin is Origin.LIMITS)
        joins = [join_text(relation) for relation in self.because if relation not in ends]
        if not ends:
            return f"to keep {_listed(joins)}"
        through = f", through {_listed(joins)}" if joins else ""
        return f"since {_listed([reason_text(relation) for relation in ends])}{through}"

    def _text(self, value: Fraction) -> str:
        return shown(self.ruler, exactly(value))


_FIRM = frozenset({Origin.ASKED, Origin.KEPT, Origin.FIXED, Origin.STOCK})


def _listed(texts: list[str]) -> str:
    """Texts as a person lists them: each once, and of many the first."""
    told = list(dict.fromkeys(texts))
    more = len(told) - MOST_TOLD
    return " and ".join(told[:MOST_TOLD]) + (f" and {more} more" if more > 0 else "")


@dataclass(frozen=True)
class Explanation:
    """The answer to one request. `held` are the relations that hold the size back, each once."""

    grade: Grade
    dimensions: tuple[DimensionAnswer, ...]
    held: tuple[Relation, ...]

    @property
    def differing(self) -> tuple[DimensionAnswer, ...]:
        """The dimensions that are given otherwise than wished."""
        return tuple(answer for answer in self.dimensions if answer.differs or answer.is_held)


def explain(grade: Grade) -> Explanation:
    """Say for each dimension of a grade what was wished, what is given, and which relations hold it back."""
    pulls = pulls_of(grade)
    answers = tuple(
        _count(grade, name) if name in grade.model.draft.counts else _answer(grade, name, pulls)
        for name in grade.model.pattern.dimensions
    )
    held = {relation.id: relation for answer in answers if answer.is_held for relation in answer.because}
    return Explanation(grade, answers, tuple(held.values()))


def reason_text(relation: Relation) -> str:
    """A relation as the reason for something."""
    if relation.origin is Origin.RULE and relation.because:
        return relation.because.rstrip(". ")
    if relation.origin is Origin.ASKED:
        return f"{relation.says}, as asked"
    if relation.origin in {Origin.CONTENTS, Origin.HOLD, Origin.WITHIN, Origin.FIXED, Origin.KEPT, Origin.STOCK}:
        return f"{relation.says} ({relation.because})"
    return relation.says


def join_text(relation: Relation) -> str:
    """A relation that ties dimensions to each other, in few words: a seam has the name that the designer gave it."""
    name = relation.id.split(":")[1]
    if relation.origin in {Origin.SEAM, Origin.NOTCH}:
        return f"the seam {name}"
    if relation.origin is Origin.COVERING:
        return f"the place of {name}"
    return f"the rule that {reason_text(relation)}" if relation.origin is Origin.RULE else reason_text(relation)


def _answer(grade: Grade, name: str, pulls: Pulls) -> DimensionAnswer:
    model, problem = grade.model, grade.problem
    dimension = model.pattern.dimensions[name]
    wished, nearest = problem.wish.get(name), grade.solution.nearest[name]
    if wished is None:
        because = _deciding(grade, name)
    else:
        because = pulls.behind(name, nearest - wished) if abs(nearest - wished) > SAME else ()
    # A dimension's own choice from stock is what is being explained.
    because = tuple(relation for relation in because if relation.id != f"stock:{name}")
    asked = (grade.request.set or {}).get(name)
    choices = next((choice.values for choice in problem.stock if choice.dimension == name), ())
    return DimensionAnswer(
        name=name,
        title=dimension.says,
        sizing=dimension.sizing,
        asked=None if asked is None else read_length(asked, model.pattern.unit),
        wished=wished,
        nearest=nearest,
        given=grade.values[name],
        choices=choices,
        because=because or _against_stock(grade, name, choices),
        ruler=model.ruler,
    )


def _count(grade: Grade, name: str) -> DimensionAnswer:
    count, title = Fraction(grade.model.draft.counts[name]), grade.model.pattern.dimensions[name].says
    return DimensionAnswer(name, title, "count", None, count, count, count, (), (), grade.model.ruler)


def _against_stock(grade: Grade, name: str, choices: tuple[Fraction, ...]) -> tuple[Relation, ...]:
    """What speaks against each value in stock that is nearer to the wish than the chosen one."""
    if not choices:
        return ()
    wished, chosen = grade.problem.wish[name], grade.solution.nearest[name]
    nearer = [value for value in choices if abs(value - wished) < abs(chosen - wished)]
    return tuple(
        relation
        for relation in grade.problem.relations
        if relation.form.names == {name} and any(_is_broken(relation, {name: value}) for value in nearer)
    )


def _is_broken(relation: Relation, values: Values) -> bool:
    length = relation.form.enclosure(values)
    return length.high < 0 or (relation.is_equation and length.low > 0)


def _deciding(grade: Grade, name: str) -> tuple[Relation, ...]:
    """The equations that a decided dimension is in, and the inequalities that hold it."""
    return tuple(
        relation
        for relation in grade.problem.relations
        if name in relation.form.names and (relation.is_equation or grade.solution.multipliers.get(relation.id))
    )
