"""The verifier turns down wrong nested pairs: every place moved by a step, and pairs that are none.

The pairs are laid by a search of the tests' own, the second as near to the first as its cut line allows.
"""

from __future__ import annotations

import copy
from bisect import bisect_left
from fractions import Fraction
from typing import Any

import pytest

from grading import verify
from grading.exact import read_length
from tests import layout_mutations as mutations
from tests.laid_lines import are_a_gap_apart, laid_line
from tests.layout_mutations import LaidOut

Json = dict[str, Any]

SIDES = ("top", "right", "bottom", "left")
PIECES = ("gore", "gore", "gore", "gore", "flap", "flap")


def gored(direction: str = "any") -> Json:
    """Gores that lean, two of them mirrored, flaps that taper with the grain across, and a square base."""
    lean = {"top": "narrow", "bottom": "wide", "height": "height", "lean": 30}
    uses = ["a", "b", {"name": "c", "mirrored": True}, {"name": "d", "mirrored": True}]
    plain = {"layers": [{"material": "main"}], "edges": {side: {"finish": "overcast"} for side in SIDES}}
    return {
        "format": 1,
        "name": "Gored bag",
        "dimensions": {"narrow": {"base": 90}, "wide": {"base": 260}, "height": {"base": 180}},
        "materials": {"main": {"usable_width": "900 mm", "direction": direction}},
        "pieces": {
            "gore": {"uses": uses, "outline": {"trapezoid": lean}, **plain},
            "flap": {"uses": ["e", "f"], "outline": {"trapezoid": {**lean, "lean": 0}}, "grain": "across", **plain},
            "base": {"uses": ["g", "h"], "outline": {"rectangle": ["wide", "wide"]}, **plain},
        },
    }


def nested(gap: str = "2 mm") -> LaidOut:
    """The bag with its six slanted pieces in three pairs, one after the other along, and the bases after them."""
    made = mutations.laid_out(gored(), "base", gap=gap, style="scissors")
    layouts = copy.deepcopy(made.layouts)
    pieces = layouts["cloths"]["main"]["pieces"]
    pieces.sort(key=lambda piece: (piece["letter"], piece["copy"]))
    step, room = read_length(layouts["cloths"]["main"]["grid"]), read_length(gap)
    y = Fraction(0)
    for place, piece in enumerate(pieces):
        is_second, is_pair = place % 2 == 1, piece["piece"] in PIECES
        _turn(piece, ((90 if piece["piece"] == "flap" else 0) + 180 * is_second) % 360 if is_pair else 0)
        piece |= {"x": "0 mm", "y": made.ruler.text(y)}
        if is_pair:
            piece["nested"] = 1 + place // 2
        if is_second:
            _slide(made, pieces[place - 1], piece, step, room)
            y += read_length(piece["along"]) + room
    return LaidOut(made.document, made.grade, layouts)


def _turn(piece: Json, turned: int) -> None:
    if (turned - piece["turned"]) % 180:
        piece["across"], piece["along"] = piece["along"], piece["across"]
    piece["turned"] = turned


def _slide(made: LaidOut, first: Json, second: Json, step: Fraction, gap: Fraction) -> None:
    """Move the second across, from 150 mm on, to the first place where it is a gap away from the first."""
    line = laid_line(made.document, made.grade, first)

    def is_apart(steps: int) -> bool:
        second["x"] = made.ruler.text(150 + steps * step)
        return are_a_gap_apart(line, laid_line(made.document, made.grade, second), gap)

    is_apart(bisect_left(range(int(200 / step)), x=True, key=is_apart))


def broken(made: LaidOut, pieces: list[Json]) -> set[str]:
    """The kinds of claims about places that do not hold with other pieces."""
    layouts = copy.deepcopy(made.layouts)
    layouts["cloths"]["main"]["pieces"] = pieces
    return {claim.kind for claim in verify.judge_layouts(made.document, made.grade, layouts).failing} - {
        "printed",
        "least",
    }


