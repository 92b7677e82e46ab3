"""The judgement of layouts: how the pieces of a grade lie on each cloth, and what there is to buy."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from grading.verify.cloth.cloths import Cloth, cloth_of
from grading.verify.cloth.laid import Lain, Matching, laid_claim, nested_number
from grading.verify.cloth.laying import Laying
from grading.verify.cloth.layout_settings import FOLDED, ROTARY, LayoutSettings, read_layout_settings
from grading.verify.cloth.least import Least, above_text
from grading.verify.cloth.nests import Nest, Nesting, laid_items
from grading.verify.cloth.offcuts import offcut_claims
from grading.verify.cloth.places import Turning, apart_claim, border_claim, fold_claim, inside_claim
from grading.verify.cloth.print_claims import PrintClaims
from grading.verify.cloth.prints import Prints
from grading.verify.cloth.purchase import purchase, sheet_purchase
from grading.verify.cloth.rotary import strips_claim
from grading.verify.cutting.cut_list import Row
from grading.verify.document.materials import Material
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, length_or_none
from grading.verify.printing.expected import Expected
from grading.verify.printing.graded import Graded, head_claims, read_graded
from grading.verify.printing.printed import compared, printed_claim, shown
from grading.verify.unreadable import refuse
from grading.verify.verdict import Claim, Verdict, verdict_of

HEAD = ("format", "kind", "pattern", "size", "ruler", "settings", "cloths", "without")
SHEETS = "sheets"


def judge_layouts(pattern: dict[str, Any], grade: dict[str, Any], layouts: dict[str, Any]) -> Verdict:
    """Return the verdict on the layouts of a grade, which is judged apart: only its dimensions count here.

    All are plain data as read from JSON. Raises `UnreadableInput` when one is not what it has to be at all.
    """
    graded = read_graded(pattern, grade)
    if not isinstance(layouts, dict) or layouts.get("kind") != "layouts":
        refuse("is no layouts", "layouts")
    materials = graded.pattern.head.materials
    settings = read_layout_settings(layouts.get("settings"), graded.pattern.head.unit, materials)
    return verdict_of(LayoutClaims(graded, settings).all(layouts))


@dataclass(frozen=True)
class LayoutClaims:
    """Judges the layouts of one grade."""

    graded: Graded
    settings: LayoutSettings

    @property
    def expected(self) -> Expected:
        """What is expected of the grade."""
        return self.graded.expected

    def all(self, layouts: Mapping[str, Any]) -> Iterator[Claim]:
        """Yield the claims of every part."""
        yield from head_claims(self.graded, layouts, HEAD)
        rows: dict[str, list[Row]] = {}
        for row in self.graded.rows:
            rows.setdefault(row.material, []).append(row)
        materials = {
            role: self.settings.material(role, material)
            for role, material in self.graded.pattern.head.materials.items()
            if role in rows
        }
        laid = [role for role, item in materials.items() if item.usable_width is not None or item.sheet is not None]
        yield from _without(layouts.get("without"), [role for role in materials if role not in laid])
        given = layouts.get("cloths")
        fields = given if isinstance(given, dict) else {}
        yield printed_claim("cloths", ", ".join(map(shown, fields)), ", ".join(laid), list(fields) == laid)
        for role in laid:
            layout = fields.get(role)
            if not isinstance(layout, dict):
                says = f"{role}: there is no layout"
                yield Claim("laid", f"laid:{role}", shown(layout), f"{len(rows[role])} rows", False, says)
                continue
            yield from OneCloth(self, role, materials[role], rows[role], layout).all()


@dataclass(frozen=True)
class OneCloth:
    """Judges the layout of one cloth."""

    claims: LayoutClaims
    role: str
    material: Material
    rows: Sequence[Row]
    given: Mapping[str, Any]

    def all(self) -> Iterator[Claim]:
        """Yield the claims about the layout; places are judged where each piece is laid that has to be."""
        graded, settings = self.claims.graded, self.claims.settings
        pattern, ruler = graded.pattern, graded.pattern.ruler
        prints = Prints(pattern, graded.point, self.role, self.material)
        is_held = any(prints.holds(row, mirrored) for row in self.rows for mirrored in _sorts(row))
        borders = self.material.border is not None and any(
            row.uses and pattern.pieces[row.piece].on_border is not None for row in self.rows
        )
        cloth = cloth_of(self.role, self.material, settings, ruler.step, is_held, is_held or borders)
        laying = Laying(pattern, graded.point, cloth, settings.bias)
        wanted = {(row.letter, row.layer): laying.wanted(row) for row in self.rows}
        entries = self.given.get("pieces")
        found = Matching(cloth, ruler, wanted).findings(entries if isinstance(entries, (list, tuple)) else [])
        yield laid_claim(self.role, found, self.rows)
        if found.faults:
            return
        lain = found.lain
        held = [item for item in lain if prints.holds(item.wanted.row, item.wanted.mirrored)]
        yield inside_claim(cloth, lain, ruler)
        held_places = frozenset(item.index for item in held)
        nesting = Nesting(graded, cloth, held_places)
        pairs = nesting.pairs(lain)
        nested = {(nest.first.index, nest.second.index) for nest in pairs.nests}
        yield apart_claim(cloth, lain, ruler, nested, nesting.faults_apart(pairs.nests))
        yield Turning(pattern, cloth, graded.shapes).claim(lain, held)
        if any(item.nested is not None for item in lain):
            yield nesting.claim(pairs)
        yield from PrintClaims(pattern, graded.point, cloth, prints, graded.shapes).all(held, ruler)
        if cloth.style == FOLDED:
            yield fold_claim(cloth, lain)
        if borders:
            yield border_claim(pattern, graded.point, cloth, lain)
        length = max(item.end for item in lain)
        if cloth.style == ROTARY:
            yield strips_claim(cloth, lain, length, self.given.get("strips"))
        items = laid_items(lain, pairs.nests)
        least = Least(pattern, cloth, items, held_places, ruler)
        yield least.claim(self.given.get("least"))
        yield from self.numbers(cloth, lain, items, bool(held))

    def numbers(
        self, cloth: Cloth, lain: Sequence[Lain], items: Sequence[Lain | Nest], is_held: bool
    ) -> Iterator[Claim]:
        """Yield the claims about every other number of the layout."""
        ruler, settings, path = self.claims.graded.pattern.ruler, self.claims.settings, f"cloths.{self.role}"
        on_sheets = cloth.sheet_along is not None
        sheets = max(item.sheet for item in lain) + 1
        end = max(item.end for item in lain)
        length = end if cloth.sheet_along is None else cloth.sheet_along * sheets
        stated = self.given.get("least")
        least = length_or_none(stated.get("length") if isinstance(stated, dict) else None, PRINTED_DIGITS)
        above = above_text(length, least or Fraction(0), len(items) < len(lain))
        right: dict[str, Any] = {
            "style": cloth.style,
            "usable_width": ruler.printed(cloth.usable_width),
            "washed_width": ruler.printed(cloth.washed_width),
            "width": ruler.printed(cloth.width),
            "grid": ruler.printed(cloth.grid),
            "direction": self.material.direction,
            "length": ruler.printed(length),
            "above": above,
            "shortest": length == (least or 0),
            "buy": sheet_purchase(cloth, items, sheets, length)
            if on_sheets
            else purchase(cloth, items, length, settings.spare, is_held, ruler),
        }
        ways = {way: item for way, item in zip(("across", "along"), cloth.repeat, strict=True) if item is not None}
        if ways:
            right["repeat"] = {way: ruler.printed(item) for way, item in ways.items()}
        if on_sheets:
            right[SHEETS] = sheets
        claims: list[Claim] = []
        apart = {"says", "pieces", "least", "offcuts", "widths", "fat_quarters", "strips", "cuts", "hurried"}
        compared(right, {key: item for key, item in self.given.items() if key not in apart}, path, claims)
        yield from claims
        yield from self.nested_numbers(path)
        yield from offcut_claims(cloth, lain, length, settings.offcut, self.given.get("offcuts"), ruler)
        yield from self.words(cloth, path)

    def nested_numbers(self, path: str) -> Iterator[Claim]:
        """Yield that what an entry says of its nested pair is a number."""
        for index, entry in enumerate(self.given["pieces"]):
            if "nested" in entry:
                holds = nested_number(entry) is not None
                yield printed_claim(f"{path}.pieces.{index}.nested", entry["nested"], "a whole number from 1", holds)

    def words(self, cloth: Cloth, path: str) -> Iterator[Claim]:
        """Yield that what is for people only is of its form."""
        given, rotary = self.given, cloth.style == ROTARY
        yield printed_claim(f"{path}.says", given.get("says"), "a text", isinstance(given.get("says"), str))
        yield printed_claim(
            f"{path}.widths", given.get("widths"), "widths and lengths", _are_widths(given.get("widths"))
        )
        quarters = given.get("fat_quarters")
        holds = "fat_quarters" in given and (quarters is None or (type(quarters) is int and quarters > 0))
        yield printed_claim(f"{path}.fat_quarters", quarters, "a whole number, or nothing", holds)
        if "hurried" in given:
            yield printed_claim(f"{path}.hurried", given["hurried"], "a text", isinstance(given["hurried"], str))
        cuts = given.get("cuts")
        is_list = isinstance(cuts, (list, tuple)) and all(isinstance(cut, str) for cut in cuts)
        yield printed_claim(f"{path}.cuts", cuts, "cuts in order" if rotary else "nothing", is_list == rotary)
        if not rotary:
            yield printed_claim(f"{path}.strips", given.get("strips"), "nothing", "strips" not in given)


def _sorts(row: Row) -> list[bool]:
    return [False] * bool(row.count) + [True] * bool(row.mirrored)


def _are_widths(value: Any) -> bool:
    if not isinstance(value, (list, tuple)):
        return False
    for entry in value:
        if not isinstance(entry, dict) or set(entry) != {"usable_width", "length", "buy"}:
            return False
        if length_or_none(entry["usable_width"], PRINTED_DIGITS) is None:
            return False
        if any(
            entry[key] is not None and length_or_none(entry[key], PRINTED_DIGITS) is None for key in ("length", "buy")
        ):
            return False
    return True


def _without(given: Any, roles: Sequence[str]) -> Iterator[Claim]:
    listed = given if isinstance(given, (list, tuple)) else [None]
    named = [entry.get("material") if isinstance(entry, dict) else None for entry in listed]
    words = all(isinstance(entry, dict) and isinstance(entry.get("says"), str) and len(entry) == 2 for entry in listed)
    left = ", ".join(map(shown, named))
    yield printed_claim("without", left, ", ".join(roles) or "nothing", named == list(roles) and words)
