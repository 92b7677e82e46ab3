"""The proof of a grade, and what it says of drafts that are not sound; the independent verifier says the same."""

from __future__ import annotations

import json
from typing import Any

import pytest

from grading.errors import RulerOutOfReach
from grading.pipeline import grade_document, grade_size, proof_document, read_document
from grading.proof import Claim, prove
from grading.verify import judge
from tests.conftest import DEMO_NAMES
from tests.patterns import changed, pouch, sheet

Json = dict[str, Any]
RAW = {edge: {"fate": "raw"} for edge in ("top", "right", "bottom", "left")}


def failing(document: Json) -> set[tuple[str, str]]:
    """The kinds of the library's claims that fail, and the places they point to."""
    grade = grade_size(read_document(document), size="base")
    return {(claim.kind, claim.path) for claim in prove(grade) if not claim.holds}


def verified(document: Json) -> set[str]:
    """The kinds of the verifier's claims that fail."""
    grade = grade_document(grade_size(read_document(document), size="base"))
    return {claim.kind for claim in judge(document, json.loads(json.dumps(grade))).failing}


def raw_sheet(outline: Json, **piece: Any) -> Json:
    document = sheet(outline, **piece)
    names = [edge["name"] for edge in outline["edges"]] if "edges" in outline else list(RAW)
    document["pieces"]["sheet"]["edges"] = {name: {"fate": "raw"} for name in names}
    return document


CROSSED = {"start": [0, 0], "edges": [
    {"name": "a", "to": ["width", 0]}, {"name": "b", "to": ["width/4", "-height"]},
    {"name": "c", "to": ["3*width/4", "-height"]}, {"name": "d", "to": [0, 0]}]}  # fmt: skip
BACKWARD = {"start": [0, 0], "edges": [
    {"name": "a", "to": [0, "-height"]}, {"name": "b", "to": ["width", "-height"]},
    {"name": "c", "to": ["width", 0]}, {"name": "d", "to": [0, 0]}]}  # fmt: skip
LOPSIDED = {"start": [0, 0], "edges": [
    {"name": "a", "to": ["width", 0]}, {"name": "b", "to": ["width", "-height"]},
    {"name": "c", "to": ["width/4", "-height"]}, {"name": "d", "to": [0, 0]}]}  # fmt: skip


def pouch_with(**fields: Any) -> Json:
    """The pouch with some fields changed; two underscores stand for a point of the path."""
    document = pouch()
    for field, value in fields.items():
        document = changed(document, field.replace("__", "."), value)
    return document


def laid_after_the_side_seams() -> Json:
    steps = pouch()["steps"]
    return pouch_with(steps=[steps[0], steps[1], steps[3], steps[2]])


def notchless(**fields: Any) -> Json:
    return pouch_with(seams__bottom__notches=[], **fields)


UNSOUND: list[tuple[str, Json, str, str]] = [
    (
        "an edge without a fate",
        pouch_with(pieces__pocket__edges={"top": {"fate": "hemmed once"}}),
        "fate",
        "pieces.pocket.edges.bottom",
    ),
    (
        "an edge sewn and hemmed",
        pouch_with(pieces__panel__edges__left={"fate": "hemmed once"}),
        "fate",
        "pieces.panel.edges.left",
    ),
    (
        "an edge sewn in two seams",
        pouch_with(seams__again={"join": ["front.right"], "to": ["back.left"]}),
        "fate",
        "pieces.panel.edges.right",
    ),
    (
        "an edge sewn in part",
        notchless(
            seams__bottom__join=[{"edge": "front.bottom", "to": "width - 10"}],
            seams__bottom__to=[{"edge": "back.bottom", "from": 10}],
        ),
        "fate",
        "pieces.panel.edges.bottom",
    ),
    (
        "an edge bound without a binding",
        pouch_with(pieces__pocket__edges__top={"fate": "bound"}),
        "fate",
        "pieces.pocket.edges.top",
    ),
    ("a seam never made", pouch_with(steps__3__makes=["side", "bottom"]), "order", "steps"),
    ("a seam made twice", pouch_with(steps__3__makes=["side", "side_2", "bottom", "side"]), "order", "steps"),
    ("a covering laid too late", laid_after_the_side_seams(), "order", "steps"),
    ("a hem never sewn", pouch_with(steps__0__finishes=["front.top"]), "order", "steps"),
    ("allowances that differ", notchless(seams__bottom__to=["back.top"]), "allowance", "seams.bottom"),
    (
        "sides that do not run on",
        pouch_with(seams__side__join=["front.right", "front.left"], seams__side__to=["back.left", "back.right"]),
        "chain",
        "seams.side.join",
    ),
    ("a loop that does not close", pouch_with(seams__bottom__closed=True), "chain", "seams.bottom.join"),
    ("an outline that crosses itself", raw_sheet(CROSSED), "closed", "pieces.sheet.outline"),
    ("an outline that runs backward", raw_sheet(BACKWARD), "closed", "pieces.sheet.outline"),
    ("a lopsided piece on the fold", raw_sheet(LOPSIDED, on_fold=True), "closed", "pieces.sheet.on_fold"),
]


