"""What was checked, in a maker's words: the verifier's claims sorted by seam and by kind."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

Claim = Mapping[str, Any]

KINDS = {
    "seam": "both sides of every seam are as long as they must be",
    "notch": "the notches meet",
    "ease": "the ease is as the pattern says, to the ruler",
    "chain": "the sides of seams run on from edge to edge",
    "allowance": "the allowances of both sides",
    "order": "everything is sewn once, in an order that works",
    "fate": "every edge is joined or finished, and only once",
    "covering": "what is laid on lies where it must",
    "closed": "every outline closes",
    "outline": "no edge turns round or shrinks to nothing",
    "contents": "what must fit fits",
    "hold": "what was asked to fit fits",
    "within": "the bag keeps within the size that was allowed",
    "volume": "the room inside",
    "rule": "the pattern's own rules",
    "limits": "no measure is beyond its limits",
    "fixed": "what does not change with the size stays as drafted",
    "asked": "measures are as they were asked for",
    "kept": "measures that were to be kept are kept",
    "stock": "what is bought by size is a size that is sold",
    "finding": "zips, webbing and bindings are long enough",
    "cloth": "no piece is wider than its cloth",
    "ruler": "every measure that is cut lies on the ruler",
    "displacement": "no measure was moved far to reach the ruler",
    "nearest": "no size that works is nearer to the one that was asked for",
    "printed": "every number that is printed, worked out anew",
}
"""Each kind of claim, as it is told; a kind that is not listed is told by its own name."""
OF_SEAM = ("seam", "ease", "notch", "chain", "allowance", "order")
SAME = 0.2
_DOTTED = re.compile(r"\b([a-z][a-z0-9_]*)\.([a-z][a-z0-9_]*)\b")
_WAYS = re.compile(r" (forward|backward)\b")


@dataclass(frozen=True)
class Check:
    """One check: what it is, the numbers of both sides, and whether it holds."""

    what: str
    left: str
    right: str
    holds: bool


@dataclass(frozen=True)
class SeamChecks:
    """A seam: what its two sides are made of, their lengths, and its checks; edges as `use.edge`.

    `measurable`: both sides are whole edges, so that pieces of it can be judged by what was measured.
    """

    name: str
    join: str
    to: str
    ease: str
    sides: tuple[tuple[str, ...], tuple[str, ...]]
    measurable: bool
    checks: tuple[Check, ...]

    @property
    def holds(self) -> bool:
        """Whether all of its checks hold."""
        return all(check.holds for check in self.checks)

    @property
    def edges(self) -> tuple[str, ...]:
        """The edges of both sides, each once."""
        return tuple(dict.fromkeys((*self.sides[0], *self.sides[1])))


def plain(text: str) -> str:
    """A text of the verifier as it reads on paper: `front.right_up forward` reads front right up."""
    return _DOTTED.sub(r"\1 \2", _WAYS.sub("", text)).replace("_", " ")


def seams_checked(grade: Mapping[str, Any], claims: Sequence[Claim]) -> list[SeamChecks]:
    """Every seam of a grade with what was checked of it, in the order of the pattern."""
    by_seam: dict[str, list[Claim]] = {}
    for claim in claims:
        if claim["kind"] in OF_SEAM and (name := _seam_of(claim)):
            by_seam.setdefault(name, []).append(claim)
    found = []
    for name, printed in grade["seams"].items():
        own = by_seam.get(name, [])
        checks = tuple(_check(claim) for kind in OF_SEAM for claim in own if claim["kind"] == kind)
        ease = "" if printed["ease"].split(" ")[0] == "0" else printed["ease"]
        sides = _sides(own)
        whole = _whole(grade, sides[0], printed["join"]) and _whole(grade, sides[1], printed["to"])
        found.append(SeamChecks(name, printed["join"], printed["to"], ease, sides, whole, checks))
    return found


def by_kind(counts: Mapping[str, int], failing: Iterable[Claim]) -> list[tuple[str, int, int]]:
    """For each kind of check what it says, how many there are, and how many of these do not hold."""
    failed: dict[str, int] = {}
    for claim in failing:
        failed[claim["kind"]] = failed.get(claim["kind"], 0) + 1
    kinds = [*(kind for kind in KINDS if kind in counts), *(kind for kind in counts if kind not in KINDS)]
    return [(KINDS.get(kind, plain(kind)), counts[kind], failed.get(kind, 0)) for kind in kinds]


def told(claim: Claim) -> Check:
    """A claim of any kind, in words."""
    return Check(plain(claim["says"]), plain(claim["left"]), plain(claim["right"]), claim["holds"])


def _seam_of(claim: Claim) -> str:
    parts = claim["about"].split(":")
    if claim["kind"] == "order":
        return parts[2] if len(parts) > 2 and parts[1] == "seam" else ""
    return parts[1] if len(parts) > 1 else ""


def _check(claim: Claim) -> Check:
    left, right, holds = plain(claim["left"]), plain(claim["right"]), bool(claim["holds"])
    if claim["kind"] == "seam":
        return Check("The two sides, ease taken off", left, right, holds)
    if claim["kind"] == "notch":
        number = claim["about"].split(":")[2]
        return Check(f"Notch {int(number) + 1 if number.isdigit() else number}, from the start", left, right, holds)
    if claim["kind"] == "ease":
        return Check("The ease: as written, as sewn", left, right, holds)
    if claim["kind"] == "chain":
        side = "first" if claim["about"].split(":")[2] == "join" else "second"
        return Check(f"The {side} side runs on from edge to edge", left, right, holds)
    if claim["kind"] == "allowance":
        return Check("The allowances", left, right, holds)
    return Check("Sewn once, in its turn", left.replace("step(s)", "step"), right, holds)


def _whole(grade: Mapping[str, Any], side: Sequence[str], printed: str) -> bool:
    """Whether a side is made of whole edges: they are as long together as the side is."""
    pieces = {use: row["piece"] for row in grade["cut_list"] for use in row["uses"]}
    zips = {each["name"]: each for each in grade["findings"] if each["kind"] == "zip"}
    total = 0.0
    for entry in side:
        use, _, edge = entry.partition(".")
        if use in zips:
            total += rough(zips[use]["length" if edge in ("top", "bottom") else "width"])
        elif edge in grade["pieces"].get(pieces.get(use), {}).get("edges", {}):
            total += rough(grade["pieces"][pieces[use]]["edges"][edge]["length"])
        else:
            return False
    return bool(side) and abs(total - rough(printed)) < SAME


def rough(text: str) -> float:
    """A printed length in its own unit, near enough to compare: `3 1/8 in` is 3.125."""
    return sum(float(Fraction(part)) for part in text.split()[:-1])


def _sides(claims: Iterable[Claim]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The edges (or lines) that a seam joins, from the words of its own claim."""
    for claim in claims:
        if claim["kind"] == "seam" and " is sewn to " in claim["says"]:
            join, to = claim["says"].partition(": ")[2].split(" is sewn to ", 1)
            return tuple(join.split(" + ")), tuple(to.split(" + "))
    return (), ()
