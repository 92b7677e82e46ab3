"""Solves batches: the maps of one pattern are kept from one batch to the next."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grading.batch.branching import Found, solve_rows
from grading.batch.points import Points
from grading.batch.posing import Kind, Posed, pose_kind
from grading.batch.requests import BatchRequest
from grading.batch.result import BatchResult, RowStatus
from grading.batch.rowwise import solve_each
from grading.errors import Fault, RequestFaults
from grading.exact import read_length, shown
from grading.model import Model, Relation
from grading.model.findings import stock_values
from grading.solve import Compiled
from grading.solve.nearest import Stop


class BatchSolver:
    """Solves batches of one pattern. What it learns of the pattern's maps makes later batches quicker, not different."""

    def __init__(self, model: Model, compiled: Compiled) -> None:
        self.model, self.compiled = model, compiled

    def solve(self, request: BatchRequest, stop: Stop | None = None) -> BatchResult:
        """The nearest size of every row. Raises RequestFaults, DocumentFaults, Stopped."""
