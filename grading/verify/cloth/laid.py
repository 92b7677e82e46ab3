"""Pieces as laid: each entry of a layout read, and found among what the cut list says is to be laid."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from grading.verify.cloth.cloths import Cloth
from grading.verify.cloth.laying import Wanted
from grading.verify.cutting.cut_list import Row
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, Ruler, length_or_none
from grading.verify.printing.leaves import length_leaf
from grading.verify.printing.printed import shown
from grading.verify.verdict import Claim

QUARTERS = (0, 90, 180, 270)
FIELDS = frozenset({"letter", "piece", "layer", "copy", "mirrored", "x", "y", "across", "along", "turned", "kind"})
FLAGS = frozenset({"on_fold", "pair"})
OTHERS = frozenset({"sheet", "bias", "nested"})


@dataclass(frozen=True)
class Lain:
    """An entry of a layout, in mm: where its corner nearest to (0, 0) is, and its measures as it lies.

    `nested` is the number of its nested pair.
    """

    index: int
    title: str
    x: Fraction
    y: Fraction
    across: Fraction
    along: Fraction
    turned: int
    sheet: int
    wanted: Wanted
    nested: int | None = None

    @property
    def measures(self) -> tuple[Fraction, Fraction]:
        """Across and along as it lies when it is not turned."""
        return self.wanted.across, self.wanted.along

    @property
    def cloth_area(self) -> Fraction:
        """The area of cloth that it is, all layers together."""
        return self.wanted.cloth_area

    @property
    def is_turned_aside(self) -> bool:
        """Whether across and along have changed places."""
        return self.turned in {90, 270}

    @property
    def right(self) -> Fraction:
        """Where it ends across."""
        return self.x + self.across

    @property
    def end(self) -> Fraction:
        """Where it ends along."""
        return self.y + self.along


@dataclass(frozen=True)
class Findings:
    """The entries that are what they should be, and what is wrong with the others or missing."""

    lain: tuple[Lain, ...]
    faults: tuple[str, ...]


class Matching:
    """Finds each entry's piece: by letter and layer its row, by copy its place in it."""

    def __init__(self, cloth: Cloth, ruler: Ruler, rows: Mapping[tuple[str, str], Sequence[Wanted]]) -> None:
        self._cloth = cloth
        self._ruler = ruler
        self._rows = rows
        self._left = {key: dict(enumerate(wanted, 1)) for key, wanted in rows.items()}

    def findings(self, entries: Sequence[Any]) -> Findings:
        """Return what the entries come to."""
        lain: list[Lain] = []
        faults: list[str] = []
        for index, entry in enumerate(entries):
            found = self._entry(index, entry)
            if isinstance(found, str):
                faults.append(f"pieces.{index} {found}")
            else:
                lain.append(found)
        for (letter, layer), left in self._left.items():
            faults += [f"piece {letter} in {layer}, number {copy}, is not laid" for copy in left]
        return Findings(tuple(lain), tuple(faults))

    def _entry(self, index: int, entry: Any) -> Lain | str:
        if not isinstance(entry, dict) or not FIELDS <= set(entry) <= FIELDS | FLAGS | OTHERS:
            return "is not of its form"
        letter, layer, copy, turned = (entry[key] for key in ("letter", "layer", "copy", "turned"))
        if not isinstance(letter, str) or not isinstance(layer, str) or (letter, layer) not in self._rows:
            return f"is of no row of the cut list for this cloth ({shown(letter)} in {shown(layer)})"
        if type(turned) is not int or turned not in QUARTERS:
            return "is turned by none of 0, 90, 180 and 270 degrees"
        lengths = [length_or_none(entry[key], PRINTED_DIGITS) for key in ("x", "y", "across", "along")]
        if type(copy) is not int:
            return "has no number of its copy"
        wanted = self._taken((letter, layer), copy, lengths[2:])
        if isinstance(wanted, str):
            return wanted
        x, y, across, along = lengths
        if x is None or y is None or across is None or along is None:
            return "has a place or a measure that is no length"
        if any(entry[key] != self._ruler.printed(length) for key, length in (("x", x), ("y", y))):
            return "has a place that is not printed as lengths are"
        sheet = entry.get("sheet", 0)
        if type(sheet) is not int or sheet < 0 or ("sheet" in entry) != (self._cloth.sheet_along is not None):
            return "names a sheet where there is none, or does not say on which it lies"
        title = f"{letter} {copy}" if len(self._rows[letter, layer]) > 1 else letter
        lain = Lain(index, title, x, y, across, along, turned, sheet, wanted, nested_number(entry))
        return self._difference(entry, lain) or lain

    def _taken(self, key: tuple[str, str], copy: int, measures: Sequence[Fraction | None]) -> Wanted | str:
        """Return what the entry stands for. The strips of a row are in any order; those of one sort change places."""
        left = self._left[key]
        if copy not in left:
            known = 1 <= copy <= len(self._rows[key])
            return f"is number {copy} of {key[0]}, which {'is laid twice' if known else 'there is not'}"
        wanted = left[copy]
        for other, item in left.items():
            if item.kind == "strip" and item.mirrored == wanted.mirrored and [item.across, item.along] == measures:
                left[other] = wanted
                wanted = item
                break
        del left[copy]
        return wanted

    def _difference(self, entry: Mapping[str, Any], lain: Lain) -> str | None:
        """Return what the entry says that its piece is not; None where all is right."""
        wanted, printed = lain.wanted, self._ruler.printed
        across, along = wanted.across, wanted.along
        if lain.is_turned_aside:
            across, along = along, across
        right: dict[str, Any] = {
            "piece": wanted.row.piece,
            "kind": wanted.kind,
            "mirrored": wanted.mirrored,
            "across": printed(across),
            "along": printed(along),
        }
        for flag, is_set in (("on_fold", wanted.on_fold), ("pair", wanted.pair)):
            if is_set or flag in entry:
                right[flag] = is_set
        for key, value in right.items():
            given = entry.get(key)
            if given != value or type(given) is not type(value):
                return f"says that the {key} of {lain.title} is {shown(given)}; it is {shown(value)}"
        return self._bias(entry.get("bias"), lain)

    def _bias(self, given: Any, lain: Lain) -> str | None:
        cut = lain.wanted.bias
        if cut is None:
            return None if given is None else "says how a bias binding is cut from what is none"
        if not isinstance(given, dict) or set(given) != {"strips", "centre", "width"}:
            return "does not say how the binding is cut from its block"
        if type(given["strips"]) is not int or given["strips"] != cut.strips:
            return f"says that {lain.title} is cut into {shown(given['strips'])} strips; it is {cut.strips}"
        for key, value in (("centre", cut.centre), ("width", cut.width)):
            leaf = length_leaf(value, value[0] == value[1], self._ruler)
            text = leaf if isinstance(leaf, str) else leaf.text
            if not (given[key] == leaf if isinstance(leaf, str) else leaf.accepts(given[key])):
                return f"says that the {key} of the strips of {lain.title} is {shown(given[key])}; it is {text}"
        return None


def nested_number(entry: Mapping[str, Any]) -> int | None:
    """Return the number of the nested pair of an entry; None where it has none that can be."""
    number = entry.get("nested")
    return number if type(number) is int and number > 0 else None


def laid_claim(role: str, found: Findings, rows: Sequence[Row]) -> Claim:
    """Return the claim that each piece of each row is laid once, as the cut list says."""
    says = f"{role}: each piece is laid once, with its measures"
    if found.faults:
        says = f"{role}: {found.faults[0]}"
        if len(found.faults) > 1:
            says += f" (and {len(found.faults) - 1} more)"
    left = f"{len(found.lain)} laid"
    return Claim("laid", f"laid:{role}", left, f"{len(rows)} rows, each piece once", not found.faults, says)


def one_claim(kind: str, about: str, right: str, faults: Iterator[str], says: str) -> Claim:
    """Return a claim that holds where there are no faults; it names the first one."""
    fault = next(faults, None)
    return Claim(kind, f"{kind}:{about}", "as laid", right, fault is None, says if fault is None else fault)
