from __future__ import annotations

from pathlib import Path

from tests.load.figures import loaded

ORDERS, CLIENTS = 150, 50
"""A sample; `python -m tests.benchmarks faults` places 2,000."""


def test_each_key_places_one_order_though_connections_are_cut_and_requests_sent_again(tmp_path: Path) -> None:
    found = loaded(tmp_path, ORDERS, CLIENTS, seed=11)
    assert set(found["faults"].values()) == {0}, found
    assert found["placed"] == ORDERS
    assert found["cuts"] > 0
    assert found["replayed"] > 0
    assert found["other_statuses"] == {}
