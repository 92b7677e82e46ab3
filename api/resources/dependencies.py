"""What handlers are given besides the request.

`AtBench` works in the workshop of whoever asks; `AtCaller` is who asks. Neither is more than the gate has let in.
"""

from __future__ import annotations

from litestar.datastructures import State
from litestar.di import NamedDependency, Provide
from litestar.types import Scope

from api.access.caller import Caller
from api.access.refusals import NoKey
from api.gate import CALLER
from api.operations.bench import NOBODY, Bench

AtBench = NamedDependency[Bench]
AtCaller = NamedDependency[Caller]


def _bench(state: State, scope: Scope) -> Bench:
    caller: Caller | None = scope["state"].get(CALLER)
    shared: Bench = state.bench
    return shared.of(NOBODY if caller is None else caller.workshop)


def _caller(scope: Scope) -> Caller:
    caller: Caller | None = scope["state"].get(CALLER)
    if caller is None:
        raise NoKey(presented=False)
    return caller


DEPENDENCIES = {"bench": Provide(_bench, sync_to_thread=False), "caller": Provide(_caller, sync_to_thread=False)}
