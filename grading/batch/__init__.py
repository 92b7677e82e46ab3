"""Batch: thousands of sizes of one pattern, each the nearest before the ruler, by affine maps judged exactly."""

from grading.batch.posing import Kind
from grading.batch.requests import MOST_ROWS, BatchRequest, read_batch
from grading.batch.result import BatchResult, RowStatus
from grading.batch.single import SizeMap
from grading.batch.solver import BatchSolver

__all__ = ["MOST_ROWS", "BatchRequest", "BatchResult", "BatchSolver", "Kind", "RowStatus", "SizeMap", "read_batch"]
