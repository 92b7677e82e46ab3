"""Patterns drawn at random: each is graded and fully proven, or refused with a reason that holds."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from hypothesis import HealthCheck, event, given, seed, settings

from grading.errors import Conflict, DocumentFaults, RequestFaults, RulerOutOfReach
from grading.pipeline import check_document, conflict_document, grade_document, grade_size, read_document
from grading.verify import judge, judge_conflict
from tests.properties.drafts import drafts, requests

ANY_PATTERN = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))


def graded_or_refused(document: dict[str, Any], request: Mapping[str, Any]) -> str:
    """What became of a pattern and a request: graded and proven, or why not; fails where neither holds."""
    try:
        pattern = read_document(document)
        grade = grade_size(pattern, request=request)
    except (DocumentFaults, RequestFaults) as refused:
        assert all(fault.path and fault.problem and fault.remedy for fault in refused.faults)
        return "faulty"
    except RulerOutOfReach as refused:
        assert refused.relations
        return "ruler too coarse"
    except Conflict as refused:
        assert all(each.says and each.because and each.path for each in refused.relations)
        return "conflict"
    verdict = judge(document, json.loads(json.dumps(grade_document(grade))))
    failing = {claim.kind for claim in verdict.failing}
    # What a draft leaves unsewn, or joins over two unlike allowances, is told of by the check; sizes do not hang on it.
    assert failing <= {"fate", "chain", "closed", "allowance"}, [claim.says for claim in verdict.failing]
    return "proven" if verdict.holds else "proven but for the draft's own faults"


@seed(1910)
@ANY_PATTERN
@given(document=drafts(), request=requests())
def test_any_pattern_is_graded_and_proven_or_refused_with_a_reason(
    document: dict[str, Any], request: dict[str, Any]
) -> None:
    event(graded_or_refused(document, request))


@seed(1911)
@settings(ANY_PATTERN, max_examples=15)
@given(document=drafts())
def test_the_check_of_any_draft_tells_each_fault_with_its_place_and_remedy(document: dict[str, Any]) -> None:
    found = check_document(document)
    assert all(note.path and note.problem and note.remedy for note in (*found.faults, *found.remarks))


@seed(1912)
@settings(ANY_PATTERN, max_examples=15)
@given(document=drafts(), request=requests())
def test_each_conflict_of_any_pattern_is_shown_to_the_verifier(
    document: dict[str, Any], request: dict[str, Any]
) -> None:
    try:
        grade_size(read_document(document), request=request)
    except Conflict as refused:
        if refused.refused is None:  # of the document, not of the request
            return
        conflict = json.loads(json.dumps(conflict_document(refused)))
        if conflict["certificate"]:
            verdict = judge_conflict(document, conflict)
            assert verdict.holds, [claim.says for claim in verdict.failing]
    except (DocumentFaults, RequestFaults, RulerOutOfReach):
        return