def pieces_of(made: LaidOut) -> list[Json]:
    """A copy of the entries, to be made wrong."""
    found: list[Json] = copy.deepcopy(made.layouts["cloths"]["main"]["pieces"])
    return found


@pytest.mark.parametrize("gap", ["0 mm", "2 mm", "5 mm"])
def test_every_nested_piece_moved_by_a_step_is_blamed_exactly_for_what_it_breaks(gap: str) -> None:
    made = nested(gap=gap)
    assert broken(made, pieces_of(made)) == set()
    mutants = list(mutations.moved_pieces(made))
    assert len(mutants) == 4 * 8
    assert sum("apart" in mutant.breaks for mutant in mutants) > 8
    assert [mutant.about for mutant in mutants if mutations.is_missed(made, mutant)] == []


def test_a_hull_that_reaches_into_the_other_by_two_hundredths_is_told() -> None:
    # The gap makes a grid of two hundredths.
    made = nested("0.02 mm")
    assert broken(made, pieces_of(made)) == set()
    for place in (1, 3, 5):
        pieces = pieces_of(made)
        nearer = made.ruler.text(read_length(pieces[place]["x"]) - Fraction(2, 100))
        pieces[place]["x"] = nearer
        assert broken(made, pieces) == {"apart"}


@pytest.mark.parametrize("place", [0, 2, 4])
def test_two_pieces_nested_without_turning_are_told(place: int) -> None:
    made = nested()
    for by in (90, 180, 270):
        pieces = pieces_of(made)
        _turn(pieces[place + 1], (pieces[place + 1]["turned"] + by) % 360)
        assert "nested" in broken(made, pieces)


def test_three_entries_with_one_number_are_told() -> None:
    made = nested()
    for place in range(2, 6):
        pieces = pieces_of(made)
        pieces[place]["nested"] = 1
        assert {"nested", "apart"} <= broken(made, pieces)


def test_one_entry_with_a_number_of_its_own_is_told() -> None:
    made = nested()
    for place in range(6):
        pieces = pieces_of(made)
        del pieces[place]["nested"]
        assert {"nested", "apart"} <= broken(made, pieces)


def test_a_nested_rectangle_is_told() -> None:
    made = nested()
    pieces = pieces_of(made)
    pieces[7]["x"] = made.ruler.text(read_length(pieces[6]["across"]) + 2)
    assert broken(made, pieces) == set()
    for place, turned in ((6, 0), (7, 180)):
        pieces[place] |= {"nested": 4, "turned": turned}
    assert broken(made, pieces) == {"nested"}


def test_a_plain_piece_is_nested_with_no_mirrored_one() -> None:
    made = nested()
    pieces = pieces_of(made)
    for place, number in ((1, 2), (2, 2), (0, 1), (3, 1)):
        pieces[place]["nested"] = number
    assert {"nested", "apart"} <= broken(made, pieces)


def test_pairs_on_a_one_way_cloth_are_told() -> None:
    made = nested()
    strict = LaidOut(gored("one-way"), made.grade, made.layouts)
    assert {"nested", "turned", "apart"} <= broken(strict, pieces_of(made))


@pytest.mark.parametrize(
    ("direction", "gap", "ruler"), [("any", "2 mm", "1 mm"), ("two-way", "0 mm", "1 mm"), ("two-way", "0 in", "1/8 in")]
)
def test_pairs_that_the_search_takes_are_accepted_and_no_piece_of_them_may_be_moved_wrongly(
    direction: str, gap: str, ruler: str
) -> None:
    document = gored(direction) | {"ruler": ruler}
    document["materials"]["main"]["usable_width"] = "750 mm"
    made = mutations.laid_out(document, "base", gap=gap)
    assert any("nested" in piece for piece in pieces_of(made))
    assert not verify.judge_layouts(made.document, made.grade, made.layouts).failing
    mutants = [*mutations.moved_pieces(made), *mutations.changed_numbers(made)]
    assert [mutant.about for mutant in mutants if mutations.is_missed(made, mutant)] == []
