"""Coverings: a use laid on another, caught in its edges and kept clear of its sides."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from grading.verify.document.sides import Use
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import ZERO, Form
from grading.verify.exact.relations import EQUAL, EXACT, NOT_BELOW, Relation
from grading.verify.geometry.outlines import Place, Segment
from grading.verify.geometry.views import ACROSS, ALONG, View
from grading.verify.reading import choice, fields, joined, name, named, truth
from grading.verify.unreadable import UnreadableInput, refuse

SIDES = ("left", "right", "top", "bottom")
AXIS_OF = {"left": ACROSS, "right": ACROSS, "top": ALONG, "bottom": ALONG}
AXIS_WORDS = ("across", "along")


@dataclass(frozen=True, eq=False)
class Catch:
    """An own edge on an edge of the use below, as seen; ends in the order of the own edge."""

    own_name: str
    over_name: str
    axes: tuple[int, ...]
    own: tuple[Place, Place]
    over: tuple[Place, Place]
    on_sides: frozenset[str]

    @property
    def is_arc(self) -> bool:
        """Whether it gives both coordinates of its ends."""
        return len(self.axes) == 2


@dataclass(frozen=True, eq=False)
class Covering:
    """One use on another: what is caught, what is kept clear, and the shift that follows from them."""

    name: str
    piece: Use
    over: Use
    own_view: View
    over_view: View
    catches: tuple[Catch, ...]
    clear: Mapping[str, tuple[Form, bool]]
    shift: tuple[Form, Form]
    givers: tuple[str, str]
    match: bool = False

    def distance(self, side: str) -> Form:
        """Return how far the own side lies inwards from the same side of the use below."""
        own = self.own_view.side(side) + self.shift[AXIS_OF[side]]
        over = self.over_view.side(side)
        return own - over if side in ("left", "bottom") else over - own

    @property
    def sentence(self) -> str:
        """What the covering says, in a maker's words."""
        return f"{self.name}: {self.piece.name} lies on {self.over.name}"


def covering_relations(covering: Covering) -> Iterator[Relation]:
    """Yield where caught edges lie, and the clearances, apart from what gave the shift."""
    for catch in covering.catches:
        title = f"covering:{covering.name}:caught:{catch.own_name}"
        says = f"{covering.sentence}, its {catch.own_name} caught in the {catch.over_name}"
        if catch.is_arc:
            yield from _arc_relations(covering, catch, title, says)
        else:
            yield from _line_relations(covering, catch, title, says)
    covered = frozenset().union(*(catch.on_sides for catch in covering.catches))
    for side in SIDES:
        title = f"covering:{covering.name}:clear:{side}"
        if f"clear:{side}" in covering.givers:
            continue
        distance = covering.distance(side)
        says = f"{covering.sentence}, clear of its {side}"
        if side in covering.clear:
            value, at_least = covering.clear[side]
            yield Relation(title, distance, value, NOT_BELOW if at_least else EQUAL, EXACT, says)
        elif side not in covered:
            yield Relation(title, distance, ZERO, NOT_BELOW, EXACT, f"{says}, not beyond it")


def _line_relations(covering: Covering, catch: Catch, title: str, says: str) -> Iterator[Relation]:
    axis = catch.axes[0]
    if covering.givers[axis] != f"caught:{catch.own_name}":
        own = catch.own[0][axis] + covering.shift[axis]
        yield Relation(title, own, catch.over[0][axis], EQUAL, EXACT, says)
    other = 1 - axis
    base = covering.own_view.base
    own_ends = sorted((place[other] for place in catch.own), key=base.near)
    over_ends = sorted((place[other] for place in catch.over), key=base.near)
    shift = covering.shift[other]
    yield Relation(f"{title}:from", own_ends[0] + shift, over_ends[0], NOT_BELOW, EXACT, f"{says}, within its start")
    yield Relation(f"{title}:to", over_ends[1], own_ends[1] + shift, NOT_BELOW, EXACT, f"{says}, within its end")


def _arc_relations(covering: Covering, catch: Catch, title: str, says: str) -> Iterator[Relation]:
    giver = f"caught:{catch.own_name}"
    for index, end in enumerate(("start", "end")):
        for axis in (ACROSS, ALONG):
            if index == 0 and covering.givers[axis] == giver:
                continue
            own = catch.own[index][axis] + covering.shift[axis]
            over = catch.over[index][axis]
            yield Relation(f"{title}:{end}:{AXIS_WORDS[axis]}", own, over, EQUAL, EXACT, f"{says}, at its {end}")


