"""One size, compiled: kiwisolver doing the same edits, and `sympy.solve` solving anew, over ours, in one run.

In half of the requests an inequality binds. Answers are compared before times: where nothing binds, both sides give the
same size; where something does, both sizes meet every relation and have what was asked, but kiwisolver's is the least
sum of changes and ours the least sum of squares, so that ours is held to be no further away in squares than theirs.
Times are the least of the rounds, on each side.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from time import perf_counter
from typing import Any

import kiwisolver
import numpy as np
import sympy

from grading.batch import Kind, SizeMap
from grading.errors import Conflict
from grading.exact import PI40
from grading.form import CONSTANT, Form
from grading.model import Problem, pose
from grading.pipeline import Prepared, compile_document, read_document, size_map
from tests.benchmarks import demo, generated

SEED = 20_261_125
REQUESTS = 200
ROUNDS = 15
OURS_REPEATED = 20
"""How often ours is repeated in a round, so that both sides are timed for about as long."""
SYMPY_ROUNDS = 5
NEAR = 1e-6
"""mm: what kiwisolver's answer may differ from ours; it counts what is below 1e-8 as zero."""
SET = ("width", "height", "depth")
PIECES = 50
NEAR_BASE = 0.15
FAR = 0.4
"""How far, in proportion, drawn sizes lie from the base: near it little binds, far from it much."""
MOST_DRAWN = 20_000


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run the benchmark on the largest demo pattern, and on a generated bag."""
    patterns = {demo.LARGEST: demo.document(demo.LARGEST), "generated": generated.bag(PIECES)}
    results = {name: _on_pattern(name, document, quick) for name, document in patterns.items()}
    return {"pattern": demo.LARGEST, **results[demo.LARGEST], "generated": results["generated"]}


def _on_pattern(name: str, document: dict[str, Any], quick: bool) -> dict[str, Any]:
    prepared = compile_document(read_document(document))
    bench = _Bench(prepared)
    requests = bench.sample(20 if quick else REQUESTS)
    ours, theirs = [], []
    for _ in range(3 if quick else ROUNDS):
        ours.append(_timed(bench.ours, requests * OURS_REPEATED))
        theirs.append(_timed(bench.kiwi, requests))
    anew = [bench.sympy_anew(request) for request in requests[: 2 if quick else SYMPY_ROUNDS]]
    one = min(ours)
    demo.note(f"{name}: ours {one * 1e6:.1f} µs, kiwisolver {min(theirs) * 1e6:.0f} µs")
    return {
        "dimensions": len(bench.map.dimensions),
        "relations": len(bench.problem.relations),
        "requests": len(requests),
        "bound": sum(bool(bench.map.held(request)) for request in requests),
        "ours_us": round(one * 1e6, 2),
        "kiwi_ratio": round(min(theirs) / one, 1),
        "sympy_ratio": round(min(anew) / one),
    }


def _timed(solve: Callable[[Sequence[float]], object], requests: Sequence[Sequence[float]]) -> float:
    started = perf_counter()
    for request in requests:
        solve(request)
    return (perf_counter() - started) / len(requests)


@dataclass
class _Kiwi:
    """The relations of a pattern as kiwisolver takes them, and what is edited for a size."""

    solver: Any
    variables: dict[str, Any]

    def edit(self, wishes: Sequence[tuple[Any, float]]) -> None:
        for variable, value in wishes:
            self.solver.suggestValue(variable, value)
        self.solver.updateVariables()


class _Bench:
    """One pattern on both sides. Stock dimensions are asked at their base: kiwisolver does not choose from stock."""

    def __init__(self, prepared: Prepared) -> None:
        self.prepared = prepared
        pattern = prepared.model.pattern
        stock = [name for name, dimension in pattern.dimensions.items() if dimension.sizing == "stock"]
        self.kind = Kind((*SET, *stock))
        self.base = {name: float(prepared.model.draft.base[name]) for name in self.kind.columns}
        self.map: SizeMap = size_map(prepared, self.kind)
        self.problem = self._problem([self.base[name] for name in self.kind.columns])
        self.weighted = [name for name in self.problem.weight if name not in self.kind.columns]
        self.usual = {name: float(prepared.model.draft.base[name]) for name in self.weighted}
        self._kiwi = _with_kiwi(self.problem, self.kind.columns, self.weighted)
        self._edited = [self._kiwi.variables[name] for name in (*self.kind.columns, *self.weighted)]
        self._bases = [self.usual[name] for name in self.weighted]
        self._leading = [self.base[name] for name in SET]

    def ours(self, request: Sequence[float]) -> Any:
        """The nearest size by the compiled map."""
        return self.map.nearest(request)

    def kiwi(self, request: Sequence[float]) -> None:
        """The same edits in kiwisolver; its values are not read out here, which costs it nothing."""
        factor = sum(value / base for value, base in zip(request, self._leading, strict=False)) / len(SET)
        values = (*request, *(factor * base for base in self._bases))
        self._kiwi.edit(list(zip(self._edited, values, strict=True)))

    def sample(self, count: int) -> list[list[float]]:
        """Requests whose answers were compared, half of them bound."""
        generator = random.Random(SEED)
        wanted = {True: count // 2, False: count - count // 2}
        requests: list[list[float]] = []
        for _ in range(MOST_DRAWN):
            spread = FAR if wanted[True] else NEAR_BASE
            request = [round(self.base[name] * generator.uniform(1 - spread, 1 + spread), 1) for name in SET]
            request += [self.base[name] for name in self.kind.columns[len(SET) :]]
            try:
                bound = bool(self.map.held(request))
            except Conflict:
                continue
            if wanted[bound]:
                self._compare(request, bound)
                wanted[bound] -= 1
                requests.append(request)
            if not any(wanted.values()):
                generator.shuffle(requests)
                return requests
        message = f"of {MOST_DRAWN} requests too few are {'bound' if wanted[True] else 'free'}"
        raise AssertionError(message)

    def _compare(self, request: list[float], bound: bool) -> None:
        self.kiwi(request)
        names = self.map.dimensions
        theirs = np.array([self._kiwi.variables[name].value() for name in names])
        ours = self.ours(request)
        problem = self._problem(request)
        faults = [name for name, at in (("kiwisolver", theirs), ("ours", ours)) if not _meets(problem, names, at)]
        if not bound and np.abs(ours - theirs).max() > NEAR:
            faults.append("the two differ")
        if _squares(problem, names, ours) > _squares(problem, names, theirs) + NEAR:
            faults.append("kiwisolver's is nearer")
        if faults:
            message = f"{request}: {', '.join(faults)}"
            raise AssertionError(message)

    def sympy_anew(self, request: Sequence[float]) -> float:
        """Time `sympy.solve` on all equations of a size, and see that our point is in its solution set."""
        problem = self._problem(request)
        symbols = {name: sympy.Symbol(name) for name in problem.dimensions}
        equations = [
            _expression(relation.form, symbols)
            for relation in problem.relations
            if relation.is_equation and not relation.form.is_constant and not relation.form.roots
        ]
        started = perf_counter()
        (only,) = sympy.solve(equations, list(symbols.values()), dict=True)
        elapsed = perf_counter() - started
        point = dict(zip((symbols[name] for name in self.map.dimensions), self.ours(request).tolist(), strict=True))
        for symbol, value in only.items():
            if abs(float(value.evalf(30, subs=point)) - point[symbol]) > NEAR:
                message = f"sympy decides {symbol} otherwise"
                raise AssertionError(message)
        return elapsed

    def _problem(self, request: Sequence[float]) -> Problem:
        return pose(self.prepared.model, self.kind.request([f"{value!r} mm" for value in request]))


def _meets(problem: Problem, names: Sequence[str], at: Any) -> bool:
    """Whether a size meets every relation, what was asked included, to what floats can tell."""
    values = dict(zip(names, at.tolist(), strict=True))
    gaps = ((relation.is_equation, relation.form.rough(values)) for relation in problem.relations)
    return all(abs(gap) <= NEAR if is_equation else gap >= -NEAR for is_equation, gap in gaps)


def _squares(problem: Problem, names: Sequence[str], at: Any) -> float:
    """The weighted sum of squares of a size, in proportion to the base."""
    values = dict(zip(names, at.tolist(), strict=True))
    return sum(
        float(weight) * (values[name] - float(problem.wish[name])) ** 2 for name, weight in problem.weight.items()
    )


def _with_kiwi(problem: Problem, columns: Sequence[str], weighted: Sequence[str]) -> _Kiwi:
    """Relations are required; what is asked is an edit that gives way to nothing else, wishes give way first."""
    solver = kiwisolver.Solver()
    variables = {name: kiwisolver.Variable(name) for name in problem.dimensions}
    for relation in problem.relations:
        if relation.form.is_constant or relation.form.roots or relation.id.startswith("asked:"):
            continue
        left = _kiwi_expression(relation.form, variables)
        solver.addConstraint((left == 0 if relation.is_equation else left >= 0) | "required")
    for name in columns:
        solver.addEditVariable(variables[name], "strong")
    for name in weighted:
        solver.addEditVariable(variables[name], "weak")
    return _Kiwi(solver, variables)


def _kiwi_expression(form: Form, variables: dict[str, Any]) -> Any:
    coefficients = _coefficients(form)
    terms = [variables[name] * float(value) for name, value in coefficients.items() if name != CONSTANT]
    return sum(terms[1:], terms[0] + float(coefficients.get(CONSTANT, 0)))


def _expression(form: Form, symbols: dict[str, sympy.Symbol]) -> sympy.Expr:
    return sympy.Add(
        *(
            sympy.Rational(value.numerator, value.denominator) * (1 if name == CONSTANT else symbols[name])
            for name, value in _coefficients(form).items()
        )
    )


def _coefficients(form: Form) -> dict[str, Fraction]:
    names = dict.fromkeys([*form.plain, *form.pi])
    return {name: form.plain.get(name, Fraction(0)) + PI40 * form.pi.get(name, Fraction(0)) for name in names}
