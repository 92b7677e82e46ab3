"""Cloth: how the pieces of a grade are laid on each cloth, and how much of it is bought."""

from grading.cloth.cloths import Hurry, Progress, lay_out
from grading.cloth.layout import Arrangement, Laid, Layout, Layouts
from grading.cloth.settings import LayoutSettings, read_settings
from grading.cloth.table import layouts_table
from grading.cloth.writing import above_text, write_layouts

__all__ = [
    "Arrangement",
    "Hurry",
    "Laid",
    "Layout",
    "LayoutSettings",
    "Layouts",
    "Progress",
    "above_text",
    "lay_out",
    "layouts_table",
    "read_settings",
    "write_layouts",
]
