"""How the inner loops are compiled: once for the signature written beside them, and kept on disk where that can be."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ParamSpec, TypeVar

import numba

Parameters = ParamSpec("Parameters")
Result = TypeVar("Result")


def kernel(
    signature: str, *, lean: bool = False
) -> Callable[[Callable[Parameters, Result]], Callable[Parameters, Result]]:
    """Compile a function for this signature when its module is loaded; take it from disk where it was kept before.

    A lean one makes no arrays, counts no references to those it is given and is made part of the kernels that call it:
    three times as fast where one calls another in every step.
    What was kept is found by the file of the function alone: change the file of one that calls others with them.
    """

    options = {"_nrt": False, "forceinline": True} if lean else {}

    def compile_one(function: Callable[Parameters, Result]) -> Callable[Parameters, Result]:
        compiler: Any = numba.njit
        try:
            compiled = compiler(signature, cache=True, **options)(function)
        except RuntimeError:  # no folder that can be written to, neither beside the module nor the user's own
            compiled = compiler(signature, **options)(function)
        result: Callable[Parameters, Result] = compiled
        return result

    return compile_one
