"""Coverings of a divided piece: those that lie on one of its parts, and those that it is itself the cloth of."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass, field

from grading.document.values import Expression
from grading.form import Form
from grading.substitute.apart import Drawing, refuse
from grading.substitute.division import Division
from grading.substitute.layers import Json
from grading.substitute.names import check_new
from grading.substitute.placing import SIDES, Distance, Placing
from grading.substitute.texts import Writer

MEASURED = "{{{name}.clear.{side}}}"


@dataclass(frozen=True)
class Laying:
    """Rewrites the coverings of a divided piece, in place.

    `on_both` lets what lies across the split lie on both parts; its edges that are caught there must end at the split.
    `names` are the coverings that each divided covering becomes; `clear` is how steps measure a distance from now on.
    """

    document: Json
    division: Division
    drawing: Drawing
    writer: Writer
    on_both: bool = False
    names: dict[str, tuple[str, str]] = field(default_factory=dict)
    clear: dict[tuple[str, str], str] = field(default_factory=dict)

    def rewrite(self) -> None:
        """Rewrite all coverings. Raises Refused."""
        written: dict[str, Json] = {}
        for name, covering in self.document.get("coverings", {}).items():
            own, over = covering["piece"] in self.division.uses, covering["over"] in self.division.uses
            if own and over:
                raise refuse(
                    "split",
                    f"{name} lays {covering['piece']} on {covering['over']}, which are both uses of it",
                    "make them pieces of their own first",
                )
            if own:
                written |= self._divided(Placing(name, covering, self.drawing))
            else:
                written |= self._moved(Placing(name, covering, self.drawing)) if over else {name: covering}
        if written:
            self.document["coverings"] = written

    def _order(self, *, is_mirrored: bool) -> tuple[int, int]:
        """The parts as they are seen: from the top, or from the left."""
        return (1, 0) if is_mirrored and self.division.way == "across" else (0, 1)

    def _moved(self, placing: Placing) -> dict[str, Json]:
        """A covering on the divided piece, laid on the part that it lies on, or on both."""
        near, far = self.division.ends
        parts = self._order(is_mirrored=placing.is_mirrored("over"))
        extents = self.division.extents
        for place, (side, beyond) in enumerate(((far, parts[1]), (near, parts[0]))):
            if self.drawing.at_base(placing.distances[side] - extents[beyond]) >= 0:
                return {placing.name: self._on_part(placing, parts[place], side, beyond)}
        if self.on_both:
            return self._on_parts(placing, parts)
        raise self._across(placing)

    def _on_part(self, placing: Placing, part: int, side: str, beyond: int) -> Json:
        """A covering that lies on one part; on this side the other part lies beyond it."""
        uses = self.division.uses[placing.covering["over"]]
        moved = {**deepcopy(placing.covering), "over": uses[part]}
        said = placing.said(side)
        if said is not None:
            moved["clear"][side] = self._written(said, -self.division.extents[beyond])
        size = "height" if self.division.way == "along" else "width"
        measured = MEASURED.format(name=placing.name, side=side)
        self.clear[placing.name, side] = f"{measured} + {{{uses[beyond]}.{size}}}"
        return moved

    def _across(self, placing: Placing) -> Exception:
        near, far = self.division.ends
        whole = self.division.extents[0] + self.division.extents[1]
        text, at_base = self.drawing.draft.ruler.text, self.drawing.at_base
        begins, ends = at_base(placing.distances[near]), at_base(whole - placing.distances[far])
        places = [f"at or before {text(begins)}"] if begins > 0 else []
        places += [f"at or beyond {text(ends)}"] if ends < at_base(whole) else []
        return refuse(
            "at",
            f"{placing.name} lies across the split: from {text(begins)} to {text(ends)} from the {near} at the base "
            "size",
            f"split {self.division.piece} {' or '.join(places)} from the {near}"
            if places
            else f"split it the other way, or take {placing.name} out first",
        )

    def _on_parts(self, placing: Placing, order: tuple[int, int]) -> dict[str, Json]:
        """The two coverings of what lies on both parts; each catches what is caught in its part."""
        self._check_folds(placing, placing.covering["piece"])
        ends = self.division.ends
        found = {}
        for place, part in enumerate(order):
            laid = {**deepcopy(placing.covering), "over": self.division.uses[placing.covering["over"]][part]}
            laid["caught"] = {
                own: over for own, over in placing.caught.items() if self._is_in(placing, own, order[0], part)
            }
            side, beyond = ends[1 - place], order[1 - place]
            distance = placing.stated(side) or Distance(Form(), True)
            laid["clear"] = dict(placing.covering.get("clear", {}))
            laid["clear"][side] = self._written(distance, -self.division.extents[beyond])
            self._decide(placing, laid)
            found[part] = {key: value for key, value in laid.items() if value or key != "caught"}
        return self._named(placing, found, order)

    def _is_in(self, placing: Placing, own: str, first: int, part: int) -> bool:
        """Whether an own edge is caught in this part; of those that run across, by their middles."""
        over = self.division.part_of(placing.caught[own])
        if over is not None:
            return over == part
        depths = placing.depths(placing.outline("piece").by_name[own], self.division.ends[0])
        beyond = self.drawing.at_base(depths[0] + depths[1] - self.division.extents[first].times(2)) > 0
        return (part == first) != beyond

    def _decide(self, placing: Placing, laid: Json) -> None:
        """Give the other distance that places a covering, where no edge that is caught here does."""
        side = "left" if self.division.way == "along" else "top"
        lines = {"left": ("left", "right"), "top": ("top", "bottom")}[side]
        if any(isinstance(laid["clear"].get(each), str | int | float) for each in lines):
            return
        outline = placing.outline("piece")
        caught = [outline.by_name[own].first for own in laid["caught"]]
        if not any(not (edge.is_level if side == "left" else edge.is_upright) for edge in caught):
            laid["clear"][side] = self.writer.text(placing.distances[side])

    def _check_folds(self, placing: Placing, what: str) -> None:
        takes_up = placing.drawing.coverings[placing.name].written.takes_up
        if not self.drawing.form(getattr(takes_up, self.division.way)).is_zero:
            other = "left from right" if self.division.way == "along" else "top from bottom"
            raise refuse(
                "split",
                f"folds of {what} take up some of it {self.division.way} in {placing.name}, and no rule tells where",
                f"split it {other}, or take the folds out first",
            )

    def _divided(self, placing: Placing) -> dict[str, Json]:
        """The two coverings of the parts of a piece that is laid on another."""
        self._check_folds(placing, self.division.piece)
        ends = self.division.ends
        order = self._order(is_mirrored=placing.is_mirrored("piece"))
        uses = self.division.uses[placing.covering["piece"]]
        found = {}
        for place, part in enumerate(order):
            laid = {**deepcopy(placing.covering), "piece": uses[part]}
            laid["caught"] = {
                edge: over for edge, over in placing.caught.items() if self.division.part_of(edge) in {part, None}
            }
            side, beyond = ends[1 - place], order[1 - place]
            laid["clear"] = dict(placing.covering.get("clear", {}))
            laid["clear"].pop(side, None)
            stated = placing.stated(side)
            if stated is None and not any(placing.decides(each) for each in ends):
                stated = Distance(placing.distances[side], False)  # rounded corners placed it, and are in one part
            if stated is not None:
                laid["clear"][side] = self._written(stated, self.division.extents[beyond])
            found[part] = {key: value for key, value in laid.items() if value or key not in {"caught", "clear"}}
        return self._named(placing, found, order)

    def _named(self, placing: Placing, found: dict[int, Json], order: tuple[int, int]) -> dict[str, Json]:
        """Two coverings in place of one under their names, and how steps measure them."""
        new = self.division.naming.named(placing.name)
        for name in new:
            check_new(self.document, "coverings", name, "names")
        self.names[placing.name] = new
        for side in SIDES:
            part = order[1] if side == self.division.ends[1] else order[0]
            self.clear[placing.name, side] = MEASURED.format(name=new[part], side=side)
        return {new[part]: found[part] for part in (0, 1)}

    def _written(self, distance: Distance, more: Form) -> Expression | dict[str, Expression]:
        text = self.writer.text(distance.form + more)
        return {"at_least": text} if distance.is_least else text
