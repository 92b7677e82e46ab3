"""What is written on a piece: for which cloths it is cut, how often, how, and with which allowances."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from grading.exact import read_length, read_ruler

Json = Mapping[str, Any]


def words(name: str) -> str:
    """A name of the document as people read it."""
    return name.replace("_", " ")


def count_words(row: Json) -> str:
    """How often a row of the cut list is cut: `2`, or `1 + 1 mirrored`."""
    if row["count"] and row["mirrored"]:
        return f"{row['count']} + {row['mirrored']} mirrored"
    return f"{row['mirrored']} mirrored" if row["mirrored"] else str(row["count"])


def piece_facts(piece: str, grade: Json, pattern: Json | None, with_measures: bool = True) -> tuple[str, ...]:
    """The lines that stand on a piece below its name; without measures they are alike for all sizes."""
    rows = [row for row in grade["cut_list"] if row["piece"] == piece and row["uses"]]
    drawn = (pattern or {}).get("pieces", {}).get(piece, {})
    told: dict[str, list[str]] = {}
    for row in rows:
        how = f"cut {count_words(row)}{_how(row, grade, _layer(drawn, row), with_measures)}"
        told.setdefault(how, []).append(_cloth(row))
    lines = [f"{', '.join(cloths)}: {how}" for how, cloths in told.items()]
    uses = rows[0]["uses"] if rows else []
    if len(uses) > 1:
        lines.append(f"for {', '.join(words(use) for use in uses)}")
    lines.append(allowance_words(grade["pieces"][piece]))
    return (*lines, *_fates(drawn, grade["pieces"][piece]))


def allowance_words(piece: Json) -> str:
    """The allowances of a piece in a few words, the most common one last."""
    edges: dict[str, list[str]] = {}
    for name, edge in piece["edges"].items():
        edges.setdefault(edge["allowance"], []).append(words(name))
    if len(edges) == 1:
        allowance = next(iter(edges))
        return "no allowance: cut on the line" if read_length(allowance) == 0 else f"allowance {allowance} included"
    usual = max(edges, key=lambda allowance: len(edges[allowance]))
    apart = [f"{', '.join(names)} {allowance}" for allowance, names in edges.items() if allowance != usual]
    return f"allowances included: {'; '.join(apart)}; else {usual}"


def _cloth(row: Json) -> str:
    material, layer = words(row["material"]), words(row["layer"])
    return material if layer == material else f"{material} ({layer})"


def _how(row: Json, grade: Json, layer: Json, with_measures: bool) -> str:
    """Rough cuts, insets, folds and the side that lies up, behind the count."""
    told = list(_cutting(row, grade, with_measures))
    if row["on_fold"]:
        told.append("on the fold")
    if layer.get("face") == "down":
        told.append("template face down")
    return "".join(f", {each}" for each in told)


def _cutting(row: Json, grade: Json, with_measures: bool) -> Iterator[str]:
    if row["trim"] is not None and row["allowance"] == "included":
        yield f"rough {row['across']} × {row['along']}, trim to the cut line" if with_measures else "rough, then trim"
    elif row["allowance"] == "none":
        measures = row["trim"] or row
        inset = (read_length(row["finished"]["across"]) - read_length(measures["across"])) / 2
        where = f"{read_ruler(grade['ruler']).text(inset)} inside the" if inset else "on the"
        if row["trim"] is not None and with_measures:
            yield f"rough {row['across']} × {row['along']}"
        yield f"{where} stitching line"


def _layer(drawn: Json, row: Json) -> Json:
    layers: Sequence[Json] = drawn.get("layers", ())
    found: Json = next((each for each in layers if each.get("name", each["material"]) == row["layer"]), {})
    return found


def _fates(drawn: Json, piece: Json) -> Iterator[str]:
    """Edges that no seam takes: hemmed, bound, folded, on the selvage, or left raw."""
    fates: dict[str, list[str]] = {}
    for name in piece["edges"]:
        fate = drawn.get("edges", {}).get(name, {}).get("fate")
        if fate is not None:
            fates.setdefault(fate, []).append(words(name))
    for fate, names in fates.items():
        yield f"{fate}: {'all edges' if len(names) == len(piece['edges']) else ', '.join(names)}"
