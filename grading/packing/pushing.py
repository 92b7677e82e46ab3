"""A packing pushed together: each item as near to the start and the near edge as the others and its motif let it."""

from __future__ import annotations

from grading.packing.task import Packing, PackingTask, Position
from grading.packing.ways import first_across, first_along

Box = tuple[int, int, int, int]


def pushed(task: PackingTask, packing: Packing) -> Packing:
    """The packing with items pushed towards the start, then the near edge, until none moves; not longer than before."""
    boxes = [_box(task, index, position) for index, position in enumerate(packing.positions)]
    moved = True
    while moved:
        moved = _push(task, boxes, along=True)
        moved = _push(task, boxes, along=False) or moved
    positions = tuple(
        Position(box[0], box[1], before.turned) for box, before in zip(boxes, packing.positions, strict=True)
    )
    return Packing(max((box[1] + box[3] for box in boxes), default=0), positions)


def _box(task: PackingTask, index: int, position: Position) -> Box:
    item = task.items[index]
    measures = (item.along, item.across) if position.turned else (item.across, item.along)
    return position.x, position.y, *measures


def _push(task: PackingTask, boxes: list[Box], *, along: bool) -> bool:
    """Push each item once along or across, the nearest first; whether one has moved."""
    moved = False
    for index in sorted(range(len(boxes)), key=lambda index: boxes[index][along]):
        box, item = boxes[index], task.items[index]
        if item.at_fold and not along:
            continue
        other_way = not along
        before = [
            other[along] + other[2 + along]
            for other in boxes
            if other[along] < box[along]
            and other[other_way] < box[other_way] + box[2 + other_way]
            and box[other_way] < other[other_way] + other[2 + other_way]
        ]
        place = (first_along if along else first_across)(task, item, max(before, default=0))
        if place < box[along]:
            boxes[index] = (box[0], place, *box[2:]) if along else (place, box[1], *box[2:])
            moved = True
    return moved