class CoveringReader:
    """Reads the coverings of a document."""

    def __init__(self, expressions: Expressions, uses: Mapping[str, Use]) -> None:
        self.expressions = expressions
        self.uses = uses

    def covering(self, title: str, value: object, path: str) -> Covering:
        """Return one covering, with its shift."""
        given = fields(value, path, ("piece", "over"), ("face", "caught", "clear", "takes_up", "match"))
        own, over = (self.use(given[key], joined(path, key)) for key in ("piece", "over"))
        down = choice(given.get("face"), joined(path, "face"), ("up", "down"), "up") == "down"
        across, along = self.takes_up(given.get("takes_up"), joined(path, "takes_up"))
        own_view = View(own.outline, own.mirrored != down, across, along)
        over_view = View(over.outline, over.mirrored)
        catches = tuple(self.catches(given.get("caught"), joined(path, "caught"), own_view, over_view))
        clear = self.clear(given.get("clear"), joined(path, "clear"))
        match = truth(given.get("match"), joined(path, "match"))
        if match and (down or not (across.is_zero and along.is_zero)):
            refuse("lets the print run on over a piece that lies face down or is pleated", joined(path, "match"))
        shifts = [_shift(axis, own_view, over_view, catches, clear, path) for axis in (ACROSS, ALONG)]
        return Covering(
            title,
            own,
            over,
            own_view,
            over_view,
            catches,
            clear,
            (shifts[0][0], shifts[1][0]),
            (shifts[0][1], shifts[1][1]),
            match,
        )

    def use(self, value: object, path: str) -> Use:
        """Return a use of a piece."""
        use = self.uses.get(name(value, path))
        if use is None or use.piece is None:
            refuse("names no use of a piece", path)
        if use.piece.is_flat:
            refuse("is the use of a flat, which covers nothing and is not covered", path)
        return use

    def takes_up(self, value: object, path: str) -> tuple[Form, Form]:
        """Return what pleats take up across and along."""
        given = fields({} if value is None else value, path, (), ("across", "along"))
        across, along = (
            self.expressions.drawn(given[key], joined(path, key)) if key in given else ZERO
            for key in ("across", "along")
        )
        return across, along

    def clear(self, value: object, path: str) -> dict[str, tuple[Form, bool]]:
        """Return the clearances by side, each with whether it is a least one."""
        given = fields({} if value is None else value, path, (), SIDES)
        found = {}
        for side in SIDES:
            if side not in given:
                continue
            entry, where = given[side], joined(path, side)
            at_least = isinstance(entry, dict)
            if at_least:
                entry, where = fields(entry, where, ("at_least",))["at_least"], joined(where, "at_least")
            found[side] = self.expressions.drawn(entry, where), at_least
        return found

    def catches(self, value: object, path: str, own: View, over: View) -> Iterator[Catch]:
        """Yield the caught edges in the order written."""
        for own_name, over_name, where in named(value, path):
            first = _single(own, own_name, where)
            second = _single(over, name(over_name, where), where)
            yield _catch(own_name, over_name, first, second, own, over, where)


def _single(view: View, edge: str, path: str) -> Segment:
    found = view.outline.edges.get(edge)
    if found is None or len(found.segments) != 1:
        refuse(f"names {edge}, which is no edge of one line or one quarter arc", path)
    return found.segments[0]


def _catch(
    own_name: str, over_name: str, own: Segment, over: Segment, own_view: View, over_view: View, path: str
) -> Catch:
    own_ends = own_view.seen(own.start), own_view.seen(own.end)
    over_ends = over_view.seen(over.start), over_view.seen(over.end)
    if own.curve is not None or over.curve is not None:
        refuse("lays curves on each other, which only lines parallel to an axis and quarter arcs may", path)
    if own.turns is None and over.turns is None:
        if own.is_upright and over.is_upright:
            axis = ACROSS
        elif own.is_level and over.is_level:
            axis = ALONG
        else:
            refuse("lays edges on each other that are not parallel to the same axis", path)
        sides = frozenset(own_view.sides_of(*_unfolded(own, own_view)))
        return Catch(own_name, over_name, (axis,), own_ends, over_ends, sides)
    if own.turns is None or over.turns is None:
        refuse("lays a line on an arc", path)
    own_signs, over_signs = _seen_signs(own, own_view), _seen_signs(over, over_view)
    same_way = own_signs == over_signs
    opposite = own_signs == (-over_signs[0], -over_signs[1])
    same_turn = (own.turns == over.turns) != (own_view.mirrored != over_view.mirrored)
    if not (same_way and same_turn) and not (opposite and not same_turn):
        refuse("lays arcs on each other that turn different ways", path)
    if opposite:
        over_ends = over_ends[1], over_ends[0]
    return Catch(own_name, over_name, (ACROSS, ALONG), own_ends, over_ends, frozenset())


def _unfolded(segment: Segment, view: View) -> tuple[Place, Place]:
    plain = View(view.outline, view.mirrored)
    return plain.seen(segment.start), plain.seen(segment.end)


def _seen_signs(segment: Segment, view: View) -> tuple[int, int]:
    return (-segment.signs[0] if view.mirrored else segment.signs[0]), segment.signs[1]


def _shift(
    axis: int,
    own: View,
    over: View,
    catches: tuple[Catch, ...],
    clear: Mapping[str, tuple[Form, bool]],
    path: str,
) -> tuple[Form, str]:
    for catch in catches:
        if axis in catch.axes:
            return catch.over[0][axis] - catch.own[0][axis], f"caught:{catch.own_name}"
    for side in ("left", "right") if axis == ACROSS else ("top", "bottom"):
        if side in clear and not clear[side][1]:
            value = clear[side][0]
            inwards = value if side in ("left", "bottom") else -value
            return over.side(side) - own.side(side) + inwards, f"clear:{side}"
    raise UnreadableInput(f"does not say where the piece lies {AXIS_WORDS[axis]}", path)
