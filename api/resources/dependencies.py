"""What handlers are given besides the request."""

from __future__ import annotations

from litestar.datastructures import State
from litestar.di import NamedDependency, Provide

from api.operations.bench import Bench

AtBench = NamedDependency[Bench]


def _bench(state: State) -> Bench:
    bench: Bench = state.bench
    return bench


DEPENDENCIES = {"bench": Provide(_bench, sync_to_thread=False)}
