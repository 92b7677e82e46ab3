"""The whole demo, once, as a person starts it: from another folder, with the wanted port taken."""

from __future__ import annotations

import csv
import json
import os
import signal
import socket
import subprocess
import sys
import urllib.request
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import ezdxf
import pypdf
import pytest

from demo_requests.server import HOST
from demo_requests.workshop import PATTERNS, SIZES

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = ROOT / "demo_requests" / "run.py"


@dataclass(frozen=True)
class Demo:
    """What one run of the demo left behind."""

    code: int
    printed: str
    complained: str
    taken: int
    out: Path


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    elsewhere, out = tmp_path_factory.mktemp("elsewhere"), tmp_path_factory.mktemp("demo") / "out"
    with socket.create_server((HOST, 0)) as busy:
        taken = busy.getsockname()[1]
        command = [sys.executable, str(SCRIPT), "--port", str(taken), "--out", str(out)]
        run = subprocess.run(
            command, cwd=elsewhere, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False
        )
    assert not list(elsewhere.iterdir())
    return Demo(run.returncode, run.stdout, run.stderr, taken, out)


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def test_the_demo_ends_well(demo: Demo) -> None:
    assert (demo.code, demo.complained) == (0, "")


def test_the_last_line_says_how_many_claims_are_proven(demo: Demo) -> None:
    words = demo.printed.splitlines()[-1].split()
    assert words[1] == "of"
    assert int(words[0]) == int(words[2]) > 500
    assert words[3:] == [
        "claims",
        "proven,",
        "in",
        "9",
        "grades",
        "of",
        "3",
        "patterns,",
        "with",
        "cloth",
        "and",
        "supplies.",
    ]


def test_the_claims_are_those_that_the_verifier_counted_in_each_grade(demo: Demo) -> None:
    lines = [
        line.split(", ")[-1].split(": ")[-1] for line in demo.printed.splitlines() if line.endswith("claims proven")
    ]
    assert len(lines) == 9 + 2 * 3
    assert demo.printed.splitlines()[-1].startswith(f"{sum(int(line.split()[0]) for line in lines)} of ")


def test_another_port_is_taken_when_the_wanted_one_is(demo: Demo) -> None:
    assert f"Port {demo.taken} is taken; using " in demo.printed


@pytest.mark.parametrize("pattern", PATTERNS)
def test_pattern_grades_cut_lists_and_proofs_are_written(demo: Demo, pattern: str) -> None:
    wanted = {"pattern.json", "sizes.svg", *(f"base.layouts.{kind}" for kind in ("json", "csv", "svg"))}
    wanted |= {"base.supplies.json", "base.supplies.csv", "base.booklet.pdf"}
    wanted |= {*(f"base.sheets.{kind}" for kind in ("pdf", "svg", "dxf"))}
    wanted |= {"base.quote.json", "base.order.json", "base.packet.zip"}
    for size in SIZES:
        wanted |= {f"{size}.{part}" for part in ("grade.json", "cut_list.json", "cut_list.csv", "proof.json")}
    assert {path.name for path in (demo.out / pattern).iterdir()} == wanted


@pytest.mark.parametrize("pattern", PATTERNS)
def test_the_pattern_is_the_document_as_it_was_stored(demo: Demo, pattern: str) -> None:
    stored = read(demo.out / pattern / "pattern.json")
    assert stored == read(ROOT / "demo_requests" / "patterns" / f"{pattern}.json")
    assert stored["pieces"]
    assert stored["seams"]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("pattern", PATTERNS)
def test_a_grade_and_its_cut_lists_say_the_same(demo: Demo, pattern: str, size: str) -> None:
    grade = read(demo.out / pattern / f"{size}.grade.json")
    listed = read(demo.out / pattern / f"{size}.cut_list.json")["rows"]
    with (demo.out / pattern / f"{size}.cut_list.csv").open(encoding="utf-8", newline="") as file:
        sheet = list(csv.DictReader(file))
    assert grade["size"]["name"] == size
    assert grade["cut_list"] == listed
    assert [row["across"] for row in sheet] == [row["across"] for row in listed]


def test_each_table_has_width_and_height_for_every_size_side_by_side(demo: Demo) -> None:
    lines = demo.printed.splitlines()
    headings = [at for at, line in enumerate(lines) if line.split()[:3] == ["piece", "material", "count"]]
    assert len(headings) == len(PATTERNS)
    for at, pattern in zip(headings, PATTERNS, strict=True):
        assert lines[at].split()[3:] == ["width", "height"] * len(SIZES)
        assert lines[at - 1].split() == list(SIZES)
        rows = len(read(demo.out / pattern / "base.grade.json")["cut_list"])
        table = lines[at + 2 : at + 2 + rows]
        assert all(line.split()[0].isupper() for line in table)
        assert lines[at + 2 + rows].startswith("Cut width and height")


@pytest.mark.parametrize("pattern", PATTERNS)
def test_each_cloth_is_laid_out_and_its_layout_drawn(demo: Demo, pattern: str) -> None:
    layouts = read(demo.out / pattern / "base.layouts.json")
    picture = (demo.out / pattern / "base.layouts.svg").read_text(encoding="utf-8")
    tables = [line for line in demo.printed.splitlines() if "usable width" in line]
    assert len(tables) == len(PATTERNS)
    for role, cloth in layouts["cloths"].items():
        assert any(
            line.startswith(role.replace("_", " ")) and cloth["length"] in line for line in demo.printed.splitlines()
        )
        assert picture.count(f">{role}: {cloth['says']}<") == 1
        assert all(f">{piece['letter']}<" in picture for piece in cloth["pieces"])


@pytest.mark.parametrize("pattern", PATTERNS)
def test_templates_and_a_booklet_are_printed(demo: Demo, pattern: str) -> None:
    folder = demo.out / pattern
    title = read(folder / "pattern.json")["name"]
    for name in ("base.sheets.pdf", "base.booklet.pdf"):
        document = pypdf.PdfReader(folder / name)
        assert title in document.pages[0].extract_text()
    assert ezdxf.readfile(folder / "base.sheets.dxf").modelspace()
    assert title in (folder / "base.sheets.svg").read_text(encoding="utf-8")


@pytest.mark.parametrize("pattern", PATTERNS)
def test_an_order_sent_twice_is_placed_once_and_has_its_packet(demo: Demo, pattern: str) -> None:
    folder = demo.out / pattern
    order, quote = read(folder / "base.order.json"), read(folder / "base.quote.json")
    told = f"base ordered for {quote['price']['text']}: /orders/{order['id']}, sent twice, placed once"
    assert told in demo.printed
    with zipfile.ZipFile(folder / "base.packet.zip") as packet:
        assert packet.testzip() is None
        assert any(name.endswith(".pdf") for name in packet.namelist())


def test_serving_goes_on_until_it_is_interrupted_and_leaves_nothing_behind(tmp_path: Path) -> None:
    command = [sys.executable, "-u", str(SCRIPT), "--serve", "--out", str(tmp_path)]
    with subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        line = next(line for line in process.stdout if line.startswith("The API is at "))
        address = line.split()[4]
        with urllib.request.urlopen(f"{address}/health") as answer:
            assert answer.status == 200
        os.kill(process.pid, signal.SIGINT)
        assert "Stopped." in process.stdout.read()
        assert process.wait(60) == 0
    with pytest.raises(OSError, match=r"refused|reset"):
        urllib.request.urlopen(f"{address}/health")
