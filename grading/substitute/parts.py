"""The two parts of a divided piece, as plain data: outlines, edges, notches, lines, layers."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from grading.document.index import CORNERS
from grading.form import Form
from grading.substitute.apart import Drawing, refuse
from grading.substitute.division import Division
from grading.substitute.layers import Json, kind_of
from grading.substitute.references import Renaming, When
from grading.substitute.texts import Writer
from grading.substitute.words import words

WORDS = {
    "top": "upper part",
    "bottom": "lower part",
    "left": "left part",
    "right": "right part",
    "middle": "middle part",
}
FRAYS = "cloth"
"""The kind of material whose cut edges fray; common practice, no source."""


@dataclass
class Parts:
    """Writes the parts of a piece, and notes what becomes of its notches and lines."""

    document: Json
    division: Division
    drawing: Drawing
    writer: Writer
    renaming: Renaming
    pieces: tuple[Json, Json] = field(init=False)

    def __post_init__(self) -> None:
        whole = self.document["pieces"][self.division.piece]
        self.pieces = (self._frame(whole, 0), self._frame(whole, 1))
        for name, notch in whole.get("notches", {}).items():
            self._notch(name, notch)
        for name, line in whole.get("lines", {}).items():
            self._line(name, line)
        if "motif" in whole:
            self._motif(whole["motif"])

    def _frame(self, whole: Json, part: int) -> Json:
        """A part without notches, lines and motif, its fields in the order of the whole's."""
        division, end = self.division, self.division.ends[part]
        kept = deepcopy({key: value for key, value in whole.items() if key not in {"notches", "lines", "motif"}})
        of = words(division.naming.stem(division.piece))
        said = kept.get("says", "")
        if division.naming.of_rest:
            said = said.partition(": ")[2]
        kept["says"] = f"{WORDS.get(division.naming.endings[part], WORDS[end])} of the {of}" + (
            f": {said}" if said else ""
        )
        uses = [(new[part], use) for use, new in division.uses.items()]
        kept["uses"] = [_use(whole, new, old) for new, old in uses]
        if kept["uses"] == [division.parts[part]]:
            del kept["uses"]
        kept["outline"] = self._outline(whole["outline"], part)
        kept["edges"] = self._edges(whole.get("edges", {}), part)
        if "on_border" in kept and division.part_of(kept["on_border"]) == 1 - part:
            del kept["on_border"]
        if "up" in kept and division.part_of(kept["up"]) == 1 - part:
            kept["up"] = division.ends[1 - part]
        return kept

    def _outline(self, written: Json, part: int) -> Json:
        if "start" in written:
            return self._path(written, part)
        shape = written.get("rounded_rectangle")
        sides = list(written["rectangle"]) if shape is None else [shape["width"], shape["height"]]
        sides[1 if self.division.way == "along" else 0] = self.division.texts[part]
        if shape is not None:
            corners = shape["corners"]
            radii = corners if isinstance(corners, dict) else dict.fromkeys(CORNERS, corners)
            own = {corner: radius for corner, radius in radii.items() if self.division.part_of(corner) == part}
            if own:
                return {"rounded_rectangle": {"width": sides[0], "height": sides[1], "corners": own}}
        return {"rectangle": sides}

    def _path(self, written: Json, part: int) -> Json:
        """A part of a path, in the coordinates of the whole: from the split all round, and back along it."""
        names = [edge["name"] for edge in written["edges"]]
        into = next(edge for edge, (order, _) in self.division.passed.items() if order[1] == part)
        out = next(edge for edge, (order, _) in self.division.passed.items() if order[0] == part)
        turned = written["edges"][names.index(into) :] + written["edges"][: names.index(into)]
        own = [
            deepcopy(edge)
            for edge in turned
            if edge["name"] in {into, out} or self.division.part_of(edge["name"]) == part
        ]
        own[-1]["to"] = self._on_split(out)
        start = self._on_split(into)
        return {"start": start, "edges": [*own, {"name": self.division.ends[1 - part], "to": start}]}

    def _on_split(self, edge: str) -> list[str]:
        """Where an edge of a path meets the split."""
        start, box = self.division.sheet.outline.by_name[edge].start, self.division.sheet.outline.box
        first = self.division.extents[0]
        x, y = (start.x, box.top - first) if self.division.way == "along" else (box.left + first, start.y)
        return [self.writer.text(x), self.writer.text(y)]

    def _edges(self, written: Json, part: int) -> Json:
        division = self.division
        edges = {
            edge: deepcopy(settings) for edge, settings in written.items() if division.part_of(edge) in {part, None}
        }
        seam: Json = {} if division.allowance is None else {"allowance": division.allowance}
        layers = self.document["pieces"][division.piece]["layers"]
        if any(kind_of(self.document, layer["material"]) == FRAYS for layer in layers):
            seam["finish"] = "overcast"
        if seam:
            edges[division.ends[1 - part]] = seam
        return edges

    def _notch(self, name: str, written: Json) -> None:
        division, at_base = self.division, self.drawing.at_base
        part, at = division.part_of(written["edge"]), written["at"]
        if part is None:
            order, length = division.passed[written["edge"]]
            place = self.drawing.pieces[division.piece].notches[name].distance
            beyond = at_base(place) - at_base(length)
            because = f"the notch {name} of {words(division.piece)} lies on its side of the split"
            if beyond == 0:
                raise self._on_the_split(f"the notch {name}")
            part = order[0] if beyond < 0 else order[1]
            if beyond > 0:
                at = self.writer.text(place - length)
            elif at == "middle":
                at = self.writer.text(place)
            self.renaming.guard((length - place).times(1 if beyond < 0 else -1), because, self._when(written))
        self.pieces[part].setdefault("notches", {})[name] = {**deepcopy(written), "at": at}
        for use, new in division.uses.items():
            self.renaming.notches[use, name] = f"{new[part]}.{name}"

    def _when(self, written: Json) -> When:
        """The choices under which something of the piece is there: its own, and those of the piece."""
        own, whole = (each.get("when") or {} for each in (written, self.document["pieces"][self.division.piece]))
        both = {name: _choices(own[name]) & _choices(whole[name]) for name in own.keys() & whole.keys()}
        return {**whole, **own, **{name: sorted(choices) for name, choices in both.items()}} or None

    def _on_the_split(self, what: str) -> Exception:
        ruler = self.drawing.draft.ruler
        place = ruler.text(self.drawing.at_base(self.division.extents[0]))
        return refuse(
            "at",
            f"{what} of {self.division.piece} lies on the split, {place} from the {self.division.ends[0]}",
            f"split it elsewhere, or move {what}",
        )

    def _line(self, name: str, written: Json) -> None:
        edge = self.drawing.pieces[self.division.piece].lines[name].edge
        first, at_base = self.division.extents[0], self.drawing.at_base
        depths = [self.division.sheet.depth(point) for point in (edge.start, edge.end)]
        beyond = [at_base(depth - first) for depth in depths]
        if max(beyond) <= 0:
            parts = (0, 0)
        elif min(beyond) >= 0:
            parts = (1, 1)
        else:
            parts = (0, 1) if beyond[0] < 0 else (1, 0)
        for depth, part in zip(depths, parts, strict=True):
            room = (first - depth).times(1 if part == 0 else -1)
            because = f"the line {name} of {words(self.division.piece)} stays in its part"
            self.renaming.guard(room, because, self._when(written))
        ends = [self._placed(written[key], part) for key, part in zip(("from", "to"), parts, strict=True)]
        if parts[0] == parts[1]:
            self._add_line(parts, name, [{**deepcopy(written), "from": ends[0], "to": ends[1]}])
            return
        is_straight = edge.first.is_upright if self.division.way == "along" else edge.first.is_level
        if not is_straight:
            raise refuse(
                "at",
                f"the line {name} of {self.division.piece} runs aslant across the split",
                "split it elsewhere, or draw the line in two first",
            )
        cuts = [self._cut(end, part) for end, part in zip(ends, parts, strict=True)]
        halves = [{**written, "from": ends[0], "to": cuts[0]}, {**written, "from": cuts[1], "to": ends[1]}]
        self._add_line(parts, name, halves)

    def _add_line(self, parts: tuple[int, int], name: str, lines: list[Json]) -> None:
        order = parts[: len(lines)]
        for part, line in zip(order, lines, strict=True):
            self.pieces[part].setdefault("lines", {})[name] = line
        for use, new in self.division.uses.items():
            self.renaming.lines[use, name] = tuple(f"{new[part]}.{name}" for part in order)

    def _shift(self, part: int) -> Form:
        """By how much a part is drawn nearer to the start than in the whole: not at all for a path."""
        if part == 0 or "start" in self.document["pieces"][self.division.piece]["outline"]:
            return Form()
        return self.division.extents[0]

    def _placed(self, point: list[Any], part: int) -> list[Any]:
        """A point of the whole as drawn in a part."""
        place = 1 if self.division.way == "along" else 0
        shift = self._shift(part).times(1 if place else -1)
        if shift.is_zero:
            return list(point)
        return [
            self.writer.text(self.drawing.form(each) + shift) if n == place else each for n, each in enumerate(point)
        ]

    def _cut(self, point: list[Any], part: int) -> list[Any]:
        """Where a line through this point of a part meets the split."""
        place, box = (1 if self.division.way == "along" else 0), self.division.sheet.outline.box
        beyond = self.division.extents[0] - self._shift(part)
        at = self.writer.text(box.top - beyond if place else box.left + beyond)
        return [at if n == place else each for n, each in enumerate(point)]

    def _motif(self, written: Json) -> None:
        """Both parts lie on the print as the whole did, even if the point itself is in the other one."""
        for part, piece in enumerate(self.pieces):
            piece["motif"] = {**deepcopy(written), "point": self._placed(written["point"], part)}


def _choices(written: Any) -> set[str]:
    return {written} if isinstance(written, str) else {*written}


def _use(whole: Json, new: str, old: str) -> Any:
    for use in whole.get("uses", ()):
        if isinstance(use, dict) and use["name"] == old:
            return {**use, "name": new}
    return new
