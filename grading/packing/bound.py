"""How little length could do, whatever the packing, and plain numbers that show it.

A `Bound` holds for every packing of its task. Its certificate is plain data (strings, whole numbers, lists and
mappings of them) and can be rechecked in whole numbers without this package. What a checker needs:

**Ways.** Each item may lie in one or two ways, each with its measures (across, along): unturned (`across`, `along`),
and turned (`along`, `across`) if the item is turnable, not square, has no motif and is not at the fold. A way that is
wider than the strip is none; with a motif whose first place is x0 = motif[0] modulo repeat[0], a way with x0 + across
above the width is none.

**Width that counts**, W. If no item has a motif or repeat[0] is 0: the greatest sum of measures across, of any items,
each in one of its ways and taken once at most, that does not exceed the width (a packing can be pushed to the near
edge without becoming longer, and every item's far edge then lies on such a sum). Else: the task's width.

**Rounding.** If no item has a motif or repeat[1] is 0, a shortest packing pushed to the start has a length that is the
sum of measures along of some items, each in one of its ways and taken once at most; `up(q)`, for a rational q, is the
least such sum that is at least q. Else `up(q)` is the least whole number that is at least q.

**Weights and fillings.** A filling of a capacity takes items once at most, each in one way, sizes adding up to the
capacity at most. A certificate with weights gives whole numbers, not below zero, per measures and way: `weights` is a
list of {"across", "along", "at_fold", "ways"}; "ways" holds a weight for each of an item's ways, unturned first. An
entry goes for every item of these measures (unturned) that has as many ways and is, or is not, at the fold. Items
without an entry weigh 0.

The certificate's `kind`, and what it shows (`length` of the bound is never above it):

- `{"kind": "area"}`: up(A / W), A the sum of across times along over all items.
- `{"kind": "dual function", "name", "parameter": p}`: with the function f and its total F of that name for W,
  up(S / F), S the sum over items of the least f(across) * along over the item's ways. The functions, all of which
  have f(a) + f(b) + ... <= F whenever a + b + ... <= W:
    - "large and small", 1 <= 2 p <= W: f(w) is W if w > W - p, else w if w >= p, else 0; F = W.
    - "counted", 1 <= 2 p <= W: f(w) is 2 (W // p - (W - w) // p) if 2 w > W, W // p if 2 w = W, else 2 (w // p);
      F = 2 (W // p).
    - "rounded", p >= 1: f(w) is p w if (p + 1) w is a multiple of W, else ((p + 1) w // W) W; F = p W.
- `{"kind": "bars", "weights"}`: a bar is a cut across the strip. K is the greatest weight of a filling of W with sizes
  across, in which one item at the fold at most is taken (all of those lie at x = 0). up(S / K), S the sum over items of
  the least weight * along over the item's ways: every bar crosses items that weigh K at most, and an item is crossed
  over its measure along.
- `{"kind": "columns", "refuted": H, "weights"}`: a column is a cut along. Were there a packing no longer than H, no
  item would lie in a way longer than H. With the ways not longer than H only: K is the greatest weight of a filling of
  H with sizes along, S the sum over items of the least weight * across over these ways. If an item has no such way, or
  K W < S, every packing is longer than H: up(H + 1).
- `{"kind": "longest", "item": i}`: up(the least y0 + along over item i's ways), y0 = 0, or for a motif with
  repeat[1] > 0 the first place motif[1] modulo repeat[1].
- `{"kind": "one after another", "items": [i, j, ...]}`: of these items no two can lie side by side, so that no bar
  crosses two: up(the sum over these items of the least measure along of their ways). Two items cannot lie side by side
  if for every way of both, and either of them nearer to x = 0: the nearer lies at the least place x >= 0 where it may,
  the other at the least place x' >= x + across of the nearer where it may, and x' + across of the other is above the
  width. A place where an item may lie: 0 only if at the fold; motif[0] modulo repeat[0] with a motif and
  repeat[0] > 0; any else.
- `{"kind": "none"}`: 0, for a task without items.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Any

from grading.packing.columns import refute
from grading.packing.dual import dual_functions
from grading.packing.stacked import longest_item, one_after_another
from grading.packing.task import PackingTask
from grading.packing.ways import Kind, Lengths, kinds_of, reachable_width
from grading.packing.weighing import ALMOST, Demand, Weighing, rounds_for


@dataclass(frozen=True)
class Bound:
    """No packing of the task is shorter than `length` steps; `certificate` shows it (see the module's text)."""

    length: int
    certificate: Mapping[str, Any]


NOTHING = Bound(0, {"kind": "none"})


def least_length(task: PackingTask, effort: int = 200, stop: Callable[[], bool] | None = None) -> Bound:
    """The greatest lower bound found on the length of any packing of the task, in whole steps.

    Exact: floats only propose weights. `effort` bounds the rounds of the search for weights, fewer where rounds are
    long; the same task and effort give the same bound unless stopped. `stop` is asked between rounds; when it says so,
    the best bound so far is given. Raises DoesNotFit.
    """
    kinds, lengths, width = kinds_of(task), Lengths(task), reachable_width(task)
    best = NOTHING
    if not task.items:
        return best
    for candidate in _quick(task, kinds, lengths, width):
        best = max(best, candidate, key=_length)
    best = max(best, _bars(kinds, lengths, width, effort, best.length, stop), key=_length)
    if stop is not None and stop():
        return best
    return max(best, _columns(kinds, lengths, width, effort, best.length, stop), key=_length)


def _length(bound: Bound) -> int:
    return bound.length


def _quick(task: PackingTask, kinds: tuple[Kind, ...], lengths: Lengths, width: int) -> Iterator[Bound]:
    area = sum(item.across * item.along for item in task.items)
    yield Bound(_up(lengths, Fraction(area, width)), {"kind": "area"})
    index, length = longest_item(task)
    yield Bound(lengths.up(length), {"kind": "longest", "item": index})
    items, length = one_after_another(task)
    yield Bound(lengths.up(length), {"kind": "one after another", "items": items})
    for function in dual_functions(width, {way.across for kind in kinds for way in kind.ways}):
        weight = sum(kind.count * min(function.value(way.across) * way.along for way in kind.ways) for kind in kinds)
        shown = _up(lengths, Fraction(weight, function.total))
        yield Bound(shown, {"kind": "dual function", "name": function.name, "parameter": function.parameter})


def _up(lengths: Lengths, extent: Fraction) -> int:
    return lengths.up(ceil(extent))


def _bars(
    kinds: tuple[Kind, ...], lengths: Lengths, width: int, effort: int, known: int, stop: Callable[[], bool] | None
) -> Bound:
    demands = [
        Demand(kind.count, tuple((way.across, way.along) for way in kind.ways), alone=kind.at_fold) for kind in kinds
    ]
    weighing = Weighing(demands, width)

    def enough(bound: Fraction, most: Fraction) -> bool:
        return _up(lengths, most - ALMOST) <= max(known, _up(lengths, bound))

    rounds = rounds_for(weighing, effort)
    if not rounds:
        return NOTHING
    best = weighing.search(rounds, enough, stop)
    length = _up(lengths, best.bound)
    if length <= known:
        return NOTHING
    simple = weighing.simplified(best, lambda judged: _up(lengths, judged.bound) >= length)
    return Bound(length, {"kind": "bars", "weights": _listed(kinds, simple.weights)})


def _columns(
    kinds: tuple[Kind, ...], lengths: Lengths, width: int, effort: int, known: int, stop: Callable[[], bool] | None
) -> Bound:
    refuted = refute(kinds, lengths, width, known, effort, stop)
    if refuted is None:
        return NOTHING
    certificate = {"kind": "columns", "refuted": refuted.length, "weights": _listed(kinds, refuted.weights)}
    return Bound(lengths.up(refuted.length + 1), certificate)


def _listed(kinds: tuple[Kind, ...], weights: tuple[tuple[int, ...], ...]) -> list[dict[str, Any]]:
    return [
        {"across": kind.across, "along": kind.along, "at_fold": kind.at_fold, "ways": list(each)}
        for kind, each in zip(kinds, weights, strict=True)
        if any(each)
    ]
