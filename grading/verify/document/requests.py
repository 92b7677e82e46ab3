"""Requests for a size, and what each dimension wishes to be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grading.verify.document.dimensions import Dimension, Stock
from grading.verify.document.rooms import read_volume
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import Ruler, read_factor, read_length, read_ruler
from grading.verify.reading import Fields, choice, fields, items, joined, name, named
from grading.verify.unreadable import refuse

BASE_SIZE = "base"
# What a request may ask; it asks at least one of these.
ASKS = ("scale", "set", "keep", "hold", "within", "volume", "options")
BAG = "bag"


@dataclass(frozen=True)
class Held:
    """An object that must fit into a use or the bag, in mm."""

    place: str
    sides: tuple[Fraction, ...]
    ease: Fraction
    stands_out: Fraction


@dataclass(frozen=True)
class Within:
    """A box that the bag must stay within, in mm; `added` is what stands out, `any_way` lets the bag be turned."""

    sides: tuple[Fraction, ...]
    added: Fraction
    any_way: bool


@dataclass(frozen=True)
class Request:
    """What is asked of a size; `options` has the choice of every option of the document."""

    scale: Fraction | None
    asked: Mapping[str, Fraction]
    kept: frozenset[str]
    in_proportion: bool
    volume: Fraction | None
    hold: tuple[Held, ...]
    within: Within | None
    options: Mapping[str, str]
    ruler: Ruler


@dataclass(frozen=True)
class RequestReader:
    """Reads requests for sizes of one pattern."""

    lengths: Mapping[str, Dimension]
    stock: Stock
    unit_name: str
    unit: Fraction
    ruler: Ruler

    def request(self, value: object, path: str, options: Mapping[str, str]) -> Request:
        """Return the request that an object makes."""
        given = fields(value, path, (), (*ASKS, "others", "ruler"))
        if not any(key in given for key in ASKS):
            refuse(f"asks none of: {', '.join(ASKS)}", path)
        scale = read_factor(given["scale"], joined(path, "scale")) if "scale" in given else None
        if scale is not None and scale <= 0:
            refuse("is not a scale above 0", joined(path, "scale"))
        volume = read_volume(given["volume"], joined(path, "volume")) if "volume" in given else None
        if scale is not None and volume is not None:
            refuse("asks for a scale and a volume at once", path)
        ruler = read_ruler(given["ruler"], self.unit_name, joined(path, "ruler")) if "ruler" in given else self.ruler
        asked = self.asked(given.get("set"), joined(path, "set"), ruler)
        if "others" in given and (not asked or scale is not None or volume is not None):
            refuse("says what others do where that is decided already", joined(path, "others"))
        others = choice(given.get("others"), joined(path, "others"), ("in proportion", "at base"), "in proportion")
        return Request(
            scale,
            asked,
            self.kept(given.get("keep"), joined(path, "keep"), asked),
            others == "in proportion",
            volume,
            self.hold(given.get("hold"), joined(path, "hold")),
            self.within(given["within"], joined(path, "within")) if "within" in given else None,
            options,
            ruler,
        )

    def asked(self, value: object, path: str, ruler: Ruler) -> dict[str, Fraction]:
        """Return the values that are set; of a nominal pair the one that counts on the ruler."""
        asked = {}
        for title, item, where in named(value, path):
            dimension = self.lengths.get(title)
            if dimension is None or dimension.sizing == "decided":
                refuse("is no dimension that can be set", where)
            asked[title] = read_length(item, self.unit, where)
            if dimension.stock is not None:
                meant = self.stock.meant(dimension.stock, asked[title], ruler)
                if meant is None:
                    refuse("is not in stock", where)
                asked[title] = meant
        if value is not None and not asked:
            refuse("sets nothing", path)
        return asked

    def three(self, value: object, path: str) -> tuple[Fraction, ...]:
        """Return width, height and depth."""
        return tuple(
            read_length(item, self.unit, joined(path, index)) for index, item in enumerate(items(value, path, 3))
        )

    def length(self, given: Fields, key: str, path: str) -> Fraction:
        """Return a length that is 0 where it is not given."""
        return read_length(given.get(key, 0), self.unit, joined(path, key))

    def hold(self, value: object, path: str) -> tuple[Held, ...]:
        """Return the objects to hold, in the bag unless it is said where."""
        found = []
        for index, item in enumerate(items(value, path)):
            where = joined(path, index)
            given = fields(item, where, ("object",), ("in", "ease", "stands_out"))
            place = given.get("in", BAG)
            found.append(
                Held(
                    BAG if place == BAG else name(place, joined(where, "in")),
                    self.three(given["object"], joined(where, "object")),
                    self.length(given, "ease", where),
                    self.length(given, "stands_out", where),
                )
            )
        if value is not None and not found:
            refuse("holds nothing", path)
        return tuple(found)

    def within(self, value: object, path: str) -> Within:
        """Return the box to stay within."""
        given = fields(value, path, ("box",), ("added", "turned"))
        turned = choice(given.get("turned"), joined(path, "turned"), ("any", "as given"), "as given")
        return Within(self.three(given["box"], joined(path, "box")), self.length(given, "added", path), turned == "any")

    def kept(self, value: object, path: str, asked: Mapping[str, Fraction]) -> frozenset[str]:
        """Return the dimensions that stay at their base."""
        titles = [name(item, joined(path, index)) for index, item in enumerate(items(value, path))]
        for index, title in enumerate(titles):
            dimension = self.lengths.get(title)
            if dimension is None or dimension.sizing != "proportion" or title in asked:
                refuse("is no dimension in proportion that is free to be kept", joined(path, index))
        if value is not None and not titles:
            refuse("keeps nothing", path)
        return frozenset(titles)


def scale_of_others(request: Request, lengths: Mapping[str, Dimension], found: Fraction | None) -> Fraction:
    """Return the factor of dimensions of which nothing is asked; `found` is the certificate's, for a volume."""
    if request.volume is not None:
        return Fraction(1) if found is None else found
    if request.scale is not None:
        return request.scale
    ratios = [
        asked / lengths[title].base for title, asked in request.asked.items() if lengths[title].sizing == "proportion"
    ]
    return sum(ratios, Fraction(0)) / len(ratios) if ratios and request.in_proportion else Fraction(1)


def wishes(request: Request, lengths: Mapping[str, Dimension], found: Fraction | None = None) -> dict[str, Fraction]:
    """Return the wish in mm of every dimension that is not decided by the rules."""
    scale = scale_of_others(request, lengths, found)
    wished = {}
    for title, dimension in lengths.items():
        if title in request.asked:
            wished[title] = request.asked[title]
        elif dimension.sizing == "proportion" and title not in request.kept:
            wished[title] = dimension.base * scale
        elif dimension.sizing != "decided":
            wished[title] = dimension.base
    return wished
