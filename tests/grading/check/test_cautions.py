"""The usual cautions, and that none of them states a safe load."""

from __future__ import annotations

import re

import pytest

from grading.check.cautions import CAUTIONS, Caution
from tests.grading.check.sound import Json, places, pouch, told
from tests.patterns import changed

NAMED = {
    "load_caution": "shoulder strap buckle",
    "small_part_caution": "sew-on press stud, 15 mm",
    "cord_caution": "cotton cord, 600 mm",
    "magnet_caution": "magnet",
}


def fitted(what: str) -> Json:
    """The pouch with this hardware and no caution at all."""
    document = changed(pouch(), "findings", {"part": {"hardware": {"what": what}}})
    document["steps"][4] = {"text": "Sew it on.", "action": "sew", "uses": ["part"]}
    return document


@pytest.mark.parametrize("kind", NAMED)
def test_things_that_need_a_caution_are_remarked_on_with_its_text(kind: str) -> None:
    note = told(fitted(NAMED[kind]), kind)
    assert (note.path, note.is_remark) == ("findings.part", True)
    assert next(caution.text for caution in CAUTIONS if caution.kind == kind) in note.remedy


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda caution: caution.kind)
def test_the_caution_once_it_is_in_a_step_settles_the_remark(caution: Caution) -> None:
    document = changed(fitted(NAMED[caution.kind]), "steps.4.text", caution.text)
    assert places(document, caution.kind) == []


def test_a_webbing_handle_needs_the_caution_about_loads() -> None:
    document = changed(pouch(), "findings.handle", {"webbing": {"width": 25, "length": 300}})
    document["steps"][4]["uses"] = ["stud", "handle"]
    assert places(document, "load_caution") == ["findings.handle"]


def test_a_plain_pouch_needs_no_caution() -> None:
    document = changed(pouch(), "findings", {})
    document["steps"].pop()
    assert places(document, *NAMED) == []


def test_no_caution_states_a_load() -> None:
    assert not any(re.search(r"\d", caution.text) for caution in CAUTIONS)
