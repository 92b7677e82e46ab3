"""The demo patterns, as benchmarks use them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

PATTERNS = Path(__file__).resolve().parents[2] / "demo_requests" / "patterns"
LARGEST = "ferry_day_pack"
SIZES = ("base", "mini", "large")


def names() -> list[str]:
    """The names of all demo patterns."""
    return sorted(path.stem for path in PATTERNS.glob("*.json"))


def document(name: str) -> dict[str, Any]:
    """The document of a demo pattern."""
    return json.loads((PATTERNS / f"{name}.json").read_text(encoding="utf-8"))


def note(text: str) -> None:
    """Tell how far a benchmark has come."""
    print(text, flush=True)
