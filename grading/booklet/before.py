"""What a maker reads before buying or cutting: state, edition, skills and time, licence, cautions, errata."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reportlab.platypus import Flowable

from grading.booklet.cautions import cautions
from grading.booklet.edition import UNITS, Edition
from grading.booklet.figures import check_figure
from grading.booklet.pages import section
from grading.booklet.papers import Papers
from grading.booklet.tables import Column, ruled
from grading.booklet.typography import paragraph, sentence, words

Json = Mapping[str, Any]
CALCULATED = "calculated, not yet sewn"
NOT_SEWN = (
    "Every measure was calculated, with a proof that all pieces join, which a second program can check. Nobody has "
    "sewn the bag from these measures yet: try it in a plain cloth first."
)
STATES: Mapping[str, str] = {
    "sewn": "A bag has been sewn from this pattern. It has not been through testing by other makers.",
    "in testing": "Other makers are testing this pattern. Their remarks may still change it.",
    "published": "The pattern has been sewn and tested, and is published.",
}
PROOF = "Numbers checked; your cloth, quilting and sewing are not."
MEASURING = (
    "Print at true size, without fitting to the page, and measure both lines. If either is off, no measure taken from "
    "paper can be trusted; the measures in words and numbers hold all the same."
)
NO_LICENCE = "The pattern says nothing of what may be done with it: ask its maker."
NO_ERRATA = "None are known for this revision."
ERRATA = (Column("Size", breadth=30), Column("Correction", share=1), Column("Since", breadth=34))


def before_you_begin(papers: Papers, edition: Edition, across: float) -> Iterator[Flowable]:
    """The chapter that all sizes have in common."""
    written = papers.edition
    state = papers.sizes[0].grade["state"]
    yield from section("How far it is tested", "before state")
    yield paragraph(f"{sentence(state)}. {STATES.get(state, NOT_SEWN)} {PROOF}")
    yield from section("Edition", "before edition")
    yield paragraph(edition_text(edition))
    yield from section("Skills and time", "before skills")
    skills = ", ".join(written.get("skills") or ()) or "none are named"
    yield paragraph(f"Skills: {edition.prose(skills)}.")
    yield paragraph(f"Time: {written.get('time') or 'not told'}.")
    yield from section("Licence", "before licence")
    yield paragraph(f"{sentence(written['licence'])}." if written.get("licence") else NO_LICENCE)
    yield from section("Cautions", "before cautions")
    yield from (paragraph(text) for text in cautions(papers))
    yield from section("Errata", "before errata")
    yield from _errata(papers, edition, across)
    yield from section("Check your print", "before print", room=50)
    yield paragraph(MEASURING)
    yield check_figure()


def edition_text(edition: Edition) -> str:
    """Which edition it is, and that the two are not to be mixed."""
    return (
        f"{edition.title}: all measures are in {UNITS[edition.system]}, on a ruler of {edition.ruler}. Do not mix them "
        f"with those of the {edition.other} edition: each is calculated and checked on its own, and a piece of one "
        "need not join a piece of the other."
    )


def errata_of(papers: Papers) -> list[Json]:
    """The errata that are about the sizes of this booklet."""
    names = {size.name for size in papers.sizes}
    return [each for each in papers.edition.get("errata") or () if each.get("size") is None or each["size"] in names]


def _errata(papers: Papers, edition: Edition, across: float) -> Iterator[Flowable]:
    errata = errata_of(papers)
    if not errata:
        yield paragraph(NO_ERRATA)
        return
    rows = [
        [
            words(each["size"]) if each.get("size") else "all sizes",
            edition.prose(each["says"]),
            each.get("since") or "–",
        ]
        for each in errata
    ]
    yield ruled(ERRATA, rows, across)
