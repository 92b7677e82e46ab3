"""What workers do with pictures: the finished bag, and both sides of a seam."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from api.jobs.worker import Refusal
from grading.pictures.bag_picture import bag_picture
from grading.pictures.bag_views import NoBox
from grading.pictures.seam_picture import seam_picture

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

NO_BOX = {
    "path": "outside",
    "problem": "Nothing tells how large the finished bag is.",
    "remedy": "Give the document its `outside`, or begin the name of the use that is its front with `front`.",
}


def bag(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """The finished bag of a grade as SVG; refuses `request` where nothing tells its size."""
    pattern, grade = json.loads(arguments["document"]), json.loads(arguments["grade"])
    try:
        return bag_picture(pattern, grade, arguments["beside"], arguments["unit"], arguments["colours"])
    except NoBox as error:
        raise Refusal("request", faults=[NO_BOX]) from error


def seam(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> str:
    """Both sides of a seam of a grade as SVG."""
    return seam_picture(json.loads(arguments["document"]), json.loads(arguments["grade"]), arguments["seam"])
