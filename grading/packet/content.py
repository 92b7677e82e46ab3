"""The files of a packet: of each order what it keeps, and of all together what is cut and bought."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from grading.cloth import layouts_table
from grading.cloth.together import Batch, Shared, lay_together
from grading.packet.job import Job as Job
from grading.packet.tables import buy_table, cut_table
from grading.pictures import layout_picture
from grading.supplies import supplies_table

Stop = Callable[[], bool]
NOTE = "Numbers checked; your cloth, quilting and sewing are not. Measure your cloth before cutting."
PER_BAG = "Layouts of an order are for one bag; those in the folder together are for all bags of all orders."
Files = dict[str, bytes]


def packet_files(jobs: Sequence[Job], stop: Stop | None = None) -> Files:
    """The files of a packet by their names, in order; the same for the same jobs.

    Where there is more than one bag, those of all orders are also laid together, cloth by cloth. Raises LayoutFaults,
    PieceDoesNotFit, Stopped.
    """
    files: Files = {}
    for job in jobs:
        files |= dict(_of_one(job))
    if sum(job.quantity for job in jobs) > 1:
        files |= _together(jobs, stop)
    return {"contents.txt": _contents(jobs, files).encode(), **files}


def _of_one(job: Job) -> Iterator[tuple[str, bytes]]:
    folder = f"order-{job.number}"
    for name, text in job.texts.items():
        yield f"{folder}/{name}", text.encode()
    yield f"{folder}/layouts.csv", layouts_table(job.layouts).encode()
    yield f"{folder}/layouts.svg", layout_picture(job.layouts, job.grade).encode()
    yield f"{folder}/supplies.csv", supplies_table(job.supplies).encode()
    yield f"{folder}/steps.txt", _steps(job).encode()
    for name, content in job.drawn.items():
        yield f"{folder}/{name}", content


def _steps(job: Job) -> str:
    steps = [f"{number}. {step}" for number, step in enumerate(job.grade["steps"], start=1)]
    return "\n".join([job.title, "", *steps, "", NOTE, ""])


def _together(jobs: Sequence[Job], stop: Stop | None) -> Files:
    shared = lay_together([_batch(job) for job in jobs], stop)
    cloths = _named(shared)
    document = {
        "format": 1,
        "kind": "cut together",
        "orders": [{"number": job.number, "title": job.title, "quantity": job.quantity} for job in jobs],
        "cloths": {name: {**each.layout, "orders": [int(tag) for tag in each.tags]} for name, each in cloths},
    }
    picture = {"pattern": "Several orders", "size": {"name": "cut together"}, "cloths": document["cloths"]}
    return {
        "together/cut_list.csv": cut_table(jobs).encode(),
        "together/to_buy.csv": buy_table(jobs, [(name, each.layout) for name, each in cloths]).encode(),
        "together/layouts.json": (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode(),
        "together/layouts.svg": layout_picture(picture, _merged(jobs)).encode(),
    }


def _batch(job: Job) -> Batch:
    roles = job.document["materials"]
    settings = {key: value for key, value in job.layouts["settings"].items() if key != "widths"}
    return Batch(
        grade=job.made,
        settings={**settings, "widths": []},
        quantity=job.quantity,
        tag=str(job.number),
        prefix=job.prefix,
        cloths={role: job.cloth_title(role) for role in roles},
    )


def _named(shared: Sequence[Shared]) -> list[tuple[str, Shared]]:
    """Each cloth with a name of its own: cloths that are called alike and are not are numbered."""
    named: dict[str, Shared] = {}
    for each in shared:
        name, number = each.name, 1
        while name in named:
            number += 1
            name = f"{each.name} ({number})"
        named[name] = each
    return list(named.items())


def _merged(jobs: Sequence[Job]) -> Mapping[str, Any]:
    """What pictures need of all grades: pieces and rows of the cut list under names that tell the orders apart."""
    return {
        "pieces": {f"{job.prefix}{name}": piece for job in jobs for name, piece in job.grade["pieces"].items()},
        "cut_list": [
            {**row, "letter": f"{job.number}{row['letter']}"} for job in jobs for row in job.grade["cut_list"]
        ],
    }


def _contents(jobs: Sequence[Job], files: Files) -> str:
    titles = [f"order {job.number}: {job.title}" for job in jobs]
    return "\n".join([*titles, "", *files, "", PER_BAG, NOTE, ""])
