"""How the inner loops are compiled: once for the signature written beside them, and kept on disk where that can be."""

from __future__ import annotations

from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

import numba

Parameters = ParamSpec("Parameters")
Result = TypeVar("Result")

SOURCES = sha256(b"".join(path.read_bytes() for path in sorted(Path(__file__).parent.glob("*.py")))).hexdigest()
"""All modules of this folder: a kernel that was kept holds those that it calls, whatever file they stand in."""


def kernel(
    signature: str, *, lean: bool = False
) -> Callable[[Callable[Parameters, Result]], Callable[Parameters, Result]]:
    """Compile a function for this signature when its module is loaded; take it from disk where it was kept before.

    A lean one makes no arrays, counts no references to those it is given and is made part of the kernels that call it:
    three times as fast where one calls another in every step.
    """
    options = {"_nrt": False, "forceinline": True} if lean else {}

    def compile_one(function: Callable[Parameters, Result]) -> Callable[Parameters, Result]:
        compiler: Any = numba.njit
        try:
            compiled = compiler(cache=True, **options)(function)
        except RuntimeError:  # no folder that can be written to, neither beside the module nor the user's own
            compiled = compiler(**options)(function)
        else:
            kept = compiled._cache._cache_file
            kept._source_stamp = (kept._source_stamp, SOURCES)  # which otherwise tells of the function's own file only
        compiled.compile(signature)
        compiled.disable_compile()
        result: Callable[Parameters, Result] = compiled
        return result

    return compile_one
