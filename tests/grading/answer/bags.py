"""Patterns and requests that contradict each other, for tests of what is answered."""

from __future__ import annotations

from typing import Any

import pytest

from grading.errors import Conflict
from grading.pipeline import grade_size, read_document
from tests.patterns import changed, pouch

Json = dict[str, Any]


def sleeve() -> Json:
    """The pouch with a rule between pocket and panel, and a stock dimension that must go along with the height."""
    document = changed(pouch(), "inside", ["width - 10", "height", "20"])
    document = changed(document, "outside", ["width", "height", "30"])
    document = changed(document, "dimensions.zip_length", {"base": 120, "sizing": "stock", "stock": "zips"})
    document = changed(document, "dimensions.strap", {"base": 25, "sizing": "fixed", "says": "width of the strap"})
    document = changed(document, "rules.zip", {"holds": "zip_length <= width", "because": "the zip ends in the seams"})
    return changed(document, "rules.strap", {"holds": "strap >= 20", "because": "it would cut in"})


def conflict_of(document: Json, request: Json) -> Conflict:
    """The conflict of a request."""
    pattern = read_document(document)
    with pytest.raises(Conflict) as caught:
        grade_size(pattern, request=request)
    return caught.value
