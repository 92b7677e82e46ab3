"""Laying a grade out through the API, and the cloth to buy as a table of plain text."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from typing import Any

from demo_requests.client import Client

PAUSE = 0.2
ENDED = ("failed", "cancelled")
ABSENT = "-"


def lay_out(client: Client, grade: str) -> str:
    """Asks for the layouts of the grade at this address, waits for the job where it is one, gives their address."""
    answer = client.post(f"{grade}/layouts", {})
    place = answer.headers["location"]
    while place.startswith("/jobs/"):
        job = client.get(place).json()
        if job["state"] in ENDED:
            raise RuntimeError(f"Laying out {grade} ended {job['state']}: {job.get('problem')}")
        if job["result"]:
            return str(job["result"])
        time.sleep(PAUSE)
    return place


def cloth_table(layouts: Mapping[str, Any], supplies: Mapping[str, Any]) -> str:
    """One line a cloth: its usable width, the length laid, what to buy, what it costs, and how tight it lies."""
    costs = {row["name"]: row["cost"] for row in supplies["rows"] if row.get("cost")}
    lines = [("cloth", "usable width", "laid on", "buy", "cost", "")]
    for role, cloth in layouts["cloths"].items():
        sheets = cloth["buy"].get("sheets")
        buy = f"{sheets} sheet{'' if sheets == 1 else 's'}" if sheets else cloth["buy"]["length"]
        cost = cloth["buy"].get("cost") or costs.get(role)
        price = f"{cost['amount']} {cost['currency']}" if cost else ABSENT
        lines.append((role.replace("_", " "), cloth["usable_width"], cloth["length"], buy, price, cloth["above"]))
    total = ", ".join(f"{cost['amount']} {cost['currency']}" for cost in supplies["cost"])
    return "\n".join([*_drawn(lines), *([f"Cloth and supplies together: {total}"] if total else [])])


def _drawn(lines: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(len(line[column]) for line in lines) for column in range(len(lines[0]))]
    drawn = [
        "  ".join(
            f"{cell:<{width}}" if column in (0, 5) else f"{cell:>{width}}"
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    ]
    return [drawn[0], "-" * max(map(len, drawn)), *drawn[1:]]
