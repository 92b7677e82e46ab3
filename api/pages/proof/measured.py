"""What was typed of pieces measured at the table, as the interface wants it."""

from __future__ import annotations

from collections.abc import Mapping

LENGTH, WAY = "length ", "way "
"""What the names of fields begin with; an edge follows, as `front.right`."""
WAYS = ("stitched", "cut")


def read_measured(form: Mapping[str, str]) -> tuple[dict[str, dict[str, dict[str, str]]], list[str]]:
    """The measured pieces, use by use and edge by edge, and the edges of which nothing was typed.

    A bare number is in the form's `unit`, as the grade's own bare numbers are.
    """
    pieces: dict[str, dict[str, dict[str, str]]] = {}
    missing = []
    for name, typed in form.items():
        if not name.startswith(LENGTH):
            continue
        place, text = name.removeprefix(LENGTH), typed.strip()
        use, _, edge = place.partition(".")
        if not text:
            missing.append(place)
            continue
        way = form.get(WAY + place, WAYS[0])
        length = text if any(each.isalpha() for each in text) else f"{text} {form.get('unit', 'mm')}"
        pieces.setdefault(use, {})[edge] = {way if way in WAYS else WAYS[0]: length}
    return pieces, missing
