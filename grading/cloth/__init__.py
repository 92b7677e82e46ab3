"""Cloth: how the pieces of a grade are laid on each cloth, and how much of it is bought."""

from grading.cloth.cloths import Progress, lay_out
from grading.cloth.layout import Arrangement, Laid, Layout, Layouts
from grading.cloth.settings import LayoutSettings, read_settings
from grading.cloth.table import layouts_table
from grading.cloth.writing import write_layouts

__all__ = [
    "Arrangement",
    "Laid",
    "Layout",
    "LayoutSettings",
    "Layouts",
    "Progress",
    "lay_out",
    "layouts_table",
    "read_settings",
    "write_layouts",
]
