"""Rules that never bind, and limits that no size can reach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grading.check.bag import Bag
from grading.check.bounds import Bounds, Shown
from grading.check.notes import Note, listed, remark
from grading.model.findings import stock_values
from grading.model.relation import Origin, Relation
from grading.solve import Compiled
from grading.solve.compiled import column_order, is_lasting
from grading.solve.elimination import eliminate
from grading.solve.row import Number, Row, fraction, rational, stated_row, substituted

NUMBERS_IN_A_SENTENCE = 4
"""How many reasons are told."""
MOST_WORK = 1_000_000
"""How many questions times rows are gone through; of a very large pattern the last limits are not looked at."""


def implied_notes(bag: Bag, compiled: Compiled) -> Iterator[Note]:
    """Rules that follow from all else, and ends of limits that all else keeps every size away from.

    Dimensions that are fixed count as free here, since a size may set them; those from stock keep to its range.
    """
    solved = {name: {key: rational(value) for key, value in row.items()} for name, row in compiled.solution.items()}
    relations = {relation.id: relation for relation in bag.model.relations}
    rows = {
        label: substituted(stated_row(relation.form), solved)
        for label, relation in relations.items()
        if not relation.is_equation and not relation.form.roots
    }
    rows |= _stock_rows(bag, solved)
    yield from _idle_rules(bag)
    yield from _rules_that_follow(bag, compiled, relations)
    bounds = Bounds({label: row for label, row in rows.items() if any(row)})
    if bounds.is_empty:
        return
    yield from _rules_never_met(bag, bounds, rows, relations)
    yield from _limits(bag, bounds, rows, relations)


def _stock_rows(bag: Bag, solved: Mapping[str, Row]) -> dict[str, Row]:
    rows = {}
    for name, dimension in bag.model.pattern.dimensions.items():
        if dimension.stock is not None:
            values = stock_values(bag.model.draft, dimension.stock)
            for label, sign, end in (("least", 1, values[0]), ("most", -1, values[-1])):
                row = {name: rational(sign), "": rational(-sign * end)}
                rows[f"stock:{name}:{label}"] = substituted(row, solved)
    return rows


def _idle_rules(bag: Bag) -> Iterator[Note]:
    known = {relation.id for relation in bag.model.relations}
    for name, rule in bag.model.pattern.rules.items():
        if f"rule:{name}" not in known:
            yield remark(
                "rule_follows",
                f"rules.{name}",
                f"{rule.holds} holds of these numbers whatever the size is",
                "write it with the dimensions that it is about, or take it out",
            )


def _rules_that_follow(bag: Bag, compiled: Compiled, relations: Mapping[str, Relation]) -> Iterator[Note]:
    """Equations of rules that follow from seams, coverings and rules before them."""
    followers = [label for label in compiled.theorems if label in relations and relations[label].origin is Origin.RULE]
    if not followers:
        return
    rows = {
        relation.id: stated_row(relation.form)
        for relation in bag.model.relations
        if is_lasting(relation) and not relation.form.roots
    }
    implied = eliminate(rows, column_order(compiled.dimensions)).implied
    for label in followers:
        if label in implied:
            yield _follows(relations[label], [relations[other].says for other in implied[label]])


def _follows(relation: Relation, reasons: list[str]) -> Note:
    why = f": {listed(reasons, NUMBERS_IN_A_SENTENCE)}" if reasons else ""
    return remark(
        "rule_follows",
        relation.path,
        f"{relation.says} follows from what is said elsewhere{why}",
        "take it out, or keep it as a reminder; it never changes a size",
    )


def _reasons(shown: Shown, relations: Mapping[str, Relation]) -> list[str]:
    reasons = []
    for label in shown.by:
        if label in relations:
            relation = relations[label]
            why = f" ({relation.because})" if relation.origin in {Origin.RULE, Origin.CONTENTS} else ""
            reasons.append(relation.says + why)
        else:
            reasons.append(f"{label.split(':')[1]} is from stock")
    return reasons


def _rules_never_met(
    bag: Bag, bounds: Bounds, rows: Mapping[str, Row], relations: Mapping[str, Relation]
) -> Iterator[Note]:
    """The last rules first, so that of two that say the same the later one is named."""
    found = []
    for label in reversed([label for label in rows if label in relations and relations[label].origin is Origin.RULE]):
        has_row = any(rows[label])
        if has_row and any(key for key in rows[label]):
            bounds.drop(label)
        shown = bounds.least(rows[label])
        if shown is not None and shown.least >= 0 and not _restates_a_limit(shown):
            found.append(_follows(relations[label], _reasons(shown, relations)))
        elif has_row:
            bounds.restore(label)
    yield from reversed(found)


def _restates_a_limit(shown: Shown) -> bool:
    """Whether a rule says just what one limit says; it may, since it carries the reason that a customer reads."""
    return not shown.least and len(shown.by) == 1 and all(label.startswith("limits:") for label in shown.by)


def _limits(bag: Bag, bounds: Bounds, rows: Mapping[str, Row], relations: Mapping[str, Relation]) -> Iterator[Note]:
    ruler, left = bag.model.ruler, MOST_WORK // max(len(rows), 1)
    for name, dimension in list(bag.model.pattern.dimensions.items())[: left // 2]:
        if dimension.limits is None or name not in bag.model.draft.base:
            continue
        for end, sign in (("least", 1), ("most", -1)):
            label = f"limits:{name}:{end}"
            if label not in rows or not any(rows[label]):
                continue
            bounds.drop(label)
            shown = bounds.least(rows[label])
            bounds.restore(label)
            if shown is None or fraction(shown.least) < ruler.step:
                continue
            limit = bag.model.draft.plain_length(dimension.limits[0 if sign > 0 else 1])
            reached = limit + sign * fraction(shown.least)
            yield _out_of_reach(name, end, ruler.text(limit), _shown(bag, reached), _reasons(shown, relations))


def _shown(bag: Bag, value: Number) -> str:
    return bag.model.ruler.text(bag.model.ruler.put(value))


def _out_of_reach(name: str, end: str, limit: str, reached: str, reasons: list[str]) -> Note:
    than = "below" if end == "least" else "above"
    return remark(
        "limit_out_of_reach",
        f"dimensions.{name}.limits",
        f"{name} may be {limit}, but in no size does it come {than} {reached}, since "
        f"{listed(reasons, NUMBERS_IN_A_SENTENCE)}",
        f"write {reached} as its limit, or loosen what keeps it away",
    )
