"""Solution maps: that a pattern's equations decide each dimension as a map says, for all sizes at once."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from grading.verify.document.options import chosen_options
from grading.verify.document.pattern import Pattern, read_head, read_pattern
from grading.verify.exact.enclosures import PI40, PI40_SCALE, PI40_TOP
from grading.verify.exact.forms import (
    PI_MARK,
    Area,
    AreaKey,
    CurveLength,
    Form,
    Root,
    constant,
    curve_length,
    dimension,
    product,
)
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.points import common_denominator
from grading.verify.exact.relations import Relation
from grading.verify.printing.printed import printed_claim, shown
from grading.verify.relations.nearest import rational_or_none
from grading.verify.relations.relation_list import all_relations
from grading.verify.unreadable import refuse
from grading.verify.verdict import Claim, Verdict, verdict_of

# Equations that hold in every size; those of a request come and go.
LASTING = frozenset({"seam", "notch", "covering", "rule"})
ONE = "1"
# A row of whole coefficients by dimension, none of them 0.
Row = dict[str, int]


@dataclass(frozen=True)
class Map:
    """Each decided dimension as an affine form of the free ones."""

    free: tuple[str, ...]
    curved: frozenset[str]
    decided: Mapping[str, Form]
    faults: tuple[str, ...]

    def form_of(self, title: str) -> Form:
        """Return what stands for a dimension."""
        return self.decided.get(title) or dimension(title)


def judge_map(pattern: dict[str, Any], solution: dict[str, Any]) -> Verdict:
    """Return the verdict on a solution map.

    Both are plain data as read from JSON. Raises `UnreadableInput` when one is no pattern or no map at all.
    """
    if not isinstance(solution, dict) or solution.get("kind") != "map":
        refuse("is not a solution map", "map")
    request = {"scale": 1, "ruler": solution.get("ruler"), "options": solution.get("options")}
    head = read_head(pattern, chosen_options(pattern, request, "map"))
    drawn = read_pattern(head, head.request(request, "map"))
    stock = {
        title: drawn.stock[item.stock][0] for title, item in head.dimensions.lengths.items() if item.stock is not None
    }
    equations = [item for item in all_relations(drawn, stock) if item.is_equation and item.kind in LASTING]
    given = _read(solution, drawn)
    ruler = drawn.ruler.printed(drawn.ruler.step)
    claims = [*_form_claims(given, equations), *_equation_claims(given, equations), *_decides_claims(given, drawn)]
    claims.append(_rank_claim(given, equations))
    claims.append(printed_claim("format", solution.get("format"), "1", solution.get("format") == 1))
    claims.append(
        printed_claim("pattern", solution.get("pattern"), shown(head.name), solution.get("pattern") == head.name)
    )
    claims.append(printed_claim("ruler", solution.get("ruler"), ruler, solution.get("ruler") == ruler))
    if head.options:
        same = solution.get("options") == head.options
        claims.append(printed_claim("options", solution.get("options"), "the choice of every option", same))
    return verdict_of(claims)


def _names(value: object) -> tuple[str, ...]:
    return tuple(item if isinstance(item, str) else "" for item in value) if isinstance(value, list) else ()


def _read(solution: Mapping[str, Any], pattern: Pattern) -> Map:
    free = _names(solution.get("free"))
    faults: list[str] = []
    decided: dict[str, Form] = {}
    given = solution.get("map")
    for title, entry in given.items() if isinstance(given, dict) else ():
        terms = {key: rational_or_none(item) for key, item in entry.items()} if isinstance(entry, dict) else {"": None}
        numbers = {key: number for key, number in terms.items() if number is not None}
        strange = next((key for key in terms if key not in numbers or (key != ONE and key not in free)), None)
        if strange is not None or common_denominator(numbers.values()) is None:
            faults.append(f"{shown(title)} is no sum of free dimensions")
            continue
        form = constant(numbers.pop(ONE, Fraction(0)))
        for key, number in numbers.items():
            form = form + dimension(key).times(number)
        decided[str(title)] = form
    if not isinstance(given, dict):
        faults.append("the map is missing")
    known = pattern.head.dimensions.lengths
    faults += [f"{shown(title)} is no dimension" for title in (*free, *decided) if title not in known]
    return Map(free, frozenset(_names(solution.get("curved"))), decided, tuple(faults))


def _claim(about: str, fault: str, says: str) -> Claim:
    return Claim("map", f"map:{about}", fault or "as it must be", "0", not fault, fault or says)


def _form_claims(given: Map, equations: Sequence[Relation]) -> Iterator[Claim]:
    names = {relation.name for relation in equations}
    wrong = [f"{shown(title)} is no equation of this pattern" for title in given.curved if title not in names]
    yield _claim("form", (*given.faults, *wrong, "")[0], "the map speaks of this pattern's dimensions and equations")


def _equation_claims(given: Map, equations: Sequence[Relation]) -> Iterator[Claim]:
    for relation in equations:
        rest = substituted(relation.form, given)
        is_listed, fault = relation.name in given.curved, ""
        if rest is None:
            fault = f"{relation.name} cannot be judged: its areas do not work out"
        elif rest.has_root and not is_listed:
            fault = f"{relation.name} keeps roots, and is not listed as curved"
        elif not rest.has_root and is_listed:
            fault = f"{relation.name} is listed as curved, and no root is left in it"
        elif not rest.has_root and not rest.is_zero:
            fault = f"{relation.name} does not come out as 0 in every size: {relation.says}"
        says = f"{relation.says}: in every size" if not is_listed else f"{relation.says}: judged size by size"
        yield _claim(relation.name, fault, says)


def substituted(form: Form, given: Map) -> Form | None:
    """Return a form with the map put in, and PI40 in the place of pi; None where an area cannot be worked out."""
    result = constant(Fraction(0))
    for key, factor in form.terms.items():
        if isinstance(key, str):
            result = result + _term(key, given).times(Fraction(factor, form.below))
            continue
        length = _root(key, given) if isinstance(key, Root) else _curve(key, given)
        if length is None:
            return None
        result = result + length.times(Fraction(factor, form.below))
    return result


def _root(root: Root, given: Map) -> Form | None:
    area = _area(root.terms, given)
    return None if area is None else area.root()


def _curve(curve: CurveLength, given: Map) -> Form | None:
    """Return the length of a curve of equal areas, the map put in; equal curves are equal terms."""
    areas = []
    for below, terms in curve.areas:
        area = _area(terms, given)
        if area is None:
            return None
        areas.append(area.times(Fraction(1, below)))
    return curve_length(curve.kind, areas)


def _term(key: str, given: Map) -> Form:
    name = key.removeprefix(PI_MARK)
    form = given.form_of(name) if name else constant(Fraction(1))
    return form.times(PI40) if key.startswith(PI_MARK) else form


def _area(terms: Sequence[tuple[AreaKey, int]], given: Map) -> Area | None:
    total = Area(1, {})
    for (first, second), factor in terms:
        part = product(_term(first, given), _term(second, given))
        if part is None:
            return None
        total = total.plus(part.times(Fraction(factor)), 1)
    return total


def _decides_claims(given: Map, pattern: Pattern) -> Iterator[Claim]:
    for title in pattern.head.dimensions.lengths:
        times = given.free.count(title) + (title in given.decided)
        fault = "" if times == 1 else f"{title} is {'neither free nor decided' if times == 0 else 'told twice'}"
        yield _claim(f"decides:{title}", fault, f"{title} is {'decided' if title in given.decided else 'free'}")


def _rank_claim(given: Map, equations: Sequence[Relation]) -> Claim:
    count = rank([relation.form for relation in equations if relation.name not in given.curved])
    says = f"the equations decide {count} dimensions, the map {len(given.decided)}"
    return Claim("map", "map:rank", str(len(given.decided)), str(count), count == len(given.decided), says)


def rank(forms: Sequence[Form]) -> int:
    """Return the exact rank of the forms' coefficients of the dimensions, with PI40 in the place of pi.

    Roots are left out: where they cancel once the map is put in, what is left of the form must be 0 as well.
    """
    rows = [row for row in (_whole_row(form) for form in forms) if row]
    count = 0
    while rows:
        # The shortest row keeps the others short.
        pivot = rows.pop(min(range(len(rows)), key=lambda index: len(rows[index])))
        name, head = min(pivot.items(), key=lambda item: abs(item[1]))
        rows = [row for row in (_eliminated(row, pivot, name, head) for row in rows) if row]
        count += 1
    return count


def _whole_row(form: Form) -> Row:
    row: Row = {}
    for key, factor in form.terms.items():
        if isinstance(key, str) and key not in {"", PI_MARK}:
            name = key.removeprefix(PI_MARK)
            row[name] = row.get(name, 0) + factor * (PI40_TOP if key.startswith(PI_MARK) else PI40_SCALE)
    return _reduced(row)


def _eliminated(row: Row, pivot: Row, name: str, head: int) -> Row:
    """Return head times the row minus a multiple of the pivot, in which the name has gone; nothing is divided."""
    factor = row.get(name, 0)
    if not factor:
        return row
    names = {**row, **pivot}
    return _reduced({title: head * row.get(title, 0) - factor * pivot.get(title, 0) for title in names})


def _reduced(row: Row) -> Row:
    divisor = math.gcd(*row.values())
    return {name: value // divisor for name, value in row.items() if value}
