"""What a booklet tells besides its lists: edition, state, skills, licence, errata, cautions, sizes."""

from __future__ import annotations

import re

import pytest

from grading.booklet import SizePapers, booklet
from grading.booklet.edition import Edition
from grading.booklet.pages import shortened
from grading.drawing.fonts import breadth
from grading.errors import RequestFaults
from grading.exact import read_length, read_ruler
from grading.pipeline import grade_size, read_document
from grading.press import booklet_of, booklet_of_all, size_papers
from tests.grading.booklet.books import Json, demo, joined, laid_demo, papers_of, printed, reader, size_of, whole_text
from tests.patterns import changed, pouch

SOUND = {
    "edition": {"system": "metric", "skills": ["hems", "snaps"], "time": "1 to 2 hours", "licence": "for yourself"}
}
METRIC, INCHES = Edition("metric", read_ruler("1 mm")), Edition("imperial", read_ruler("1/8 in"))
MARKUP = "<b>bold</b> & <para> </font> &amp; <img src='x'/>"


def told(document: Json, *sizes: SizePapers) -> str:
    return whole_text(booklet(papers_of(document, *sizes)))


def test_skills_time_and_licence_are_told() -> None:
    text = told(pouch() | SOUND)
    assert "Skills: hems, snaps." in text
    assert "Time: 1 to 2 hours." in text
    assert "For yourself." in text


def test_what_the_pattern_does_not_say_is_not_made_up() -> None:
    text = told(pouch())
    assert "Skills: none are named." in text
    assert "Time: not told." in text
    assert "The pattern says nothing of what may be done with it" in text
    assert "None are known for this revision." in text


@pytest.mark.parametrize("state", ["sewn", "in testing", "published"])
def test_a_sewn_pattern_is_no_longer_said_to_be_calculated_only(state: str) -> None:
    text = told(changed(pouch(), "edition", {"state": state}))
    assert "not yet sewn" not in text
    assert state.capitalize() in text


def test_errata_are_told_of_the_sizes_in_hand_and_of_all() -> None:
    errata = [
        {"says": "cut the pocket twice", "since": "2 May"},
        {"size": "wide", "says": "the wide hem is 30"},
    ]
    document = changed(pouch(), "edition", {"errata": errata})
    base, wide = told(document), told(document, size_of(document, "wide"))
    assert "all sizes cut the pocket twice 2 May" in base
    assert "the wide hem is 30" not in base
    assert "the wide hem is 30" in wide


@pytest.mark.parametrize("name", ["market_tote", "allotment_tool_roll", "ferry_day_pack"])
def test_the_imperial_edition_has_no_metric_length_but_that_of_the_check_line(name: str) -> None:
    text = whole_text(printed(name, system="imperial", paper="letter"))
    assert "Imperial edition" in text
    assert "Do not mix them with those of the metric edition" in text
    assert set(re.findall(r"[\d./]+ ?(?:mm|cm|m)\b", text)) == {"100 mm"}


@pytest.mark.parametrize("name", ["market_tote", "ferry_day_pack"])
def test_the_metric_edition_has_no_length_in_inches_but_that_of_the_check_line(name: str) -> None:
    text = whole_text(printed(name))
    assert set(re.findall(r"\d+(?:/\d+)? (?:in|yd|ft)(?= [\d×]|[,;.)]|$| Print| Errata)", text)) <= {"4 in"}
    assert "Do not mix them with those of the imperial edition" in text


def test_every_cut_measure_of_the_imperial_edition_is_printed() -> None:
    text = whole_text(printed("market_tote", system="imperial", paper="letter"))
    for row in laid_demo("market_tote", system="imperial").sizes[0].grade["cut_list"]:
        assert f"{row['across']} × {row['along']}" in text


@pytest.mark.parametrize("written", ["1 mm", "2.5 mm", "15 mm", "25 mm", "1420 mm", "70 cm", "100 m", "534.95 mm"])
def test_a_length_of_the_other_system_is_off_by_little(written: str) -> None:
    shown = INCHES.length(written)
    assert shown.startswith("about ")
    if "." in shown:
        printed_length, off = read_length(shown.removeprefix("about ")), read_length("0.005 in")
    else:
        printed_length = read_length(shown.removeprefix("about "))
        off = read_length(written) * 3 / 100
    assert abs(printed_length - read_length(written)) <= off


def test_lengths_of_the_own_system_stay_as_they_are() -> None:
    assert METRIC.length("412.39 mm") == "412.39 mm"
    assert INCHES.length("10 3/8 in") == "10 3/8 in"
    assert INCHES.length("16.2362 in") == "16.2362 in"
    assert METRIC.length("1285/3 mm") == "about 428 mm"
    assert METRIC.prose("sewn in 3 in a row") == "sewn in 3 in a row"


def test_a_size_on_the_other_ruler_is_refused_and_named() -> None:
    document = changed(pouch() | SOUND, "sizes.inches", {"scale": 1, "ruler": "1/8 in"})
    with pytest.raises(RequestFaults) as refused:
        booklet(papers_of(document, size_of(document), size_of(document, "inches")))
    assert [fault.path for fault in refused.value.faults] == ["sizes.inches.ruler"]


