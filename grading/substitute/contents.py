"""What must fit into a piece that is divided: from now on a rule."""

from __future__ import annotations

from collections.abc import Iterator

from grading.exact import read_length
from grading.substitute.apart import Drawing, constant_term, refuse
from grading.substitute.division import Division
from grading.substitute.layers import Json
from grading.substitute.names import check_new
from grading.substitute.texts import Writer
from grading.substitute.words import words


def contents_as_rules(document: Json, division: Division, drawing: Drawing, writer: Writer) -> None:
    """Write what must fit into the divided piece as rules over its whole box, in place. Raises Refused."""
    for name, request in document.get("sizes", {}).items():
        for place, held in enumerate(request.get("hold", ())):
            if held.get("in") in division.uses:
                raise refuse(
                    "split",
                    f"the size {name} asks that something fits into {held['in']} (sizes.{name}.hold.{place})",
                    "take that out of the size first, or ask it of another pocket",
                )
    for name, content in list(document.get("contents", {}).items()):
        if content.get("in") not in division.uses:
            continue
        del document["contents"][name]
        for aspect, holds in _rules(content, division, drawing, writer):
            check_new(document, "rules", f"{name}_{aspect}", "split")
            rule = {"holds": holds, "because": content.get("says") or f"{words(name)} must fit in"}
            if content.get("when"):
                rule["when"] = content["when"]
            document.setdefault("rules", {})[f"{name}_{aspect}"] = rule


def _rules(content: Json, division: Division, drawing: Drawing, writer: Writer) -> Iterator[tuple[str, str]]:
    box, unit = drawing.pieces[division.piece].outline.box, drawing.draft.pattern.unit
    width, height, depth = (read_length(value, unit) for value in content["object"])
    ease, stands_out = (read_length(content.get(key, 0), unit) for key in ("ease", "stands_out"))
    for aspect, room, least in (
        ("across", box.width, width + depth + ease),
        ("along", box.height, height - stands_out),
    ):
        yield aspect, f"{writer.text(room)} >= {writer.text(constant_term(least))}"
