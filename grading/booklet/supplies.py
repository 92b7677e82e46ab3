"""Supplies: what to buy, with a box to tick; thread, needles, what it costs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reportlab.platypus import Flowable

from grading.booklet.cautions import is_caution
from grading.booklet.edition import Edition
from grading.booklet.pages import part, section
from grading.booklet.papers import SizePapers
from grading.booklet.tables import Cell, Column, Tick, ruled
from grading.booklet.typography import paragraph, sentence, words

Json = Mapping[str, Any]
UNKNOWN = "not known"
THREAD = (
    Column("", breadth=5.6),
    Column("Buy", breadth=18, right=True),
    Column("Thread", share=1),
    Column("Stitch (ISO 4915)", breadth=30),
    Column("Sewn", breadth=25, right=True),
    Column("Used", breadth=25, right=True),
)


def supplies(size: SizePapers, edition: Edition, key: str, across: float) -> Iterator[Flowable]:
    """What a size needs besides its pieces, and with its layouts its cloth too."""
    document = size.supplies
    yield from section("Supplies", f"{key} supplies")
    yield ruled(_columns(document), [_cells(row, document, edition) for row in bought(document)], across)
    if document["thread"]:
        yield from part("Thread", 20)
        yield ruled(THREAD, [_thread(row, edition) for row in document["thread"]], across)
    needles = [f"{text}." for text in document["needles"]]
    for text in (*_sums(document), *([" ".join(needles)] if needles else [])):
        yield paragraph(sentence(words(edition.prose(text))), "note")
    for text in document["says"]:
        if not is_caution(text):
            yield paragraph(edition.prose(text), "note")


def bought(document: Json) -> list[Json]:
    """The rows of a list of supplies that something is bought for; strips cut from cloth are in the cut list."""
    return [row for row in document["rows"] if "length" in row["buy"] or "count" in row["buy"]]


def _columns(document: Json) -> list[Column]:
    cost = [Column("Cost", breadth=21, right=True)] if document["cost"] else []
    return [
        Column("", breadth=5.6),
        Column("Buy", breadth=18, right=True),
        Column("What", share=1.15),
        Column("Used", breadth=20, right=True),
        Column("For", share=1),
        Column("Steps", breadth=19),
        *cost,
    ]


def _cells(row: Json, document: Json, edition: Edition) -> list[Cell]:
    cost = [f"{row['cost']['amount']} {row['cost']['currency']}" if "cost" in row else "–"]
    return [
        Tick(),
        _amount(row["buy"], edition),
        sentence(words(edition.prose(row["buy"]["what"]))),
        edition.length(row["total"]) if row["total"] else str(row["count"]),
        _purpose(row, edition),
        ", ".join(str(step) for step in row["steps"]),
        *(cost if document["cost"] else []),
    ]


def _amount(buy: Json, edition: Edition) -> str:
    return f"{buy['count']} ×" if "count" in buy else edition.length(buy["length"])


def _purpose(row: Json, edition: Edition) -> str:
    """What a row is for; of cloth its name tells, which stands in what is bought."""
    if row["kind"] in ("cloth", "sheet"):
        return ""
    named = ", ".join(words(name) for name in row["findings"])
    says = edition.prose(row["says"])
    if not says:
        return sentence(named)
    return sentence(says if len(row["findings"]) > 1 else f"{named}: {says}")


def _thread(row: Json, edition: Edition) -> list[Cell]:
    buy = row["buy"]
    return [
        Tick(),
        "–" if buy is None else f"{buy['count']} ×",
        "" if buy is None else sentence(edition.prose(buy["what"])),
        row["stitch"],
        edition.length(row["length"]),
        edition.length(row["used"]) if row["used"] else UNKNOWN,
    ]


def _sums(document: Json) -> Iterator[str]:
    if document["cost"]:
        total = " + ".join(f"{cost['amount']} {cost['currency']}" for cost in document["cost"])
        unpriced = ", ".join(document["unpriced"])
        yield f"In all {total}" + (f", without {unpriced}, which have no price" if unpriced else "") + "."
