"""From a solved size to cloth: stitched outlines in numbers, cut lines, and the cut list."""

from grading.cut.cut_list import Row, Strips, cut_list
from grading.cut.findings import CutFinding, cut_findings
from grading.cut.pieces import DrawnPiece, draw_pieces

__all__ = ["CutFinding", "DrawnPiece", "Row", "Strips", "cut_findings", "cut_list", "draw_pieces"]
