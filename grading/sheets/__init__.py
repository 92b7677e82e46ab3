"""Pictures for people: what is cut and laid, to scale."""

from grading.sheets.layout_picture import layout_picture

__all__ = ["layout_picture"]
