"""Pictures and sheets: what is cut and laid, to scale; templates at true scale as PDF, SVG and DXF."""

from grading.sheets.layout_picture import layout_picture

__all__ = ["layout_picture"]
