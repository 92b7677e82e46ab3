"""Batches beside single sizes, and small patterns whose branches and roots are known."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from grading.batch import BatchRequest, BatchResult, BatchSolver, RowStatus, read_batch
from grading.document import read_pattern
from grading.errors import Conflict
from grading.model import pose
from grading.pipeline import Prepared, compile_document
from grading.solve import nearest_point
from tests.patterns import Json

NEAR = 1e-9
"""mm: what floats may differ from the exact point, of lengths up to 20 m."""


def prepared(document: Json) -> Prepared:
    """A pattern drawn and compiled."""
    return compile_document(read_pattern(document))


def solved(made: Prepared, data: Json) -> tuple[BatchRequest, BatchResult]:
    """A batch and its answer."""
    request = read_batch(data, made.model.pattern.unit)
    return request, BatchSolver(made.model, made.compiled, request.kind).solve(request)


def assert_as_single_sizes(made: Prepared, request: BatchRequest, result: BatchResult, rows: Any = None) -> None:
    """Each row (or each of these) is what the exact method of single sizes gives: the same point, or none."""
    for row in range(len(request)) if rows is None else rows:
        problem = pose(made.model, request.request(row))
        try:
            point = nearest_point(problem, made.compiled)
        except Conflict:
            assert result.status[row] == RowStatus.FAILS, f"row {row} has no size"
            assert np.isnan(result.values[row]).all()
            continue
        assert result.status[row] != RowStatus.FAILS, f"row {row} has a size"
        exact = [float(point[name]) for name in result.dimensions]
        assert result.values[row] == pytest.approx(exact, abs=NEAR), f"row {row}"


def webbed(widths: list[str], base: str = "25 mm", slack: str = "0") -> Json:
    """A strap whose width comes from stock and is at most a third of a panel's width."""
    return {
        "format": 1,
        "name": "Strap",
        "dimensions": {
            "width": {"base": 120, "limits": [30, 240]},
            "height": {"base": 90, "limits": [45, 200]},
            "strap": {"base": base, "sizing": "stock", "stock": "webbing"},
        },
        "stock": {"webbing": widths},
        "materials": {"main": {}},
        "pieces": {
            "panel": {"outline": {"rectangle": ["width", "height"]}, "layers": [{"material": "main"}]},
        },
        "findings": {"carrier": {"webbing": {"width": "strap", "length": "height", "stock": "webbing"}}},
        "rules": {
            "slim": {"holds": f"3*strap <= width + {slack}", "because": "it would look clumsy"},
            "stout": {"holds": "6*strap >= width", "because": "it would tear out"},
        },
    }


def slanted() -> Json:
    """Two flaps of different slants joined along them: a root stays in the seam."""
    return {
        "format": 1,
        "name": "Slants",
        "dimensions": {
            "across": {"base": 30},
            "along": {"base": 40},
            "other_across": {"base": 24},
            "other_along": {"base": 44, "sizing": "decided"},
        },
        "materials": {"main": {}},
        "pieces": {
            "flap": {
                "outline": {"trapezoid": {"top": "200", "bottom": "200 - 2*across", "height": "along"}},
                "layers": [{"material": "main"}],
            },
            "other": {
                "outline": {"trapezoid": {"top": "180", "bottom": "180 - 2*other_across", "height": "other_along"}},
                "layers": [{"material": "main"}],
            },
        },
        "seams": {"slant": {"join": ["flap.right"], "to": ["other.left"]}},
    }
