"""The verifier's modules import nothing but each other and the standard library.

The list of the standard library's modules is Python's own: `sys.stdlib_module_names`.
"""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

VERIFIER = Path(__file__).resolve().parents[2] / "grading" / "verify"
MODULES = sorted(VERIFIER.rglob("*.py"))
BY_NAME = {"__import__", "import_module", "exec", "eval", "compile"}


def foreign(source: str, package: str = "grading.verify") -> list[str]:
    """Every module that the source imports from outside the standard library and its own package."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            above = package.split(".")[: len(package.split(".")) + 1 - node.level] if node.level else []
            found.append(".".join([*above, *filter(None, [node.module])]))
    own = (package, "__future__")
    return [name for name in found if not name.startswith(own) and name.split(".")[0] not in sys.stdlib_module_names]


def test_there_is_a_verifier_to_look_at() -> None:
    assert VERIFIER / "__main__.py" in MODULES


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.name)
def test_the_verifier_imports_only_itself_and_the_standard_library(module: Path) -> None:
    assert foreign(module.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.name)
def test_the_verifier_imports_nothing_by_a_computed_name(module: Path) -> None:
    tree = ast.parse(module.read_text(encoding="utf-8"))
    called = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    called |= {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)} - {"compile"}
    assert not called & BY_NAME


@pytest.mark.parametrize(
    ("source", "wanted"),
    [
        ("import json, numpy", ["numpy"]),
        ("from grading.exact import Length", ["grading.exact"]),
        ("from ..exact import Length", ["grading.exact"]),
        ("from .. import exact", ["grading"]),
        ("from . import reader\nfrom .reader import read\nimport grading.verify.reader", []),
        ("def f():\n    import sympy.core", ["sympy.core"]),
    ],
)
def test_the_search_finds_what_must_not_be_there(source: str, wanted: list[str]) -> None:
    assert foreign(source) == wanted
