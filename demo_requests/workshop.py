"""What the demo asks of the API for one pattern: store it, grade it in three sizes, fetch and verify."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from demo_requests.client import CSV, Answer, Client
from demo_requests.picture import draw_sizes
from demo_requests.table import cut_table
from demo_requests.verification import Verdict, verify

PATTERNS = ("market_tote", "ferry_day_pack", "allotment_tool_roll")
FAILING = "FAILS"
SIZES = ("base", "mini", "large")


@dataclass(frozen=True)
class Shown:
    """How one pattern fared: its grades, and how many of their claims are proven."""

    grades: int
    proven: int
    claims: int


def show(client: Client, document: dict[str, Any], folder: Path) -> Shown:
    """Stores the pattern, grades it in each size, verifies them, writes all to `folder`, prints a table."""
    folder.mkdir(parents=True, exist_ok=True)
    stored = client.post("/patterns", {"document": document}).json()
    revision = f"/patterns/{stored['id']}/revisions/{stored['head']}"
    _write(folder / "pattern.json", client.get(revision).json()["document"])
    cut_lists, grades, verdicts = {}, {}, []
    print(f"{document['name']}: stored as {revision}", flush=True)
    for size in SIZES:
        place = _graded(client, revision, size)
        grades[size], cut_lists[size] = _fetch(client, place, folder, size)
        verdict = verify(folder / "pattern.json", folder / f"{size}.grade.json")
        verdicts.append(verdict)
        print(f"  {size}: {place}, {verdict.proven} of {verdict.claims} claims proven", flush=True)
        _complain(verdict)
    (folder / "sizes.svg").write_text(draw_sizes(document["name"], grades), encoding="utf-8")
    print(f"\n{cut_table(cut_lists)}\n", flush=True)
    return Shown(len(SIZES), sum(each.proven for each in verdicts), sum(each.claims for each in verdicts))


def _graded(client: Client, revision: str, size: str) -> str:
    answer = client.post(f"{revision}/grades", {"size": size})
    return answer.headers.get("location") or f"/grades/{answer.json()['id']}"


def _fetch(client: Client, place: str, folder: Path, size: str) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    grade: dict[str, Any] = client.get(place).json()
    cut_list = client.get(f"{place}/cut-list").json()
    _write(folder / f"{size}.grade.json", grade)
    _write(folder / f"{size}.cut_list.json", cut_list)
    _write(folder / f"{size}.proof.json", client.get(f"{place}/proof").json())
    _keep(folder / f"{size}.cut_list.csv", client.get(f"{place}/cut-list", accept=CSV))
    rows: list[dict[str, Any]] = cut_list["rows"]
    return grade, rows


def _complain(verdict: Verdict) -> None:
    if not verdict.holds:
        failing = [line.strip() for line in verdict.report.splitlines() if line.strip().startswith(FAILING)]
        print("\n".join(f"    {line}" for line in failing), flush=True)


def _write(path: Path, content: Any) -> None:
    path.write_text(json.dumps(content, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


def _keep(path: Path, answer: Answer) -> None:
    path.write_bytes(answer.body)
