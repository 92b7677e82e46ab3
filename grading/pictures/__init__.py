"""Pictures to look at: cutting layouts, the bag from front and side, a seam's two sides, a draft in work."""

from grading.pictures.layout_picture import layout_picture

__all__ = ["layout_picture"]
