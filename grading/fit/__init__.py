"""Requests that leave something to be found: the scale of a wished volume, the way a bag is turned in a box."""

from grading.fit.fitting import Fitted, fit, fits

__all__ = ["Fitted", "fit", "fits"]
