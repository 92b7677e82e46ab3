"""What workers do for packets: everything of an order, or of several that are cut together, in one archive."""

from __future__ import annotations

import base64
import json
from typing import TYPE_CHECKING, Any

import grading
from api.jobs.reading import pattern_of, refusing, regraded
from grading import shop
from grading.packet import Job, archive, packet_files

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


def packet(arguments: Mapping[str, Any], stop: Callable[[], bool], tell: Callable[[Any], None]) -> str:
    """A ZIP archive in base 64; refuses `request`, `fit`, `outdated`, `stopped`."""
    jobs = [_job(number, order, stop) for number, order in enumerate(arguments["orders"], start=1)]
    with refusing():
        packed = archive(packet_files(jobs, stop))
    return base64.b64encode(packed).decode("ascii")


def _job(number: int, order: Mapping[str, Any], stop: Callable[[], bool]) -> Job:
    with refusing():
        wish = shop.wish_of(pattern_of(order["document"]), json.loads(order["wish"]))
        grade, document = json.loads(order["grade"]), json.loads(order["document"])
        templates = grading.grade_sheets(grade, document)
    return Job(
        number=number,
        title=order["title"],
        made=regraded(order, stop),
        document=document,
        grade=grade,
        layouts=json.loads(order["layouts"]),
        supplies=json.loads(order["supplies"]),
        cloths=wish.cloths,
        quantity=wish.quantity,
        texts=order["texts"],
        drawn={"sheets-A4.pdf": templates},
    )
