"""Settings of layouts: how a maker wants the cloth to be laid, as they are written in full into what was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from grading.verify.document.materials import (
    DIRECTIONS,
    NOTHING,
    Material,
    Shrinks,
    read_repeat,
    read_shrinkage,
)
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import percentage_or_none, read_length
from grading.verify.reading import choice, fields, items, joined, named
from grading.verify.unreadable import refuse

SCISSORS, ROTARY, FOLDED = STYLES = ("scissors", "rotary", "folded")
CONTINUOUS = "continuous"
BIAS_WAYS = ("strips", CONTINUOUS)
EFFORTS = ("quick", "usual", "thorough")
NEEDED = ("style", "gap", "edge", "spare", "bias", "effort", "seed", "widths", "offcut")
OVERRIDES = ("style", "usable_width", "direction", "repeat", "sold_by", "tested")
LARGEST_SEED = 2**64
# 20 m; a bound of the format.
GREATEST_LENGTH = Fraction(20_000)


@dataclass(frozen=True)
class LayoutSettings:
    """How to lay, lengths in mm; `spare` as a part of one, `cloths` what is said of a role in place of the document."""

    style: str
    gap: Fraction
    edge: Fraction
    spare: Fraction
    bias: str
    offcut: Fraction
    cloths: Mapping[str, Mapping[str, object]]
    unit: Fraction

    def style_of(self, role: str) -> str:
        """Return how the cloth of a role is asked to be cut."""
        given = self.cloths.get(role, {})
        return choice(given.get("style", self.style), f"settings.cloths.{role}.style", STYLES, "")

    def material(self, role: str, written: Material) -> Material:
        """Return the cloth of a role with what these settings say of it."""
        given, path = self.cloths.get(role, {}), f"settings.cloths.{role}"
        found = written
        if "usable_width" in given:
            found = replace(found, usable_width=_above_nothing(given["usable_width"], self.unit, path), sheet=None)
        if "direction" in given:
            found = replace(found, direction=choice(given["direction"], path, DIRECTIONS, ""))
        if "repeat" in given:
            found = replace(found, repeat=read_repeat(given["repeat"], self.unit, joined(path, "repeat")))
        if "sold_by" in given:
            found = replace(found, sold_by=_above_nothing(given["sold_by"], self.unit, path))
        if "tested" in given:
            tested: Shrinks = read_shrinkage(given["tested"], joined(path, "tested"))
            found = replace(found, shrinkage=tested if written.washed else written.shrinkage)
        return found


def read_layout_settings(value: object, unit: Fraction, roles: Mapping[str, Material]) -> LayoutSettings:
    """Return the settings; all that is needed has to be there."""
    path = "settings"
    given = fields(value, path, NEEDED, ("cloths", "lift", "pressed"))
    gap, edge, offcut = (_length(given[key], unit, joined(path, key)) for key in ("gap", "edge", "offcut"))
    spare = percentage_or_none(given["spare"])
    if spare is None or spare < 0:
        refuse('is not a percentage such as "5 %"', joined(path, "spare"))
    seed = given["seed"]
    if isinstance(seed, bool) or not isinstance(seed, int) or not 0 <= seed < LARGEST_SEED:
        refuse("is not a whole number", joined(path, "seed"))
    choice(given["effort"], joined(path, "effort"), EFFORTS, "")
    for index, item in enumerate(items(given["widths"], joined(path, "widths"))):
        _above_nothing(item, unit, f"settings.widths.{index}")
    cloths = {}
    for role, entry, where in named(given.get("cloths"), joined(path, "cloths")):
        if role not in roles:
            refuse("is no material of the pattern", where)
        cloths[role] = fields(entry, where, (), OVERRIDES)
    settings = LayoutSettings(
        choice(given["style"], joined(path, "style"), STYLES, ""),
        gap,
        edge,
        spare,
        choice(given["bias"], joined(path, "bias"), BIAS_WAYS, ""),
        offcut,
        cloths,
        unit,
    )
    for role in cloths:
        settings.material(role, roles[role])
        settings.style_of(role)
    return settings


def _length(value: object, unit: Fraction, path: str) -> Fraction:
    length = read_length(value, unit, path)
    if not NOTHING <= length <= GREATEST_LENGTH:
        refuse("is below 0, or longer than any cloth needs", path)
    return length


def _above_nothing(value: object, unit: Fraction, path: str) -> Fraction:
    length = read_length(value, unit, path)
    if length <= 0:
        refuse("is not above 0", path)
    return length
