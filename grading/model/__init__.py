"""The pattern as symbols: outlines, seams, coverings, and the relations that every size must meet."""

from grading.model.model import Model, build_model
from grading.model.problem import Measure, Problem, StockChoice
from grading.model.relation import Origin, Relation, Sense
from grading.model.sizing import Choice, pose

__all__ = ["Choice", "Measure", "Model", "Origin", "Problem", "Relation", "Sense", "StockChoice", "build_model", "pose"]
