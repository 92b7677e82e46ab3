"""What a picture of a bag asks of a pattern's document and a grade's: uses, coverings, and expressions at the size."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from grading.document.choices import holds
from grading.document.expressions import THICKNESS, Scope, length_value
from grading.exact import print_length, print_number, read_length

Json = Mapping[str, Any]
PLAIN_KINDS = frozenset({"foam", "interfacing"})
FINEST_INCH = 64


@dataclass(frozen=True)
class Use:
    """A use of a piece: its name, its piece, and whether it is mirrored."""

    name: str
    piece: str
    mirrored: bool


@dataclass(frozen=True)
class SizedBag:
    """A pattern's document without what the options leave out, and the document of one of its grades."""

    pattern: Json
    grade: Json

    @property
    def choices(self) -> Mapping[str, str]:
        """The choice of every option."""
        return dict(self.grade.get("options", {}))

    def parts(self, kind: str) -> dict[str, Json]:
        """The seams, coverings, pieces or other named parts that this grade has, in document order."""
        listed: Json = self.pattern.get(kind, {})
        return {name: part for name, part in listed.items() if holds(part.get("when"), self.choices)}

    def uses(self) -> dict[str, Use]:
        """Every use of every piece, in document order."""
        return {use.name: use for name, piece in self.parts("pieces").items() for use in _uses(name, piece)}

    def outer_material(self, piece: str) -> str | None:
        """The role of the layer that shows: the first that lies face up and is neither foam nor interfacing."""
        materials = self.pattern["materials"]
        for layer in self.pattern["pieces"][piece]["layers"]:
            if not holds(layer.get("when"), self.choices) or layer.get("face", "up") != "up":
                continue
            if materials[layer["material"]].get("kind", "cloth") not in PLAIN_KINDS:
                return str(layer["material"])
        return None

    def length(self, expression: str | float) -> Fraction:
        """The value of an expression at this size in mm; with pi or a root the middle of its enclosure."""
        values = {name: _number(each["value"]) for name, each in self.grade["dimensions"].items()}
        unit = self.grade["unit"]
        counts = {name for name, each in self.parts("dimensions").items() if each.get("kind") == "count"}
        materials = self.pattern["materials"].items()
        thick = {
            THICKNESS + name: read_length(each["thickness"], unit) for name, each in materials if "thickness" in each
        }
        scope = Scope(
            unit,
            frozenset(values.keys() - counts),
            counts={name: int(values[name]) for name in counts},
            thicknesses=thick,
        )
        enclosure = length_value(expression, scope).enclosure(values)
        return (enclosure.low + enclosure.high) / 2

    def box(self, key: str) -> tuple[Fraction, ...] | None:
        """The document's `outside` or `inside` at this size: across, along, deep."""
        sides = self.pattern.get(key)
        return None if sides is None else tuple(self.length(side) for side in sides)


def shown_length(length: Fraction, unit: str | None, ruler: str) -> str:
    """A length as a customer reads it, by default as on the ruler: exact where the unit can write it, else as about.

    >>> shown_length(Fraction(360), "cm", "1 mm"), shown_length(Fraction(360), "in", "1 mm")
    ('36 cm', 'about 14.17 in')
    """
    chosen = unit or ("in" if ruler.rstrip().endswith(("in", "ft", "yd")) else "mm")
    value = length / read_length(f"1 {chosen}")
    if chosen == "in" and FINEST_INCH % value.denominator == 0:
        return print_length(length, in_inches=True)
    written = print_number(value)
    if "/" in written or len(written.partition(".")[2]) > 2:
        return f"about {float(value):.2f} {chosen}"
    return f"{written} {chosen}"


def _uses(name: str, piece: Json) -> Iterator[Use]:
    for use in piece.get("uses") or [name]:
        if isinstance(use, str):
            yield Use(use, name, mirrored=False)
        else:
            yield Use(use["name"], name, bool(use.get("mirrored")))


def _number(text: str) -> Fraction:
    return Fraction(text) if text.isdigit() else read_length(text)
