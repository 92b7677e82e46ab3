"""What inputs are made of: expressions of grammar and noise, small documents and grades, and values in wrong places."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from functools import cache
from typing import Any, Protocol

from grading.grade import write_grade
from grading.pipeline import compile_document, grade_size, read_document
from tests.grading.verify.cloth import purse

Json = dict[str, Any]
Path = tuple[Any, ...]

WORDS = (
    *("width", "height", "count", "thickness_main", "pi", "sqrt", "sqrt(", "in", "lambda", "__import__", "x" * 61),
    *("+", "-", "*", "/", "**", "(", ")", "((((((((", "))))))))", "------", " ", "  ", "\t", "\n", ",", ".", "..", "%"),
    *(
        "0",
        "1",
        "2",
        "3",
        "1/3",
        "0.5",
        "12.25",
        "999999999999999",
        "0.000000000000001",
        "1e9",
        "1e999",
        "0x10",
        "1_000",
    ),
    *(
        "mm",
        " mm",
        "cm",
        "12 mm",
        "3 1/8 in",
        "5/8 in",
        "1/0 in",
        "-1 yd",
        "2 yd",
        "1.2 m",
        "**2",
        "**3",
        "**-1",
        "**4",
    ),
    *("[", "]", "{", "}", "'", '"', "\\", "\x00", "\u2028", "\ud800", "²", "٣", "π", "ａ", "√", "·"),
)
"""Parts of expressions, right and wrong."""

ATOMS = ("width", "height", "count", "pi", "thickness_main", "0", "1", "2", "3", "0.5", "7.25", "15", "120")
MOST_DEPTH = 5

VALUES: tuple[Any, ...] = (
    *(None, True, False, 0, -1, 1, 3, 10**15, 10**400, 0.5, -0.0, 1e308, float("inf"), float("nan")),
    *("", " ", "a", "width", "\ud800", "\x00", "\x1b[2J", "../../etc/passwd", "{{7*7}}", "${7*7}", "x" * 20_001),
    *("1/0 mm", "-5 mm", "9" * 5000 + " mm", "1/999999999999999 mm", "0 mm", "1 mm", "100 %", "0 %", "-1 %"),
    *("width/(width - 200)", "width**3**3", "sqrt(width*height)", "sqrt(" * 31 + "1" + ")" * 31, "pi*width", "2*pi"),
    *([], [[]], [None], ["width", "height"], {}, {"base": 1}, {"says": 1}, {"": {}}, {"x" * 61: {}}),
)
"""What is put where something else belongs."""

NAMES = ("panel", "front", "front.top", "panel.edges.top", "width", "band", "top", "forward", "main", "format", "bag")


class Choice(Protocol):
    """Where decisions come from: a generator, a strategy of Hypothesis, or the bytes of a fuzzer."""

    def below(self, bound: int) -> int:
        """A whole number from 0 to bound - 1."""


def expression(choice: Choice) -> str:
    """Up to some forty parts in a row, or, as often, an expression by the grammar."""
    if choice.below(2):
        return grammatical(choice, MOST_DEPTH)
    return "".join(WORDS[choice.below(len(WORDS))] for _ in range(choice.below(40)))


def grammatical(choice: Choice, depth: int) -> str:
    """An expression that can be read, though what it comes to may not be: no length, or nothing below a line."""
    kind = choice.below(8) if depth else choice.below(3)
    if kind < 3:
        return ATOMS[choice.below(len(ATOMS))]
    inner = grammatical(choice, depth - 1)
    match kind:
        case 3:
            return f"({inner})"
        case 4:
            return f"sqrt({inner})"
        case 5:
            return f"{'-+'[choice.below(2)]}{inner}"
        case 6:
            return f"({inner})**{choice.below(4)}"
        case _:
            sign = ("+", " + ", "-", " - ", "*", "/")[choice.below(6)]
            return f"{inner}{sign}{grammatical(choice, depth - 1)}"


def changed(value: Any, choice: Choice, times: int = 4) -> Any:
    """A copy in which up to so many places, at most half of the time none, hold something else."""
    found = copy.deepcopy(value)
    for _ in range(choice.below(times + 1)):
        places = list(_places(found))
        if places:
            _change(found, places[choice.below(len(places))], choice)
    return found


def _change(whole: Any, place: Path, choice: Choice) -> None:
    holder = whole
    for key in place[:-1]:
        holder = holder[key]
    key = place[-1]
    match choice.below(6):
        case 0:
            del holder[key]
        case 1:
            holder[key] = expression(choice)
        case 2:
            holder[key] = NAMES[choice.below(len(NAMES))]
        case 3 if isinstance(holder, dict):
            holder[NAMES[choice.below(len(NAMES))]] = holder.pop(key)
        case 4:
            holder[key] = copy.deepcopy(_another(whole, choice))
        case _:
            holder[key] = copy.deepcopy(VALUES[choice.below(len(VALUES))])


def _another(whole: Any, choice: Choice) -> Any:
    """A part of the same document, which is of some shape that it knows."""
    places = list(_places(whole))
    found = whole
    for key in places[choice.below(len(places))]:
        found = found[key]
    return found


def _places(value: Any, path: Path = ()) -> Iterator[Path]:
    if path:
        yield path
    if isinstance(value, dict):
        for key in value:
            yield from _places(value[key], (*path, key))
    elif isinstance(value, list):
        for at in range(len(value)):
            yield from _places(value[at], (*path, at))


@cache
def papers() -> tuple[tuple[Json, Json], ...]:
    """Small patterns, each with the JSON of its grade at the base size; not to be changed in place."""
    return tuple((document, _graded(document)) for document in _documents())


def _graded(document: Json) -> Json:
    pattern = read_document(document)
    grade = grade_size(pattern, request={"scale": "1"}, prepared=compile_document(pattern))
    written: Json = json.loads(json.dumps(write_grade(grade)))
    return written


def _documents() -> tuple[Json, ...]:
    band = {"join": ["front.top"], "to": [{"edge": "band.top", "from": 0, "to": "width"}]}
    sewn = purse.document(
        seams={"mouth": band, "sides": {"join": ["front.left"], "to": ["back.left"]}},
        rules={"wide": {"holds": "width >= height", "because": "it looks better"}},
    )
    shaped = purse.document(
        pieces={
            "panel": purse.rectangle("width", "height", uses=["front", "back"]),
            "base": {"outline": {"disc": {"radius": "band/6"}}, "layers": [{"material": "main"}]},
            "flap": {
                "outline": {"rounded_rectangle": {"width": "width", "height": 80, "corners": 12}},
                "layers": [{"material": "main", "count": 2}],
            },
        }
    )
    return purse.document(), sewn, shaped
