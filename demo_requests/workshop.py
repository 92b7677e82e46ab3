"""What the demo asks of the API for one pattern: store, grade in three sizes, lay out, verify, print, order."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from demo_requests.client import CSV, SVG, Answer, Client
from demo_requests.cloth import cloth_table, lay_out
from demo_requests.ordering import order_size
from demo_requests.papers import print_size
from demo_requests.picture import draw_sizes
from demo_requests.table import cut_table
from demo_requests.verification import Verdict, verify

PATTERNS = ("market_tote", "ferry_day_pack", "allotment_tool_roll")
FAILING = "FAILS"
SIZES = ("base", "mini", "large")


@dataclass(frozen=True)
class Shown:
    """How one pattern fared: its grades, and how many claims of them, their layouts and supplies are proven."""

    grades: int
    proven: int
    claims: int


def show(client: Client, document: dict[str, Any], folder: Path) -> Shown:
    """Stores the pattern, grades it in each size, verifies them, writes all to `folder`, prints a table."""
    folder.mkdir(parents=True, exist_ok=True)
    stored = client.post("/patterns", {"document": document}).json()
    revision = f"/patterns/{stored['id']}/revisions/{stored['head']}"
    _write(folder / "pattern.json", client.get(revision).json()["document"])
    places, cut_lists, grades, verdicts = {}, {}, {}, []
    print(f"{document['name']}: stored as {revision}", flush=True)
    for size in SIZES:
        places[size] = place = _graded(client, revision, size)
        grades[size], cut_lists[size] = _fetch(client, place, folder, size)
        verdict = verify(folder / "pattern.json", folder / f"{size}.grade.json")
        verdicts.append(verdict)
        print(f"  {size}: {place}, {verdict.proven} of {verdict.claims} claims proven", flush=True)
        _complain(verdict)
    (folder / "sizes.svg").write_text(draw_sizes(document["name"], grades), encoding="utf-8")
    print(f"\n{cut_table(cut_lists)}\n", flush=True)
    laid = lay_out(client, places[SIZES[0]])
    verdicts += _on_the_table(client, places[SIZES[0]], laid, folder)
    papers = print_size(client, places[SIZES[0]], laid, folder, SIZES[0])
    print(f"  {SIZES[0]} printed: {', '.join(path.name for path in papers)}", flush=True)
    ordered = order_size(client, revision, SIZES[0], folder)
    counted = "sent twice, placed once" if ordered.once else "FAILS: sent twice, and placed twice"
    print(f"  {SIZES[0]} ordered for {ordered.price}: {ordered.place}, {counted}", flush=True)
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


def _on_the_table(client: Client, place: str, laid: str, folder: Path) -> list[Verdict]:
    """How much cloth the base size takes, how it is laid, and what else it needs; verified, written and printed."""
    name, pattern, grade = SIZES[0], folder / "pattern.json", folder / f"{SIZES[0]}.grade.json"
    layouts = client.get(laid).json()
    _write(folder / f"{name}.layouts.json", layouts)
    _keep(folder / f"{name}.layouts.csv", client.get(laid, accept=CSV))
    _keep(folder / f"{name}.layouts.svg", client.get(laid, accept=SVG))
    needs = f"{place}/supplies?layouts={laid.rpartition('/')[2]}"
    supplies = client.get(needs).json()
    _write(folder / f"{name}.supplies.json", supplies)
    _keep(folder / f"{name}.supplies.csv", client.get(needs, accept=CSV))
    papers = {"layouts": [folder / f"{name}.layouts.json"]}
    papers["supplies"] = [folder / f"{name}.supplies.json", *papers["layouts"]]
    print(f"{cloth_table(layouts, supplies)}\n", flush=True)
    verdicts = []
    for what, papers_of in papers.items():
        verdicts.append(verify(pattern, grade, *papers_of, of=what))
        print(f"  {name} {what}: {verdicts[-1].proven} of {verdicts[-1].claims} claims proven", flush=True)
        _complain(verdicts[-1])
    return verdicts


def _complain(verdict: Verdict) -> None:
    if not verdict.holds:
        failing = [line.strip() for line in verdict.report.splitlines() if line.strip().startswith(FAILING)]
        print("\n".join(f"    {line}" for line in failing), flush=True)


def _write(path: Path, content: Any) -> None:
    path.write_text(json.dumps(content, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


def _keep(path: Path, answer: Answer) -> None:
    path.write_bytes(answer.body)
