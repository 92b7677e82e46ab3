"""What workers do with the independent verifier."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from api.jobs.worker import Refusal
from grading import verify

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from grading.verify import MeasuredVerdict, Verdict

UNREADABLE = "Send a sound pattern document, and what is to be judged written as the description says."


def judge(arguments: Mapping[str, Any], stop: Callable[[], bool]) -> dict[str, Any]:
    """The verdict on a grade, on layouts or supplies of one, or on pieces measured at the table; refuses `request`."""
    read = {name: json.loads(text) for name, text in arguments.items()}
    try:
        return dict(_verdict(read).to_json())
    except verify.UnreadableInput as error:
        fault = {"path": error.path or "$", "problem": error.message, "remedy": UNREADABLE}
        raise Refusal("request", faults=[fault]) from error


def _verdict(read: Mapping[str, Any]) -> Verdict | MeasuredVerdict:
    if "measured" in read:
        return verify.judge_measured(read["document"], read["measured"])
    if "supplies" in read:
        return verify.judge_supplies(read["document"], read["grade"], read["supplies"], read.get("layouts"))
    if "layouts" in read:
        return verify.judge_layouts(read["document"], read["grade"], read["layouts"])
    return verify.judge(read["document"], read["grade"])
