"""Whether a packing is what its task asks for; exact, in plain Python, sharing nothing with the searches."""

from __future__ import annotations

from grading.packing.task import Item, Packing, PackingTask, Position


class WrongPacking(AssertionError):
    """A packing that breaks its task: a mistake of the program, never of its user."""


def check_packing(task: PackingTask, packing: Packing) -> None:
    """Hold a packing to its task. Raises WrongPacking with the first thing that is wrong."""
    if len(packing.positions) != len(task.items):
        message = f"{len(packing.positions)} positions for {len(task.items)} items"
        raise WrongPacking(message)
    boxes = []
    for index, (item, position) in enumerate(zip(task.items, packing.positions, strict=True)):
        fault = _fault_alone(task, item, position)
        if fault:
            message = f"item {index} at {position.x}, {position.y} {fault}"
            raise WrongPacking(message)
        across, along = (item.along, item.across) if position.turned else (item.across, item.along)
        boxes.append((position.x, position.y, position.x + across, position.y + along))
    _hold_apart(boxes)
    end = max((box[3] for box in boxes), default=0)
    if packing.length != end:
        message = f"the length is said to be {packing.length}, and the last item ends at {end}"
        raise WrongPacking(message)


def _fault_alone(task: PackingTask, item: Item, position: Position) -> str | None:
    """What is wrong with an item's place, whatever else lies there."""
    across = item.along if position.turned else item.across
    if position.turned and (not item.turnable or item.motif is not None or item.at_fold):
        return "is turned and may not be"
    if position.x < 0 or position.y < 0 or position.x + across > task.width:
        return f"is {across} across and leaves the strip of {task.width}"
    if item.at_fold and position.x != 0:
        return "does not lie at the fold"
    if item.motif is not None:
        for place, motif, repeat in zip((position.x, position.y), item.motif, task.repeat, strict=True):
            if repeat and (place - motif) % repeat:
                return f"is off its motif {item.motif} in the repeat {task.repeat}"
    return None


def _hold_apart(boxes: list[tuple[int, int, int, int]]) -> None:
    """No two items overlap. Only items that share some length are compared: sorted by where they begin."""
    if len(boxes) < 2:
        return
    by_start = sorted(range(len(boxes)), key=lambda index: boxes[index][1])
    lying: list[int] = []
    for index in by_start:
        near, start, far, _ = boxes[index]
        lying = [other for other in lying if boxes[other][3] > start]
        for other in lying:
            if near < boxes[other][2] and boxes[other][0] < far:
                message = f"items {other} and {index} overlap"
                raise WrongPacking(message)
        lying.append(index)
