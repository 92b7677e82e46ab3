"""The judgement of supplies: what is bought besides the pieces, how much thread is used, and what it all costs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from grading.verify.cloth.purchase import amount_text
from grading.verify.document.materials import amount_or_none
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import PRINTED_DIGITS, length_or_none
from grading.verify.printing.graded import Graded, head_claims, read_graded
from grading.verify.printing.leaves import Same, Words
from grading.verify.printing.printed import compared, printed_claim, shown
from grading.verify.supplies.stitching import Stitching
from grading.verify.supplies.supply_rows import SupplyRows
from grading.verify.supplies.supply_settings import SupplySettings, read_supply_settings
from grading.verify.supplies.thread import thread_rows
from grading.verify.unreadable import refuse
from grading.verify.verdict import Claim, Verdict, verdict_of

HEAD = (
    "format",
    "kind",
    "pattern",
    "size",
    "ruler",
    "settings",
    "rows",
    "thread",
    "needles",
    "cost",
    "unpriced",
    "says",
)
CLOTHS = ("cloth", "sheet")


def judge_supplies(
    pattern: dict[str, Any], grade: dict[str, Any], supplies: dict[str, Any], layouts: dict[str, Any] | None = None
) -> Verdict:
    """Return the verdict on the supplies of a grade; the grade, and the layouts if there are any, are judged apart.

    All are plain data as read from JSON. Raises `UnreadableInput` when one is not what it has to be at all.
    """
    graded = read_graded(pattern, grade)
    if not isinstance(supplies, dict) or supplies.get("kind") != "supplies":
        refuse("is no supplies", "supplies")
    if layouts is not None and (not isinstance(layouts, dict) or layouts.get("kind") != "layouts"):
        refuse("is no layouts", "layouts")
    settings = read_supply_settings(supplies.get("settings"), graded.pattern.head.unit)
    return verdict_of(SupplyClaims(graded, settings, supplies, layouts).all())


@dataclass(frozen=True)
class SupplyClaims:
    """Judges the supplies of one grade."""

    graded: Graded
    settings: SupplySettings
    given: Mapping[str, Any]
    layouts: Mapping[str, Any] | None

    def all(self) -> Iterator[Claim]:
        """Yield the claims of every part."""
        yield from head_claims(self.graded, self.given, HEAD)
        if self.layouts is not None:
            for key in ("pattern", "size", "ruler"):
                same = self.layouts.get(key) == self.given.get(key)
                yield printed_claim(key, self.given.get(key), f"the {key} of the layouts", same)
        rows = [*self.cloth_rows(), *SupplyRows(self.graded.expected, self.settings).all()]
        yield from self.row_claims(rows)
        yield from self.thread_claims()
        yield from self.cost_claims(rows)
        for key in ("needles", "says"):
            value = self.given.get(key)
            holds = isinstance(value, (list, tuple)) and all(isinstance(item, str) for item in value)
            yield printed_claim(key, value, "a list of texts", holds)

    def cloth_rows(self) -> Iterator[dict[str, Any]]:
        """Yield a row for each cloth of the layouts."""
        cloths = {} if self.layouts is None else self.layouts.get("cloths")
        if not isinstance(cloths, dict):
            refuse("have no cloths", "layouts")
        for role, layout in cloths.items():
            buy = layout.get("buy") if isinstance(layout, dict) else None
            if not isinstance(buy, dict):
                refuse("does not say what there is to buy", f"layouts.cloths.{shown(role)}")
            row: dict[str, Any] = {
                "name": role,
                "kind": "cloth",
                "findings": [],
                "says": Words(),
                "count": 1,
                "width": None,
                "each": None,
                "total": None,
                "buy": {"what": Words()},
                "waste": None,
                "steps": [],
            }
            if "cost" in buy:
                row["cost"] = buy["cost"]
            if "sheets" in buy:
                row |= {"kind": "sheet", "count": buy["sheets"], "buy": {"what": Words(), "count": buy["sheets"]}}
            else:
                row |= self._by_length(layout.get("usable_width"), buy)
            yield row

    def _by_length(self, usable_width: Any, buy: Mapping[str, Any]) -> dict[str, Any]:
        texts = usable_width, buy.get("needed"), buy.get("length")
        width, needed, bought = (length_or_none(text, PRINTED_DIGITS) for text in texts)
        if width is None or needed is None or bought is None:
            refuse("do not say how wide a cloth is, or how much of it to buy", "layouts")
        return {
            "width": self._same(width),
            "total": self._same(needed),
            "buy": {"what": Words(), "length": self._same(bought)},
            "waste": self._same(bought - needed),
        }

    def _same(self, length: Fraction) -> Same:
        return Same((length, length), self.graded.pattern.ruler)

    def row_claims(self, rows: Sequence[Mapping[str, Any]]) -> Iterator[Claim]:
        """Yield a claim for each row, and one that none is missing or told twice, in order."""
        listed = self.given.get("rows")
        entries = listed if isinstance(listed, (list, tuple)) else []
        keys = [_key(entry) for entry in entries]
        for row in rows:
            found = [entry for entry, key in zip(entries, keys, strict=True) if key == _key(row)]
            yield _part_claim("supplies", f"supplies:{row['name']}", dict(row), found, f"rows.{row['name']}")
        expected = [_key(row) for row in rows]
        says = "every finding has its row, and every cloth of the layouts"
        if keys != expected:
            strange = [key for key in keys if key not in expected]
            absent = [key for key in expected if key not in keys]
            says = "rows are told twice, or not in order"
            if absent:
                says = f"there is no row for {absent[0][1]}"
            elif strange and strange[0][0] in CLOTHS and self.layouts is None:
                says = f"the row of {shown(strange[0][1])} rests on layouts, which are not given"
            elif strange:
                says = f"the row of {shown(strange[0][1])} is of no finding and no cloth"
        yield Claim("missing", "missing", f"{len(keys)} rows", f"{len(expected)} rows", keys == expected, says)

    def thread_claims(self) -> Iterator[Claim]:
        """Yield a claim for each class of stitch."""
        pattern, point = self.graded.pattern, self.graded.point
        sewn = Stitching(pattern, point, self.settings.tape).all()
        rows = list(thread_rows(sewn, self.settings, pattern.ruler))
        listed = self.given.get("thread")
        entries = listed if isinstance(listed, (list, tuple)) else []
        stitches = [entry.get("stitch") if isinstance(entry, dict) else None for entry in entries]
        for row in rows:
            found = [entry for entry, stitch in zip(entries, stitches, strict=True) if stitch == row["stitch"]]
            yield _part_claim("thread", f"thread:{row['stitch']}", row, found, f"thread.{row['stitch']}")
        right = [row["stitch"] for row in rows]
        text = ", ".join(right) or "nothing"
        yield printed_claim("thread", ", ".join(map(shown, stitches)), text, stitches == right)

    def cost_claims(self, rows: Sequence[Mapping[str, Any]]) -> Iterator[Claim]:
        """Yield a claim for each currency, and that what has no price is named."""
        sums: dict[str, Fraction] = {}
        unpriced = []
        for row in rows:
            amount = amount_or_none(row["cost"].get("amount")) if isinstance(row.get("cost"), dict) else None
            if amount is not None:
                currency = str(row["cost"].get("currency"))
                sums[currency] = sums.get(currency, Fraction(0)) + amount
            elif len(row["buy"]) > 1:
                unpriced.append(row["name"])
        listed = self.given.get("cost")
        entries = listed if isinstance(listed, (list, tuple)) else []
        currencies = [entry.get("currency") if isinstance(entry, dict) else None for entry in entries]
        for currency in sorted(sums):
            right = {"currency": currency, "amount": amount_text(sums[currency])}
            found = [entry for entry, name in zip(entries, currencies, strict=True) if name == currency]
            yield _part_claim("cost", f"cost:{currency}", right, found, f"cost.{currency}")
        text = ", ".join(sorted(sums)) or "nothing"
        yield printed_claim("cost", ", ".join(map(shown, currencies)), text, currencies == sorted(sums))
        given = self.given.get("unpriced")
        names = list(given) if isinstance(given, (list, tuple)) else None
        left = shown(given) if names is None else ", ".join(map(shown, names))
        yield printed_claim("unpriced", left, ", ".join(unpriced) or "nothing", names == unpriced)


def _key(row: Any) -> tuple[Any, Any]:
    return (row.get("kind"), row.get("name")) if isinstance(row, Mapping) else (None, None)


def _part_claim(kind: str, about: str, right: Mapping[str, Any], found: Sequence[Any], path: str) -> Claim:
    """Return one claim about all that stands in a row."""
    if len(found) != 1:
        says = f"{path} is missing" if not found else f"{path} is told twice"
        return Claim(kind, about, f"{len(found)} rows", "one row", False, says)
    claims: list[Claim] = []
    compared(dict(right), found[0], path, claims)
    wrong = next((claim for claim in claims if not claim.holds), None)
    if wrong is None:
        return Claim(kind, about, f"{len(claims)} numbers and words", "as they follow", True, f"{path} is right")
    return Claim(kind, about, wrong.left, wrong.right, False, wrong.says)
