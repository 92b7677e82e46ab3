"""`sizewright quote` on demo patterns."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from api.command import main

TOTE = Path(__file__).resolve().parents[2] / "demo_requests" / "patterns" / "market_tote.json"
Output = pytest.CaptureFixture[str]


def test_a_quote_is_a_table_whose_last_line_is_the_sum(capsys: Output) -> None:
    assert main(["quote", str(TOTE)]) == 0
    told = capsys.readouterr().out.splitlines()
    assert told[0].startswith("Market tote, base, 1 ×: ")
    assert any("28.00 EUR an hour" in line for line in told)
    amounts = [line.split()[0] for line in told[4:] if line.strip()]
    assert told[-1].split()[1:] == ["to", "pay"]
    assert sum(round(float(amount) * 100) for amount in amounts[:-1]) == round(float(amounts[-1]) * 100)


def test_a_plain_cloth_costs_less_than_a_printed_one(capsys: Output) -> None:
    totals = []
    for cloth in ("terns", "slate"):
        assert main(["quote", str(TOTE), "--set", "width=320mm", "--cloth", f"main={cloth}", "--json"]) == 0
        price = json.loads(capsys.readouterr().out)
        assert price["measures"]["width"] == "320 mm"
        totals.append(price["total"])
    assert totals[1] < totals[0]


def test_what_is_not_offered_is_told_with_both_ends(capsys: Output) -> None:
    assert main(["quote", str(TOTE), "--set", "width=900mm", "--quantity", "0"]) == 1
    assert "quantity" in capsys.readouterr().err
    assert main(["quote", str(TOTE), "--set", "width=900mm"]) == 1
    assert "240 mm to 500 mm" in capsys.readouterr().err
