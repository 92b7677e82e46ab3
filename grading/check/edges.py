"""Edges that are never finished, or finished more than once, and bindings that are missing."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grading.check.bag import Bag, EdgeOfUse
from grading.check.notes import Note, fault, listed, remark
from grading.exact import Enclosure
from grading.grade.steps import enclosure_text
from grading.model.seams import Seam, SeamEntry

Told = dict[tuple[str, str, str], list[str]]
"""Kind, path and what is wrong, with the edges of which it is true."""


def edge_notes(bag: Bag) -> Iterator[Note]:
    """What becomes of each edge: exactly one thing, all along it, and a binding where it is to be bound."""
    told: Told = {}
    for use, _, edge in bag.edges:
        key = (use, edge.name)
        found = _fates(bag, key)
        if not found:
            told.setdefault(("unfinished_edge", bag.path(key), ""), []).append(f"{use}.{edge.name}")
        elif len(found) > 1:
            told.setdefault(("finished_twice", bag.path(key), " and ".join(found)), []).append(f"{use}.{edge.name}")
        elif key in bag.joined:
            yield from _tiling(bag, key, bag.joined[key])
    yield from _grouped(told)
    yield from _bindings(bag)
    yield from _idle_finishes(bag)


def _fates(bag: Bag, key: EdgeOfUse) -> list[str]:
    found = []
    if key in bag.joined:
        found.append(f"joined in {listed(seam.name for seam, _ in bag.joined[key])}")
    if key in bag.caught:
        found.append(f"caught in {listed(covering.name for covering in bag.caught[key])}")
    fate = bag.settings(key).fate
    if fate is not None:
        found.append(fate if fate != "raw" else "left raw")
    return found


def _grouped(told: Told) -> Iterator[Note]:
    for (kind, path, what), edges in told.items():
        if kind == "unfinished_edge":
            yield fault(
                kind,
                path,
                f"nothing becomes of {listed(edges)}: no seam joins it, no covering catches it, and it has no fate",
                'join it in a seam, catch it under a covering, or give it a fate such as "hemmed twice" or "raw"',
            )
        else:
            yield fault(kind, path, f"{listed(edges)} is finished twice: {what}", "let one of these go")


def _tiling(bag: Bag, key: EdgeOfUse, parts: list[tuple[Seam, SeamEntry]]) -> Iterator[Note]:
    """Where the parts of an edge that seams join leave some of it open, or overlap."""
    ruler, name = bag.model.ruler, ".".join(key)
    ordered = sorted(
        ((bag.at(entry.start), bag.at(entry.end), seam.name) for seam, entry in parts), key=lambda part: part[0].low
    )
    whole = bag.at(parts[0][1].edge.length)
    end, before = Enclosure(Fraction(0), Fraction(0)), "its start"
    for begins, ends, seam in (*ordered, (whole, whole, "its end")):
        least, most = sorted((end, begins), key=_low)
        reach = f"from {enclosure_text(ruler, least)} to {enclosure_text(ruler, most)}"
        if end.high < begins.low:
            yield fault(
                "open_part",
                bag.path(key),
                f"no seam joins {name} {reach}, between {before} and {seam}",
                "let the parts follow on each other, or name the rest in a seam of its own",
            )
        elif end != begins:
            yield fault(
                "finished_twice",
                bag.path(key),
                f"{name} is sewn twice {reach}, in {before} and in {seam}"
                if seam != "its end"
                else f"{before} reaches beyond the end of {name}, {reach}",
                "let the parts follow on each other without an overlap",
            )
        end, before = ends, seam


def _low(place: Enclosure) -> Fraction:
    return place.low


def _bindings(bag: Bag) -> Iterator[Note]:
    for use, _, edge in bag.edges:
        key = (use, edge.name)
        settings, along = bag.settings(key), bag.bound.get(key, [])
        wanted = "bound" in {settings.fate, settings.finish}
        names = listed(name for name, _ in along)
        if wanted and not along:
            yield fault(
                "not_bound",
                bag.path(key),
                f"{use}.{edge.name} is to be bound, and no binding goes along it",
                "name it in the `along` of one binding",
            )
        elif wanted and len(along) > 1:
            yield fault(
                "bound_twice",
                bag.path(key),
                f"{use}.{edge.name} is bound {len(along)} times: {names}",
                "name it in one binding",
            )
        elif along and not wanted:
            yield fault(
                "bound_unsaid",
                f"findings.{along[0][0]}.binding.along.{along[0][1]}",
                f"{names} goes along {use}.{edge.name}, which is not said to be bound",
                'give the edge the fate "bound", or the finish "bound" if a seam joins it',
            )
    for key, along in bag.bound.items():
        if bag.is_zip(key[0]):
            name, number = along[0]
            yield fault(
                "bound_unsaid",
                f"findings.{name}.binding.along.{number}",
                f"{name} goes along {'.'.join(key)}, an edge of a zip",
                "bind the edges of pieces only",
            )


def _idle_finishes(bag: Bag) -> Iterator[Note]:
    told: dict[tuple[str, str], list[str]] = {}
    for use, _, edge in bag.edges:
        key = (use, edge.name)
        finish = bag.settings(key).finish
        if finish is not None and key not in bag.joined and key not in bag.caught:
            told.setdefault((bag.path(key), finish), []).append(f"{use}.{edge.name}")
    for (path, what), edges in told.items():
        yield remark(
            "idle_finish",
            path,
            f"{listed(edges)} has the finish {what!r}, but no seam joins it and no covering catches it",
            "write it as the edge's fate, or take it out",
        )