def test_the_booklet_of_all_sizes_leaves_those_of_the_other_edition_to_it() -> None:
    document = changed(pouch(), "sizes.inches", {"scale": 1, "ruler": "1/8 in"})
    text = whole_text(booklet_of_all(document, lay=False))
    assert "In the booklet of the imperial edition: inches." in text
    assert "Wide: steps" in text
    assert "Inches: steps" not in text


def test_a_size_that_cannot_be_made_is_told_in_the_chart_and_has_no_chapter() -> None:
    document = changed(pouch(), "sizes.huge", {"set": {"width": "900 mm"}})
    text = whole_text(booklet_of_all(document, lay=False))
    assert "Huge: cannot be made" in text
    assert "Huge: steps" not in text


def test_a_piece_that_cannot_be_laid_is_told_in_place_of_its_layout() -> None:
    """The motif would have the panel begin 1300 mm from the selvage of a cloth of 1370 mm."""
    document = changed(pouch(), "materials.main.repeat", {"across": "1370 mm", "along": "30 mm"})
    document = changed(document, "pieces.panel.motif", {"point": [0, 0], "on": ["1300 mm", "0 mm"]})
    assert "No layout could be made of this size" in whole_text(booklet_of_all(document))


def test_a_rotary_layout_tells_the_order_of_cuts() -> None:
    document = demo("market_tote")
    size = size_of(document, "mini", laid=True, style="rotary", gap="3 mm")
    assert size.layouts is not None
    text = told(document, size)
    cuts = [cut for cloth in size.layouts["cloths"].values() for cut in cloth.get("cuts", ())]
    assert cuts
    assert all(joined(cut) in text for cut in cuts)


def test_without_layouts_the_booklet_says_so() -> None:
    assert "No cutting layout is in this booklet" in told(pouch())


def test_layouts_of_another_size_are_refused() -> None:
    document = demo("market_tote")
    base, mini = size_of(document, laid=True), size_of(document, "mini", laid=True)
    assert base.layouts is not None
    with pytest.raises(RequestFaults) as refused:
        size_papers_with(document, "mini", base.layouts)
    assert [fault.path for fault in refused.value.faults] == ["layouts"]
    assert mini.layouts is not None
    assert size_papers_with(document, "mini", mini.layouts).layouts == mini.layouts


def size_papers_with(document: Json, size: str, layouts: object) -> SizePapers:
    assert isinstance(layouts, dict)
    return size_papers(grade_size(read_document(document), size=size), layouts)


@pytest.mark.parametrize(
    ("path", "says", "caution"),
    [
        ("contents.card.says", "a power bank", "Batteries: keep them"),
        ("says", "It fits under the seat of an airline.", "Airlines each have their own"),
        ("name", "Baby bottle bag", "For children: look at"),
    ],
)
def test_what_a_bag_is_for_brings_its_caution(path: str, says: str, caution: str) -> None:
    assert caution not in told(pouch())
    assert caution in told(changed(pouch(), path, says))


def test_no_load_is_ever_said_to_be_safe() -> None:
    for name in ("market_tote", "ferry_day_pack"):
        text = whole_text(printed(name)).lower()
        assert "safe load" not in text
        assert not re.search(r"\b\d+(\.\d+)? ?kg\b", text)


def test_markup_in_a_document_is_printed_as_it_is_written() -> None:
    document = pouch()
    for path in ("says", "materials.main.says", "steps.0.text", "findings.stud.hardware.what", "pieces.panel.says"):
        document = changed(document, path, MARKUP)
    text = whole_text(booklet_of_all(document))
    assert text.count(MARKUP) >= 5


@pytest.mark.parametrize("text", ["W" * 2000, "word " * 400, "\U0001f600 日本", "a\u2028b", "line\nline"])
def test_any_text_can_be_set(text: str) -> None:
    document = pouch()
    for path in ("name", "says", "materials.main.says", "pieces.panel.says", "findings.stud.says", "steps.0.text"):
        document = changed(document, path, text)
    document = changed(document, "edition", {"skills": [text], "licence": text, "errata": [{"says": text}]})
    assert len(reader(booklet_of_all(document, lay=False)).pages) > 5


def test_many_sizes_are_charted_in_turns() -> None:
    document = changed(pouch(), "sizes", {f"size_{number}": {"scale": f"{10 + number}/10"} for number in range(1, 6)})
    for number in range(6, 10):
        document = changed(document, f"sizes.size_{number}", {"set": {"width": f"{120 + number} mm"}})
    text = whole_text(booklet_of(document, [size_of(document)]))
    for number in range(6, 10):
        assert f"{120 + number} mm" in text
    assert "base, this booklet" in joined(text)


def test_a_size_of_its_own_lists_its_dimensions() -> None:
    document = pouch()
    grade = grade_size(read_document(document), request={"set": {"width": "133 mm"}})
    text = whole_text(booklet_of(document, [size_papers(grade)]))
    assert "A size of its own: steps" in text
    assert "width 133 mm" in text


def test_a_line_that_is_too_long_is_shortened_to_its_room() -> None:
    assert shortened("Ferry day pack", 60) == "Ferry day pack"
    short = shortened("W" * 2000, 60, 8.4, bold=True)
    assert short.endswith("…")
    assert breadth(short, 8.4 * 25.4 / 72, bold=True) <= 60 < breadth(f"W{short}", 8.4 * 25.4 / 72, bold=True)
