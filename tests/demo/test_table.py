"""The table of the demo: each row of the cut list once, its cut width and height in every size."""

from __future__ import annotations

from typing import Any

from demo_requests.table import cut_table


def row(piece: str, across: str, along: str, **other: Any) -> dict[str, Any]:
    """A row of a cut list."""
    plain = {"letter": "A", "layer": "main", "material": "main", "count": 1, "mirrored": 0, "grain": "along"}
    return {**plain, "piece": piece, "across": across, "along": along, **other}


def test_the_sizes_stand_side_by_side_under_their_names() -> None:
    base, mini = [row("front_panel", "340 mm", "420 mm")], [row("front_panel", "244 mm", "300.5 mm")]
    lines = cut_table({"base": base, "mini": mini}).splitlines()
    assert lines[0].split() == ["base", "mini"]
    assert lines[1].split() == ["piece", "material", "count", "width", "height", "width", "height"]
    assert lines[3].split() == ["A", "front", "panel", "main", "1", "340", "420", "244", "300.5"]
    assert "in mm" in lines[4]


def test_width_and_height_are_seen_as_the_piece_hangs_not_along_the_grain() -> None:
    lines = cut_table({"base": [row("band", "60 mm", "900 mm", grain="across")]}).splitlines()
    assert lines[3].split()[-2:] == ["900", "60"]


def test_a_row_keeps_its_place_in_every_size_though_cut_lists_are_sorted_by_area() -> None:
    base = [row("back", "300 mm", "400 mm"), row("pocket", "200 mm", "200 mm", letter="B")]
    large = [row("pocket", "500 mm", "500 mm", letter="B"), row("back", "375 mm", "500 mm")]
    lines = cut_table({"base": base, "large": large}).splitlines()
    assert lines[3].split()[-4:] == ["300", "400", "375", "500"]
    assert lines[4].split()[-4:] == ["200", "200", "500", "500"]


def test_a_row_that_a_size_lacks_is_shown_as_absent() -> None:
    lines = cut_table({"base": [row("back", "3 mm", "4 mm")], "mini": []}).splitlines()
    assert lines[3].split()[-4:] == ["3", "4", "-", "-"]


def test_mirrored_pieces_and_layers_of_their_own_name_are_told() -> None:
    strap = row("strap", "90 mm", "700 mm", count=2, mirrored=2, layer="inner_foam", material="foam")
    line = cut_table({"base": [strap]}).splitlines()[3]
    assert "strap, inner foam" in line
    assert "2 + 2 mirrored" in line


def test_counts_that_differ_from_size_to_size_are_all_shown() -> None:
    sizes = {"base": [row("loop", "3 mm", "4 mm")], "large": [row("loop", "3 mm", "4 mm", count=3)]}
    assert " 1/3 " in cut_table(sizes).splitlines()[3]


def test_different_units_stay_with_their_numbers() -> None:
    lines = cut_table({"base": [row("back", "10 3/8 in", "400 mm")]}).splitlines()
    assert lines[3].endswith("10 3/8 in  400 mm")
    assert len(lines) == 4


def test_numbers_are_right_aligned() -> None:
    rows = [row("back", "1300 mm", "400 mm"), row("tab", "30 mm", "40 mm", letter="B")]
    lines = cut_table({"base": rows}).splitlines()
    assert lines[3].index("1300") + 4 == lines[4].index("30") + 2
