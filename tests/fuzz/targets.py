"""What inputs are given to, and the only ways in which it may answer; anything else is a failure."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction

from api.body import ContentRefused, UnreadableBody, read_json
from grading.document.expressions import ExpressionFault, Scope, length_value
from grading.errors import SizewrightError
from grading.exact import NotALength, Ruler
from grading.pipeline import read_document
from grading.verify import UnreadableInput, judge
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import PI_MARK
from grading.verify.exact.fraction import Fraction as Exact
from tests.fuzz.material import Choice, changed, expression, papers

BLANKS = {ord("\t"): " ", ord("\n"): " "}
"""May stand in what a designer has written."""
DIMENSIONS = frozenset({"width", "height", "depth"})
THICKNESS = {"thickness_main": Fraction(3, 4)}


def read_expression(choice: Choice) -> None:
    """The library's parser of expressions, and the verifier's, which reads what the library reads, and alike.

    It may read more: texts with other blanks, a sign before a length, digits on both sides of a point. Where a root
    stands, one of them may have found it rational.
    """
    text = expression(choice)
    ours, theirs = _read(text), _verifiers(text)
    if ours is not None and (theirs is None or ("sqrt" not in text and ours != theirs)):
        raise AssertionError(f"{text!r} is read as {ours} and as {theirs}")


def read_pattern(choice: Choice) -> None:
    """The reader of documents."""
    documents = papers()
    draft = changed(documents[choice.below(len(documents))][0], choice)
    try:
        read_document(draft)
    except SizewrightError as refused:
        if not str(refused):
            raise AssertionError("a refusal without a word") from refused


def verify(choice: Choice) -> None:
    """The verifier: pattern or grade changed."""
    documents = papers()
    document, grade = documents[choice.below(len(documents))]
    if choice.below(2):
        document = changed(document, choice)
    else:
        grade = changed(grade, choice)
    try:
        verdict = judge(document, grade)
    except UnreadableInput as refused:
        if not refused.message:
            raise AssertionError("a refusal without a word") from refused
        return
    for claim in verdict.claims:
        if not claim.says.translate(BLANKS).isprintable():
            raise AssertionError(f"a claim that cannot be shown: {claim.says!r}")


def read_body(choice: Choice) -> None:
    """The reader of requests' bodies: JSON with bytes exchanged."""
    documents = papers()
    body = bytearray(json.dumps(documents[choice.below(len(documents))][0]).encode())
    for _ in range(choice.below(6)):
        at = choice.below(len(body))
        body[at : at + choice.below(3)] = bytes(choice.below(256) for _ in range(choice.below(3)))
    try:
        read_json(bytes(body))
    except (ContentRefused, UnreadableBody):
        return


TARGETS: dict[str, Callable[[Choice], None]] = {
    "expression": read_expression,
    "document": read_pattern,
    "verifier": verify,
    "body": read_body,
}


def _scope() -> Scope:
    return Scope("mm", DIMENSIONS, {"count": 3}, Ruler(Fraction(1), in_inches=False), None, THICKNESS)


Shown = dict[str, Fraction] | None
"""The rational multiples of dimensions, of 1, and of both with pi; None for a refusal."""


def _read(text: str) -> Shown:
    try:
        form = length_value(text, _scope())
    except (ExpressionFault, NotALength):
        return None
    plain = {name: value for name, value in form.plain.items() if value}
    return plain | {f"{PI_MARK}{name}": value for name, value in form.pi.items() if value}


def _verifiers(text: str) -> Shown:
    reader = Expressions(
        Exact(1), Exact(1), DIMENSIONS, {"count": 3}, {name: Exact(value) for name, value in THICKNESS.items()}
    )
    try:
        form = reader.drawn(text, "here")
    except UnreadableInput:
        return None
    return {key: Fraction(value, form.below) for key, value in form.terms.items() if isinstance(key, str)}
