"""Conflicts: that what is listed cannot hold together, whatever stock size is bought.

By Farkas's lemma: relations that are each 0 or not below 0 cannot hold together when a sum of multiples of them, not
below 0 for inequalities, is a negative number.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import permutations
from typing import Any

from grading.verify.document.options import chosen_options
from grading.verify.document.pattern import Pattern, read_head, read_pattern
from grading.verify.exact.enclosures import PI40
from grading.verify.exact.forms import PI_MARK, ZERO, Form, constant
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, length_or_none
from grading.verify.exact.points import common_denominator, point_of
from grading.verify.exact.relations import Relation
from grading.verify.printing.printed import printed_claim, shown
from grading.verify.printing.sizes import size_claims
from grading.verify.relations.nearest import rational_or_none, read_order
from grading.verify.relations.relation_list import all_relations
from grading.verify.unreadable import refuse
from grading.verify.verdict import Claim, Verdict, verdict_of

ORDERS = tuple(permutations((0, 1, 2)))
# Branches to look at; more cannot come of the few stock lists of a bag.
MOST_BRANCHES = 20_000

# A point without dimensions: there only numbers have a value.
NOWHERE = point_of({})

Stock = Mapping[str, Fraction]


@dataclass(frozen=True)
class Branch:
    """One choice of stock values, and of how a box lies, with the multipliers that contradict it."""

    stock: Stock
    order: tuple[int, ...] | None
    multipliers: Mapping[str, Fraction]
    fault: str


def judge_conflict(pattern: dict[str, Any], conflict: dict[str, Any]) -> Verdict:
    """Return the verdict on a conflict: whether its relations truly cannot hold together.

    Both are plain data as read from JSON. Raises `UnreadableInput` when one is no pattern or no conflict at all.
    """
    size = conflict.get("size") if isinstance(conflict, dict) and conflict.get("kind") == "conflict" else None
    if not isinstance(size, dict):
        refuse("is not a conflict of a size", "conflict")
    head = read_head(pattern, chosen_options(pattern, size.get("request"), "conflict.size.request"))
    request = head.request(size.get("request"), "conflict.size.request")
    drawn = read_pattern(head, request)
    stated = _Stated(drawn)
    listed = _listed(conflict.get("relations"))
    given = conflict.get("certificate")
    branches = [_branch(item, drawn) for item in given] if isinstance(given, list) else []
    ruler = drawn.ruler.printed(drawn.ruler.step)
    return verdict_of(
        [
            _relations_claim(listed, stated.names),
            *(_branch_claim(index, branch, listed, stated) for index, branch in enumerate(branches)),
            _cover_claim(branches, drawn),
            *size_claims(head, request, size),
            printed_claim("format", conflict.get("format"), "1", conflict.get("format") == 1),
            printed_claim("pattern", conflict.get("pattern"), shown(head.name), conflict.get("pattern") == head.name),
            printed_claim("ruler", conflict.get("ruler"), ruler, conflict.get("ruler") == ruler),
        ]
    )


class _Stated:
    """The relations that the pattern and the request state, for each way in which a box may lie."""

    def __init__(self, pattern: Pattern) -> None:
        self.pattern = pattern
        stock = {
            title: pattern.stock[dimension.stock][0]
            for title, dimension in pattern.head.dimensions.lengths.items()
            if dimension.stock is not None
        }
        orders = ORDERS if _is_turned(pattern) else ORDERS[:1]
        self.by_order = {
            order: {relation.name: relation for relation in all_relations(pattern, stock, order)} for order in orders
        }

    @property
    def names(self) -> set[str]:
        """The names of all relations; one whose form is constant may break only as the box lies in some ways."""
        return set().union(*self.by_order.values())

    def relation(self, title: str, branch: Branch) -> Relation | None:
        """Return the relation of a name as a branch has it; None where it has none."""
        kind, _, about = title.partition(":")
        if kind == "within" and branch.order is None and _is_turned(self.pattern):
            return None
        relation = self.by_order.get(branch.order or ORDERS[0], {}).get(title)
        if kind != "stock" or relation is None:
            return relation
        chosen = branch.stock.get(about)
        return None if chosen is None else replace(relation, right=constant(chosen))


def _listed(value: object) -> list[str]:
    entries = value if isinstance(value, list) else []
    found = [entry.get("id") if isinstance(entry, dict) else None for entry in entries]
    return [title if isinstance(title, str) else "" for title in found]


def _relations_claim(listed: Sequence[str], names: set[str]) -> Claim:
    wrong = next((title for title in listed if title not in names), None)
    says = "each relation of the conflict is one of this pattern and request"
    if wrong is not None:
        says = f"{shown(wrong)} is no relation of this pattern and request"
    elif not listed:
        says = "the conflict lists no relations"
    holds = wrong is None and bool(listed)
    return Claim("conflict", "conflict:relations", shown(wrong), "a relation of this pattern", holds, says)


def _branch(value: object, pattern: Pattern) -> Branch:
    given = value if isinstance(value, dict) else {}
    stock: dict[str, Fraction] = {}
    multipliers: dict[str, Fraction] = {}
    faults = [] if isinstance(value, dict) else ["it is no branch"]
    lengths = pattern.head.dimensions.lengths
    for title, item in _entries(given.get("stock")):
        dimension, length = lengths.get(title), length_or_none(item, PRINTED_DIGITS)
        listed = () if dimension is None or dimension.stock is None else pattern.stock[dimension.stock]
        if length is None or length not in listed or title in pattern.request.asked:
            faults.append(f"{shown(title)} of {shown(item)} is not to be chosen from stock")
        else:
            stock[title] = length
    for title, item in _entries(given.get("multipliers")):
        number = rational_or_none(item)
        if number is None:
            faults.append(f"the multiplier of {shown(title)} is no rational number")
        else:
            multipliers[title] = number
    order = read_order(given)
    if order is None and given.get("order") is not None:
        faults.append("its order is no order of 0, 1 and 2")
    return Branch(stock, order, multipliers, faults[0] if faults else "")


def _entries(value: object) -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for title, item in value.items():
            yield str(title), item


def _branch_claim(index: int, branch: Branch, listed: Sequence[str], stated: _Stated) -> Claim:
    printed = stated.pattern.ruler.printed
    fault, total = (branch.fault, "") if branch.fault else _contradiction(branch, listed, stated)
    words = ", ".join(f"{title} {printed(value)}" for title, value in branch.stock.items())
    says = f"what is listed cannot hold together{f' with {words}' if words else ''}"
    if fault:
        says = f"branch {index} shows no conflict: {fault}"
    return Claim("conflict", f"conflict:branch {index}", total or fault, "below 0", not fault, says)


def _contradiction(branch: Branch, listed: Sequence[str], stated: _Stated) -> tuple[str, str]:
    """Return what is wrong about a branch, or nothing, and the number that should be negative."""
    allowed = {*listed, *(f"stock:{title}" for title in branch.stock)}
    if common_denominator(branch.multipliers.values()) is None:
        return "its multipliers are too long to judge", ""
    total = ZERO
    for title, multiplier in branch.multipliers.items():
        relation = stated.relation(title, branch)
        if title not in allowed or relation is None:
            return f"{shown(title)} is not one of the listed relations, or not as this branch has it", ""
        if multiplier < 0 and not relation.is_equation:
            return f"{title} has a multiplier below 0", ""
        total = total + relation.form.times(multiplier)
    value = _number(total)
    if value is None:
        return "dimensions are left in the sum", ""
    printed = stated.pattern.ruler.decimal(value)
    return ("" if value < 0 else f"the sum is {printed}, not below 0"), printed


def _number(form: Form) -> Fraction | None:
    """Return the value, or an upper bound of it, of a form in which all dimensions cancel with PI40, else None."""
    value, left = Fraction(0), dict[str, Fraction]()
    for key, factor in form.terms.items():
        share = Fraction(factor, form.below)
        if isinstance(key, str):
            name = key.removeprefix(PI_MARK)
            left[name] = left.get(name, Fraction(0)) + (share * PI40 if key.startswith(PI_MARK) else share)
        elif not key.names <= {"", PI_MARK}:
            return None
        else:
            # A root or curve of areas without dimensions is a number, known to more than 20 digits.
            value += max(bound * share for bound in NOWHERE.root(key))
    value += left.pop("", Fraction(0))
    return None if any(left.values()) else value


def _is_turned(pattern: Pattern) -> bool:
    within = pattern.request.within
    return within is not None and within.any_way


def _cover_claim(branches: Sequence[Branch], pattern: Pattern) -> Claim:
    left = _left_out(branches, pattern)
    says = "no choice of stock sizes is left out"
    if left is not None:
        words = ", ".join(f"{title} {pattern.ruler.printed(value)}" for title, value in left.items())
        says = f"nothing is shown for {words or 'the request'}"
    if not branches:
        says = "nothing is shown: that no size was found is all that is said"
    return Claim("conflict", "conflict:cover", f"{len(branches)} branch(es)", "every choice", left is None, says)


def _left_out(branches: Sequence[Branch], pattern: Pattern) -> Stock | None:
    """Return a choice that no branch covers, or None: choices are made one by one, only as far as branches differ."""
    orders: Sequence[tuple[int, ...] | None] = ORDERS if _is_turned(pattern) else (None,)
    waiting: list[tuple[dict[str, Fraction], Sequence[Branch]]] = []
    for order in orders:
        waiting.append(({}, [branch for branch in branches if branch.order in (None, order)]))
    looked = 0
    while waiting:
        choice, fitting = waiting.pop()
        looked += 1
        if looked > MOST_BRANCHES or not fitting:
            return choice
        if any(set(branch.stock) <= set(choice) for branch in fitting):
            continue
        title = next(title for title in fitting[0].stock if title not in choice)
        stock = pattern.head.dimensions.lengths[title].stock or ""
        for value in pattern.stock[stock]:
            rest = [branch for branch in fitting if branch.stock.get(title, value) == value]
            waiting.append(({**choice, title: value}, rest))
    return None
