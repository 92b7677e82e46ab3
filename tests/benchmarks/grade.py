"""A whole grade of the largest demo, and its verification, over `sympy.solve` on the same relations, in one run.

As in a worker process, libraries are left out of the collection of garbage after a first grade; so they are for sympy.
"""

from __future__ import annotations

import json
import random
from fractions import Fraction
from time import perf_counter
from typing import Any

import sympy

from api.jobs.worker import settle
from grading.exact import PI40
from grading.form import CONSTANT, Form
from grading.grade import Grade, write_grade
from grading.model import Problem, pose
from grading.pipeline import compile_document, grade_size, read_document
from grading.proof import prove
from grading.verify import judge
from tests.benchmarks import demo

ROUNDS = 60
SEED = 20_261_125


def measure(*, quick: bool = False) -> dict[str, Any]:
    """Run the benchmark on the largest demo pattern, with a new size in each round."""
    document = demo.document(demo.LARGEST)
    pattern = read_document(document)
    prepared = compile_document(pattern)
    generator = random.Random(SEED)
    equations = _sympy_equations(pose(prepared.model, pattern.sizes["mini"]))
    judge(document, json.loads(json.dumps(write_grade(grade_size(pattern, size="mini", prepared=prepared)))))
    settle()
    ours, verified, theirs = [], [], []
    for number in range(6 if quick else ROUNDS):
        request = {"scale": f"{generator.randint(720, 1240)}/1000"}
        started = perf_counter()
        grade = grade_size(pattern, request=request, prepared=prepared)
        claims = prove(grade)
        written = json.loads(json.dumps(write_grade(grade)))
        ours.append(perf_counter() - started)
        started = perf_counter()
        verdict = judge(document, written)
        verified.append(perf_counter() - started)
        if not verdict.holds or not all(claim.holds for claim in claims):
            message = f"a grade for {request} does not verify"
            raise AssertionError(message)
        theirs.append(_solve_with_sympy(equations, grade))
        if number % 10 == 0:
            demo.note(f"round {number}: {ours[-1]:.3f} s, verified in {verified[-1]:.3f} s, sympy {theirs[-1]:.3f} s")
    reference = _percentile(theirs, 50)
    return {
        "pattern": demo.LARGEST,
        "pieces": len(prepared.model.pieces),
        "relations": len(prepared.model.relations),
        "equations": len(equations[0]),
        "rounds": len(ours),
        "p50_ratio": round(_percentile(ours, 50) / reference, 3),
        "p99_ratio": round(_percentile(ours, 99) / reference, 3),
        "verify_ratio": round(_percentile(verified, 50) / reference, 3),
        "sympy_solve_ms": round(1000 * reference, 1),
    }


def _percentile(values: list[float], percent: int) -> float:
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, round(percent / 100 * (len(ordered) - 1)))]


def _sympy_equations(problem: Problem) -> tuple[list[sympy.Expr], list[sympy.Symbol]]:
    """The equations that seams, coverings, notches and rules come to, with pi as a rational as our solver has it."""
    symbols = {name: sympy.Symbol(name) for name in problem.dimensions}
    equations = [
        _expression(relation.form, symbols)
        for relation in problem.relations
        if relation.is_equation and not relation.form.is_constant and not relation.form.roots
    ]
    return equations, list(symbols.values())


def _expression(form: Form, symbols: dict[str, sympy.Symbol]) -> sympy.Expr:
    terms = [(name, value) for name, value in form.plain.items()]
    terms += [(name, value * PI40) for name, value in form.pi.items()]
    return sympy.Add(*(_rational(value) * (1 if name == CONSTANT else symbols[name]) for name, value in terms))


def _rational(value: Fraction) -> sympy.Rational:
    return sympy.Rational(value.numerator, value.denominator)


def _solve_with_sympy(equations: tuple[list[sympy.Expr], list[sympy.Symbol]], grade: Grade) -> float:
    """Time `sympy.solve`, and see that our nearest point lies in its solution set."""
    started = perf_counter()
    (only,) = sympy.solve(*equations, dict=True)
    elapsed = perf_counter() - started
    point = {symbol: _rational(grade.solution.nearest[symbol.name]) for symbol in equations[1]}
    for symbol, value in only.items():
        if value.xreplace(point) != point[symbol]:
            message = f"sympy decides {symbol} otherwise"
            raise AssertionError(message)
    return elapsed
