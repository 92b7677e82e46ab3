"""Whole patterns drawn at random: pieces of every shape, seams that fit and seams that do not, pockets, zips, rules."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

Json = dict[str, Any]
DIMENSIONS = ("wide", "tall", "deep", "small", "odd")
SIDES = ("top", "right", "bottom", "left")
RULERS = ("1 mm", "5 mm", "1/8 in", "1/16 in", "1/4 in")


@st.composite
def _dimensions(draw: st.DrawFn) -> Json:
    bases = {"wide": (150, 600), "tall": (150, 600), "deep": (60, 200), "small": (12, 40), "odd": (101, 399)}
    dimensions: Json = {}
    for name, (least, most) in bases.items():
        base = draw(st.integers(least, most))
        dimensions[name] = {"base": base, "sizing": draw(st.sampled_from(("proportion", "proportion", "fixed")))}
        if draw(st.booleans()):
            dimensions[name]["limits"] = [base * 3 // 5, base * 2]
    if draw(st.booleans()):
        dimensions["odd"]["sizing"] = "decided"
    return dimensions


def _extents() -> st.SearchStrategy[str]:
    """Expressions that are well above 0 at the base size of every drawn pattern."""
    return st.sampled_from(
        (
            "wide",
            "tall",
            "wide + 2*deep",
            "tall + deep",
            "wide/2 + 40",
            "(wide + tall)/2",
            "odd",
            "2*deep + 31",
            "tall + 25/2",
        )
    )


@st.composite
def _outline(draw: st.DrawFn) -> Json:
    width, height = draw(_extents()), draw(_extents())
    shape = draw(
        st.sampled_from(("rectangle", "rectangle", "trapezoid", "rounded", "disc", "path", "curved", "cone", "sector"))
    )
    match shape:
        case "rectangle":
            return {"rectangle": [width, height]}
        case "trapezoid":
            return {"trapezoid": {"top": width, "bottom": f"({width}) - small", "height": height}}
        case "rounded":
            return {
                "rounded_rectangle": {
                    "width": width,
                    "height": height,
                    "corners": {"bottom_left": "small", "bottom_right": "small"},
                }
            }
        case "disc":
            return {"disc": {"radius": "deep/2 + small"}}
        case "cone":
            return {"cone": {"bottom": f"({width})/4 + 9", "top": "small", "height": height}}
        case "sector":
            return {"sector": {"outer": f"({width})/2 + small", "inner": f"({width})/4", "turn": "1/4"}}
        case "curved":
            return _curved(width, height)
    return {
        "start": [0, 0],
        "edges": [
            {"name": "top", "to": [width, 0]},
            {"name": "right", "to": [width, f"-({height})"]},
            {"name": "bottom", "to": ["small", f"-({height})"]},
            {"name": "notch", "to": ["small", f"-({height}) + small"]},
            {"name": "tuck", "to": [0, f"-({height}) + small"]},
            {"name": "left", "to": [0, 0]},
        ],
    }


def _curved(width: str, height: str) -> Json:
    """A flap: an arc on top, a quarter of an ellipse and a cubic below."""
    low, lowest = f"-({height})", f"-({height}) - small"
    return {
        "start": [0, 0],
        "edges": [
            {"name": "top", "to": [width, 0], "arc": "right", "rise": "small/2 + 4"},
            {"name": "right", "to": [width, low]},
            {"name": "swing", "to": [f"({width})/2", lowest], "ellipse": "right"},
            {"name": "sweep", "to": [0, low], "cubic": [[f"({width})/4", lowest], [0, f"{low} - small/2"]]},
            {"name": "left", "to": [0, 0]},
        ],
    }


def _edges(outline: Json) -> tuple[str, ...]:
    if "disc" in outline:
        return ("rim",)
    if "cone" in outline or "sector" in outline:
        return ("outer", "right", "inner", "left")
    if "edges" in outline:
        return tuple(edge["name"] for edge in outline["edges"])
    if "rounded_rectangle" in outline:
        return ("top", "right", "bottom_right", "bottom", "bottom_left", "left")
    return SIDES


@st.composite
def drafts(draw: st.DrawFn) -> Json:
    """A pattern document that can be read: whether its seams can ever be made is left to the draw."""
    outlines = {f"panel_{letter}": draw(_outline()) for letter in "abcde"[: draw(st.integers(2, 5))]}
    pieces: Json = {
        name: {"outline": outline, "layers": [{"material": "main"}, *draw(_further_layers())], "edges": {}}
        for name, outline in outlines.items()
    }
    twin = draw(st.sampled_from(sorted(pieces)))
    pieces[twin]["uses"] = [f"{twin}_1", {"name": f"{twin}_2", "mirrored": draw(st.booleans())}]
    uses = {use: name for name in pieces for use in ((f"{name}_1", f"{name}_2") if name == twin else (name,))}
    free = [(use, edge) for use, name in uses.items() for edge in _edges(outlines[name])]
    seams: Json = {}
    for edge in _edges(outlines[twin]):
        if draw(st.booleans()):
            seams[f"twin_{edge}"] = {"join": [f"{twin}_1.{edge}"], "to": [f"{twin}_2.{edge}"]}
            free = [each for each in free if each not in {(f"{twin}_1", edge), (f"{twin}_2", edge)}]
    for number in range(draw(st.integers(0, 2))):
        if len(free) < 2:
            break
        join = free.pop(draw(st.integers(0, len(free) - 1)))
        to = free.pop(draw(st.integers(0, len(free) - 1)))
        seams[f"seam_{number}"] = {"join": [".".join(join)], "to": [".".join(to)], **draw(_ease())}
    for use, edge in free:
        pieces[uses[use]]["edges"].setdefault(edge, {})["fate"] = "raw"
    joined = {entry for seam in seams.values() for entry in (*seam["join"], *seam["to"])}
    for (
        use,
        name,
    ) in uses.items():  # an edge that one of twins joins has no fate, so the other's is joined too or it is a fault
        for edge in _edges(outlines[name]):
            if f"{use}.{edge}" in joined:
                pieces[name]["edges"].pop(edge, None)
    document: Json = {
        "format": 1,
        "name": "Drawn at random",
        "ruler": draw(st.sampled_from(RULERS)),
        "dimensions": draw(_dimensions()),
        "materials": {"main": {"usable_width": "1500 mm"}, "foam": {"kind": "foam", "thickness": "3 mm"}},
        "pieces": pieces,
        "seams": seams,
        "inside": ["wide", "tall", "deep"],
    }
    if draw(st.booleans()):
        document["rules"] = {"shape": {"holds": draw(st.sampled_from(_RULES)), "because": "it looks better so"}}
    if draw(st.booleans()):
        document["contents"] = {"box": {"in": "bag", "object": [draw(st.integers(90, 400)), 80, 50], "ease": "10 mm"}}
    return document


_RULES = (
    "wide <= 2*tall",
    "tall >= deep + small",
    "wide + tall <= 900",
    "wide == tall",
    "3*small <= deep",
    "odd >= 2*small",
)


def _further_layers() -> st.SearchStrategy[list[Json]]:
    return st.sampled_from(([], [{"material": "foam", "inset": "5 mm"}], [{"material": "foam", "oversize": "10 mm"}]))


def _ease() -> st.SearchStrategy[Json]:
    return st.sampled_from(
        ({}, {}, {"ease": "10 mm"}, {"ease": "3 %"}, {"fullness": "3/2"}, {"ease": "5 mm", "eased": "to"})
    )


@st.composite
def requests(draw: st.DrawFn) -> Json:
    """A size request that can be read."""
    kind = draw(st.sampled_from(("scale", "set", "volume", "keep")))
    request: Json = {}
    match kind:
        case "scale":
            request["scale"] = f"{draw(st.integers(40, 180))}/100"
        case "set":
            names = draw(st.lists(st.sampled_from(("wide", "tall", "deep")), min_size=1, max_size=3, unique=True))
            request["set"] = {name: draw(st.integers(40, 700)) for name in names}
        case "volume":
            request["volume"] = f"{draw(st.integers(2, 90))} L"
        case "keep":
            request |= {
                "scale": f"{draw(st.integers(50, 150))}/100",
                "keep": [draw(st.sampled_from(("small", "deep")))],
            }
    if draw(st.booleans()):
        request["ruler"] = draw(st.sampled_from(RULERS))
    return request
