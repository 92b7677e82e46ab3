"""How much cloth pleats and gathers take, recomputed as patterns and graded.

"Pleat Math", wlweather.net/PAGESEW/RUFFTEXT/ROUGH048.HTM: ratio = 1 + 2 × underfold/spacing; an underfold as deep as
the spacing gives 3, half of it 2, twice it 5, one and a half times 4. The New Dressmaker, 1921 (scan p. 146,
en.wikisource.org): a side-plaited trimming takes a strip of three times its finished length.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from grading.exact import read_length
from grading.pipeline import grade_document, grade_size, read_document

Json = dict[str, Any]


def pleated(underfold: str, spacing: str, pleats: int) -> Json:
    """A pleated strip laid on a panel from side to side; the covering decides how long the strip is."""
    raw = {edge: {"allowance": 0, "fate": "raw"} for edge in ("top", "right", "bottom", "left")}
    return {
        "format": 1,
        "name": "Pleated strip",
        "unit": "in",
        "ruler": "1/8 in",
        "allowance": "1/4 in",
        "dimensions": {
            "underfold": {"base": underfold, "sizing": "fixed"},
            "spacing": {"base": spacing, "sizing": "fixed"},
            "pleats": {"base": pleats, "kind": "count"},
            "finished": {"base": 20, "sizing": "decided"},
            "strip": {"base": 60, "sizing": "decided"},
        },
        "materials": {"main": {}},
        "pieces": {
            "panel": {"outline": {"rectangle": ["finished", 6]}, "edges": raw, "layers": [{"material": "main"}]},
            "flounce": {
                "outline": {"rectangle": ["strip", 4]},
                "edges": {key: raw[key] for key in ("top", "bottom")},
                "layers": [{"material": "main"}],
            },
        },
        "coverings": {
            "on_panel": {
                "piece": "flounce",
                "over": "panel",
                "caught": {"left": "left", "right": "right"},
                "clear": {"top": 0},
                "takes_up": {"across": "2*pleats*underfold"},
            }
        },
        "rules": {"spaced": {"holds": "finished == pleats*spacing", "because": "the pleats lie side by side"}},
    }


@pytest.mark.parametrize(
    ("underfold", "spacing", "ratio"),
    [("1 in", "1 in", 3), ("1/2 in", "1 in", 2), ("2 in", "1 in", 5), ("1 1/2 in", "1 in", 4), ("3/4 in", "3/4 in", 3)],
)
@pytest.mark.parametrize("pleats", [7, 24])
def test_pleats_take_cloth_by_their_underfold_and_spacing(
    underfold: str, spacing: str, ratio: int, pleats: int
) -> None:
    found = grade_document(grade_size(read_document(pleated(underfold, spacing, pleats)), size="base"))["dimensions"]
    strip, finished = (read_length(found[name]["value"]) for name in ("strip", "finished"))
    assert finished == pleats * read_length(spacing)
    assert strip / finished == ratio


def test_a_side_plaited_trimming_takes_three_times_its_finished_length() -> None:
    document = pleated("1 in", "1 in", 20)
    for key in ("coverings", "rules"):
        del document[key]
    document["dimensions"]["finished"] = {"base": 20}
    document["seams"] = {"gathered": {"join": ["flounce.top"], "to": ["panel.top"], "fullness": "3"}}
    found = grade_document(grade_size(read_document(document), request={"scale": "3/4"}))["dimensions"]
    strip, finished = (read_length(found[name]["value"]) for name in ("strip", "finished"))
    assert finished == read_length("15 in")
    assert strip == Fraction(3) * finished
