"""The verifier turns down wrong layouts of the demo bags, and blames no piece that has room: a seeded sample.

`python -m tests.benchmarks mutations` runs all of them.
"""

from __future__ import annotations

from typing import Any

import pytest

from grading import verify
from tests import layout_mutations as mutations
from tests.conftest import DEMO_NAMES

STYLES: dict[str, dict[str, Any]] = {
    "scissors": {"style": "scissors", "gap": "2 mm", "edge": "10 mm"},
    "folded": {"style": "folded"},
    "rotary": {"style": "rotary"},
}
CASES = [(name, style) for name in DEMO_NAMES for style in STYLES]


@pytest.mark.parametrize(("name", "style"), CASES)
def test_a_piece_moved_by_a_step_is_blamed_exactly_for_what_it_breaks(
    name: str, style: str, demo_documents: dict[str, Any]
) -> None:
    made = mutations.laid_out(demo_documents[name], "base", **_settings(name, style))
    assert not verify.judge_layouts(made.document, made.grade, made.layouts).failing
    mutants = list(mutations.moved_pieces(made, sample=25))
    assert any(mutant.breaks for mutant in mutants)
    assert [mutant.about for mutant in mutants if mutations.is_missed(made, mutant)] == []


def _settings(name: str, style: str) -> dict[str, Any]:
    """Folded, the tote's interfacing would be too narrow for its panels."""
    settings = STYLES[style]
    if style == "folded" and name == "market_tote":
        settings = settings | {"cloths": {"interfacing": {"usable_width": "1100 mm"}}}
    return settings


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_any_number_to_buy_changed_by_a_step_is_rejected(name: str, demo_documents: dict[str, Any]) -> None:
    made = mutations.laid_out(demo_documents[name], "base")
    mutants = list(mutations.changed_numbers(made))
    assert len(mutants) > 40
    assert [mutant.about for mutant in mutants if mutations.is_missed(made, mutant)] == []
