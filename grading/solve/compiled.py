"""What the relations of a pattern come to, whatever size is asked for: laws, theorems, and the map they decide."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sympy import QQ, Symbol
from sympy.polys.matrices import DomainMatrix

from grading.area import Term
from grading.errors import Conflict
from grading.form import Form
from grading.model.relation import Origin, Relation
from grading.solve.conflict import branch_shown, named, spared
from grading.solve.elimination import Elimination, Inconsistent, eliminate
from grading.solve.row import Row, fraction, row_of, stated_row

REQUESTED = frozenset({Origin.FIXED, Origin.KEPT, Origin.ASKED, Origin.STOCK})
"""Origins of equations that one size has and another has not."""


@dataclass(frozen=True)
class Compiled:
    """The equations of a pattern, reduced once. Exact; plain data that can be pickled.

    dimensions  all of them, in document order
    laws        ids of independent equations
    theorems    ids of equations that follow from laws before them
    merged      ids of equations whose roots cancel because others make their areas equal, with the rest of each
    grounds     for each merged equation the ids of those that make its areas equal
    curved      ids of equations in which roots stay
    solution    each dimension that the laws decide, as {free dimension: coefficient, "": constant}, pi as PI40
    equations   the forms that were compiled, to see whether a problem has the same
    """

    dimensions: tuple[str, ...]
    laws: tuple[str, ...]
    theorems: tuple[str, ...]
    merged: Mapping[str, Mapping[str, Fraction]]
    grounds: Mapping[str, tuple[str, ...]]
    curved: tuple[str, ...]
    solution: Mapping[str, Mapping[str, Fraction]]
    equations: Mapping[str, tuple[Mapping[str, Fraction], Mapping[str, Fraction], Mapping[Term, Fraction]]]

    def covers(self, relations: Iterable[Relation]) -> bool:
        """Whether these relations have the very equations that were compiled."""
        lasting = [relation for relation in relations if is_lasting(relation)]
        return len(lasting) == len(self.equations) and all(
            self.equations.get(relation.id) == (relation.form.plain, relation.form.pi, relation.form.roots)
            for relation in lasting
        )


def is_lasting(relation: Relation) -> bool:
    """Whether it is an equation of every size of its pattern."""
    return relation.is_equation and relation.origin not in REQUESTED


def column_order(dimensions: Sequence[str]) -> list[str]:
    """Dimensions written later are decided by those written earlier."""
    return list(reversed(dimensions))


def compile_relations(dimensions: Iterable[str], relations: Iterable[Relation]) -> Compiled:
    """Reduce the equations that every size of a pattern has.

    Rows without roots come first; then roots whose areas they make equal are merged, and rows that have lost all
    roots join, until nothing changes. Exact with pi as PI40; that a theorem also holds of the true pi is decided over
    the field QQ(pi). Raises Conflict with an irreducible set if the equations cannot all hold.
    """
    names = tuple(dimensions)
    lasting = {relation.id: relation for relation in relations if is_lasting(relation)}
    try:
        return _reduce(names, lasting)
    except Inconsistent as error:
        suspects = [lasting[label] for label in error.multipliers]
        if any(relation.form.roots for relation in suspects):
            suspects = spared(list(lasting.values()), lambda some: _is_inconsistent(names, some))
        multipliers = {label: fraction(value) for label, value in error.multipliers.items()}
        shown = branch_shown(suspects, multipliers, {})
        raise Conflict(named(suspects), () if shown is None else (shown,)) from None


def _is_inconsistent(dimensions: tuple[str, ...], relations: Iterable[Relation]) -> bool:
    try:
        _reduce(dimensions, {relation.id: relation for relation in relations})
    except Inconsistent:
        return True
    return False


def _reduce(names: tuple[str, ...], lasting: Mapping[str, Relation]) -> Compiled:
    order = column_order(names)
    merged, grounds = _merge_roots(order, lasting)
    rows: dict[str, Row] = {}
    curved = tuple(label for label, relation in lasting.items() if relation.form.roots and label not in merged)
    for label, relation in lasting.items():
        if label not in curved and label not in merged:
            rows[label] = stated_row(relation.form)
    for label, form in merged.items():
        rows[label] = stated_row(form)
    reduced = eliminate(rows, order)
    forms = {label: merged.get(label, relation.form) for label, relation in lasting.items()}
    theorems = {
        label
        for label, multipliers in reduced.implied.items()
        if _holds_of_true_pi([forms[label], *(forms[ground] for ground in multipliers)])
    }
    return Compiled(
        dimensions=names,
        laws=tuple(label for label in rows if label not in theorems),
        theorems=tuple(label for label in rows if label in theorems),
        merged={label: {name: fraction(value) for name, value in rows[label].items()} for label in merged},
        grounds=grounds,
        curved=curved,
        solution={
            name: {inner: fraction(value) for inner, value in row.items()} for name, row in reduced.solution.items()
        },
        equations={
            label: (dict(relation.form.plain), dict(relation.form.pi), dict(relation.form.roots))
            for label, relation in lasting.items()
        },
    )


def _merge_roots(
    order: Sequence[str], lasting: Mapping[str, Relation]
) -> tuple[dict[str, Form], dict[str, tuple[str, ...]]]:
    rows = {label: row_of(relation.form.plain) for label, relation in lasting.items() if relation.form.is_rational}
    waiting = {label: relation.form for label, relation in lasting.items() if relation.form.roots}
    merged: dict[str, Form] = {}
    grounds: dict[str, tuple[str, ...]] = {}
    while waiting:
        reduced = eliminate(rows, order)
        under = {name for form in waiting.values() for name in Form(roots=form.roots).names}
        replacement = {
            name: Form({inner: fraction(value) for inner, value in reduced.solution[name].items()})
            for name in under
            if name in reduced.solution
        }
        fresh = {label: form.substituted(replacement) for label, form in waiting.items()}
        joined = {label: form for label, form in fresh.items() if not form.roots}
        for label, form in joined.items():
            merged[label] = form
            grounds[label] = _grounds(waiting.pop(label), reduced, grounds)
        rational_ones = {label: row_of(form.plain) for label, form in joined.items() if form.is_rational}
        rows |= rational_ones
        if not rational_ones:
            break
    return merged, grounds


def _grounds(form: Form, reduced: Elimination, known: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    direct = [label for name in sorted(form.names) for label in reduced.combination.get(name, {})]
    behind = [inner for label in direct for inner in known.get(label, ())]
    return tuple(dict.fromkeys(direct + behind))


def _holds_of_true_pi(forms: Sequence[Form]) -> bool:
    """Whether the forms are linearly dependent over QQ(pi), pi being transcendental."""
    if all(form.is_rational for form in forms):
        return True
    pi = Symbol("pi")
    field = QQ.frac_field(pi)
    columns = sorted({name for form in forms for terms in (form.plain, form.pi) for name in terms})
    matrix = [
        [
            field.convert(QQ.convert(form.plain.get(name, 0))) + field.gens[0] * QQ.convert(form.pi.get(name, 0))
            for name in columns
        ]
        for form in forms
    ]
    rank: int = DomainMatrix(matrix, (len(forms), len(columns)), field).rank()
    return rank < len(forms)
