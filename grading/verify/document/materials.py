"""Materials: the cloth of each role, as it is bought and as it is once washed."""

from __future__ import annotations

import re
from dataclasses import dataclass

from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import decimal_or_none, percentage_or_none, read_length
from grading.verify.reading import choice, fields, items, joined, named, truth
from grading.verify.unreadable import refuse

CLOTH_KINDS = ("cloth", "foam", "mesh", "interfacing", "film")
DIRECTIONS = ("any", "two-way", "one-way")
BORDERS = ("left", "right")
SHEET = "sheet"
# A layer that is taken in by more than half is a slip of the pen; a bound of the format.
MOST_SHRINKING = Fraction(1, 2)
NOTHING = Fraction(0)
# Across and along the grain, as parts of one.
Shrinks = tuple[Fraction, Fraction]

_AMOUNT = re.compile(r"\d{1,12}(?:\.\d{1,4})?", re.ASCII)
_SUM = re.compile(r"\d{1,40}(?:\.\d{1,4})?", re.ASCII)
_CURRENCY = re.compile(r"[A-Z]{3}", re.ASCII)


@dataclass(frozen=True)
class Price:
    """What a length costs, in mm, or one sheet or piece, where `per` is None."""

    amount: Fraction
    currency: str
    per: Fraction | None


@dataclass(frozen=True)
class Repeat:
    """The repeat of a print as bought, in mm; None in a way in which it has none."""

    across: Fraction | None
    along: Fraction | None


@dataclass(frozen=True)
class Material:
    """The cloth of a role: lengths in mm as bought, None where the document does not say them.

    `shrinkage` is what washing takes off, across and along; it is nothing for a cloth that is not washed. `shrinks` is
    what its layers are taken in across and along the grain by quilting or fusing. Both as parts of one.
    """

    kind: str = CLOTH_KINDS[0]
    usable_width: Fraction | None = None
    direction: str = DIRECTIONS[0]
    repeat: Repeat | None = None
    shrinkage: Shrinks = (NOTHING, NOTHING)
    thickness: Fraction | None = None
    shrinks: Shrinks = (NOTHING, NOTHING)
    sheet: tuple[Fraction, Fraction] | None = None
    border: str | None = None
    sold_by: Fraction | None = None
    price: Price | None = None
    says: str = ""
    washed: bool = True

    @property
    def washed_width(self) -> Fraction | None:
        """The usable width that is left when the cloth has been washed, in mm."""
        return None if self.usable_width is None else self.usable_width * (1 - self.shrinkage[0])


FIELDS = (
    "kind",
    "usable_width",
    "direction",
    "repeat",
    "shrinkage",
    "thickness",
    "loose",
    "shrinks",
    "washed",
    "sheet",
    "border",
    "sold_by",
    "price",
)


def read_materials(value: object, unit: Fraction) -> dict[str, Material]:
    """Return the roles in document order."""
    return {title: _material(entry, unit, path) for title, entry, path in named(value, "materials")}


def _material(value: object, unit: Fraction, path: str) -> Material:
    given = fields(value, path, (), FIELDS)
    width, thickness, loose, sold_by = (
        read_length(given[key], unit, joined(path, key)) if key in given else None
        for key in ("usable_width", "thickness", "loose", "sold_by")
    )
    if loose is not None and loose < (thickness or 0):
        refuse("is thinner than the cloth when it is stitched", joined(path, "loose"))
    if sold_by is not None and sold_by <= 0:
        refuse("is not above 0", joined(path, "sold_by"))
    sheet = None
    if "sheet" in given:
        where = joined(path, "sheet")
        across, along = (read_length(item, unit, where) for item in items(given["sheet"], where, 2))
        if across <= 0 or along <= 0:
            refuse("is not a sheet of lengths above 0", where)
        if width is not None:
            refuse("says a sheet and a usable width at once", where)
        sheet = across, along
    shrinkage = read_shrinkage(given.get("shrinkage"), joined(path, "shrinkage"))
    is_washed = "washed" not in given or truth(given["washed"], joined(path, "washed"))
    return Material(
        choice(given.get("kind"), joined(path, "kind"), CLOTH_KINDS, "cloth"),
        width,
        choice(given.get("direction"), joined(path, "direction"), DIRECTIONS, "any"),
        read_repeat(given.get("repeat"), unit, joined(path, "repeat")),
        shrinkage if is_washed else (NOTHING, NOTHING),
        thickness,
        read_shrinks(given.get("shrinks"), joined(path, "shrinks")),
        sheet,
        choice(given.get("border"), joined(path, "border"), BORDERS, "") or None,
        sold_by,
        read_price(given["price"], unit, joined(path, "price"), SHEET) if "price" in given else None,
        given.get("says", ""),
        is_washed,
    )


def read_price(value: object, unit: Fraction, path: str, one: str) -> Price:
    """Return a price for a length, or for `one` thing."""
    given = fields(value, path, ("amount", "currency", "per"))
    amount, currency = given["amount"], given["currency"]
    if not isinstance(amount, str) or _AMOUNT.fullmatch(amount) is None:
        refuse('is not an amount such as "12.50"', joined(path, "amount"))
    if not isinstance(currency, str) or _CURRENCY.fullmatch(currency) is None:
        refuse("is not the three capital letters of a currency", joined(path, "currency"))
    per = None if given["per"] == one else read_length(given["per"], unit, joined(path, "per"))
    if per is not None and per <= 0:
        refuse("is not above 0", joined(path, "per"))
    return Price(Fraction(amount), currency, per)


def read_repeat(value: object, unit: Fraction, path: str) -> Repeat | None:
    """Return the repeat of a print; one that repeats in no way is none."""
    if value is None:
        return None
    given = fields(value, path, (), ("across", "along"))
    across, along = (
        read_length(given[key], unit, joined(path, key)) if key in given else None for key in ("across", "along")
    )
    for key, length in (("across", across), ("along", along)):
        if length is not None and length <= 0:
            refuse("is not above 0", joined(path, key))
    return None if across is None and along is None else Repeat(across, along)


def read_shrinkage(value: object, path: str) -> Shrinks:
    """Return what washing takes off across and along, as parts of one below 1."""
    given = {} if value is None else fields(value, path, (), ("across", "along"))
    across, along = (_washed_off(given.get(way, "0 %"), joined(path, way)) for way in ("across", "along"))
    return across, along


def _washed_off(value: object, path: str) -> Fraction:
    share = percentage_or_none(value)
    if share is None:
        share = decimal_or_none(value, path)
    if share is None or not 0 <= share < 1:
        refuse('is not a percentage such as "3 %"', path)
    return share


def read_shrinks(value: object, path: str) -> Shrinks:
    """Return what quilting or fusing takes in across and along the grain, as parts of one."""
    given = {} if value is None else fields(value, path, (), ("across", "along"))
    across, along = (_share(given.get(way, "0 %"), joined(path, way)) for way in ("across", "along"))
    return across, along


def _share(value: object, path: str) -> Fraction:
    share = percentage_or_none(value)
    if share is None or not 0 <= share <= MOST_SHRINKING:
        refuse("is not a percentage from 0 % to 50 %", path)
    return share


def amount_or_none(text: object) -> Fraction | None:
    """Return the number of a text such as `12.50`, a sum maybe; None for anything else."""
    return Fraction(text) if isinstance(text, str) and _SUM.fullmatch(text) is not None else None