@pytest.mark.parametrize(
    ("document", "kind", "path"), [case[1:] for case in UNSOUND], ids=[case[0] for case in UNSOUND]
)
def test_an_unsound_draft_fails_the_claim_that_says_so(document: Json, kind: str, path: str) -> None:
    assert (kind, path) in failing(document)
    assert kind in verified(document)


def test_the_pouch_is_sound() -> None:
    assert failing(pouch()) == set()
    assert verified(pouch()) == set()


def test_without_steps_nothing_is_claimed_of_their_order() -> None:
    claims = prove(grade_size(read_document(changed(pouch(), "steps", [])), size="base"))
    assert not [claim for claim in claims if claim.kind == "order"]


def test_an_ease_that_a_coarse_ruler_changes_too_much_is_refused() -> None:
    document = raw_sheet({"rectangle": ["width", "height"]}) | {"ruler": "10 mm"}
    document["pieces"]["strip"] = {
        "outline": {"rectangle": ["strip", 40]},
        "edges": RAW,
        "layers": [{"material": "main"}],
    }
    document["dimensions"]["strip"] = {"base": 120, "sizing": "decided"}
    document["seams"] = {"join": {"join": ["strip.top"], "to": ["sheet.top"], "ease": "23 mm", "kind": "topstitched"}}
    # 23 mm come to 20 mm on this ruler, 3 mm less than written: more than the seam's tolerance of 1.5 mm.
    with pytest.raises(RulerOutOfReach) as refused:
        failing(document)
    assert {relation.id for relation in refused.value.relations} == {"seam:join"}
    patient = changed(document, "seams.join.tolerance", "3 mm")
    assert ("ease", "seams.join.ease") not in failing(patient)
    assert "ease" not in verified(patient)


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_proof_lists_every_claim_with_both_sides(name: str, demo_documents: dict[str, Json]) -> None:
    grade = grade_size(read_document(demo_documents[name]), size="mini")
    proof = json.loads(json.dumps(proof_document(grade)))
    claims = prove(grade)
    assert proof["kind"] == "proof"
    assert proof["certificate"] == grade_document(grade)["certificate"]
    assert len(proof["claims"]) == len(claims) == proof["holding"]
    assert all(claim.holds and claim.says and claim.left and claim.right and claim.path for claim in claims)
    assert proof["says"] == "Numbers checked; your cloth, quilting and sewing are not."


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_library_and_the_verifier_claim_the_same_of_relations(name: str, demo_documents: dict[str, Json]) -> None:
    grade = grade_size(read_document(demo_documents[name]), size="large")
    verdict = judge(demo_documents[name], json.loads(json.dumps(grade_document(grade))))
    kinds = {"limits", "fixed", "outline", "seam", "notch", "covering", "contents", "finding", "rule", "cloth"}

    def about(claims: tuple[Any, ...] | list[Claim]) -> list[str]:
        return sorted(claim.about for claim in claims if claim.kind in kinds)

    assert about(list(prove(grade))) == about(verdict.claims)
