"""What an order form shows: its fields, made from the pattern's form and from what has been typed so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from api.pages.order import lengths

OWN = "own"
"""What is chosen in place of a named size: measures of one's own. No size can have this name and be offered besides."""
TRIED = "tried "
"""What the choice of a size begins with that was tried, in a form that offers no range: its number follows."""
FEW, MANY = 1, 1000


@dataclass(frozen=True)
class Measure:
    """A field for a measure: its ends in mm, what stands in it, and what is wrong with that."""

    name: str
    says: str
    least: Fraction
    greatest: Fraction
    typed: str
    ends: tuple[str, str]
    fault: str = ""
    nearest: str = ""


@dataclass(frozen=True)
class Choice:
    """One of several: its value, what it is, its colours, and whether it is taken."""

    value: str
    says: str
    taken: bool
    colours: tuple[str, ...] = ()


@dataclass(frozen=True)
class Group:
    """A question with its choices."""

    name: str
    title: str
    says: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True)
class Fields:
    """A whole form: the unit, sizes, measures, options, cloths, how many, and beside what the bag is drawn."""

    unit: str
    sizes: tuple[Choice, ...]
    measures: tuple[Measure, ...]
    options: tuple[Group, ...]
    cloths: tuple[Group, ...]
    quantity: str
    beside: str
    quantity_fault: str = ""

    @property
    def faulty(self) -> bool:
        """Whether something that was typed cannot be had."""
        return bool(self.quantity_fault) or (self.own and any(measure.fault for measure in self.measures))

    @property
    def own(self) -> bool:
        """Whether measures of one's own are chosen."""
        return any(size.value == OWN and size.taken for size in self.sizes)


def read_fields(form: Mapping[str, Any], typed: Mapping[str, str]) -> Fields:
    """The fields of a pattern's form with what was typed, or with what is usual where nothing was."""
    unit = typed.get("unit", "") if typed.get("unit") in lengths.UNITS else _unit(form)
    properties, usual = form["schema"]["properties"], form["defaults"]
    measures = tuple(_measures(form, typed, unit))
    quantity = typed.get("quantity", str(usual["quantity"])).strip()
    counted = quantity.isascii() and quantity.isdigit() and FEW <= int(quantity[:9]) <= MANY
    options = (
        _group("option", name, part, typed, form["options"].get(name, {}))
        for name, part in _named(properties, "options")
    )
    return Fields(
        unit=unit,
        sizes=tuple(_sizes(form, typed, unit, bool(measures))),
        measures=measures,
        options=tuple(options),
        cloths=tuple(_cloths(form, typed)),
        quantity=quantity,
        beside="card" if typed.get("beside") == "card" else "a4",
        quantity_fault="" if counted else f"How many must be a whole number from {FEW} to {MANY}.",
    )


def tried_sizes(form: Mapping[str, Any]) -> list[dict[str, str]]:
    """Sizes that were tried one by one, of a form that offers these in place of a range."""
    return list(form["schema"]["properties"].get("measures", {}).get("enum", ()))


def measured(measures: Mapping[str, Any], unit: str) -> str:
    """Measures in a row, as 36 × 38 × 12 cm."""
    values = [lengths.exact(str(text)) for text in measures.values()]
    written = [lengths.number(value, unit) for value in values]
    if all(written):
        return f"{' × '.join(str(each) for each in written)} {unit}"
    return f"about {' × '.join(f'{float(value / lengths.MILLIMETRES[unit]):.1f}' for value in values)} {unit}"


def _unit(form: Mapping[str, Any]) -> str:
    return "in" if str(form["ruler"]).rstrip().endswith(("in", "ft", "yd")) else "cm"


def _named(properties: Mapping[str, Any], kind: str) -> list[tuple[str, dict[str, Any]]]:
    return list(properties.get(kind, {}).get("properties", {}).items())


def _sizes(form: Mapping[str, Any], typed: Mapping[str, str], unit: str, own: bool) -> list[Choice]:
    offered = [(each["name"], _size_says(each, unit)) for each in form["sizes"]]
    tried = tried_sizes(form)
    offered += [(f"{TRIED}{number}", measured(each, unit)) for number, each in enumerate(tried)]
    offered += [(OWN, "measures of your own")] if own else []
    wished = typed.get("size", form["defaults"].get("size", ""))
    taken = wished if wished in {value for value, _ in offered} else (offered[0][0] if offered else "")
    return [Choice(value, says, value == taken) for value, says in offered]


def _size_says(size: Mapping[str, Any], unit: str) -> str:
    name = size["name"].replace("_", " ")
    return f"{name}: {measured(size['measures'], unit)}" if size["measures"] else name


def _measures(form: Mapping[str, Any], typed: Mapping[str, str], unit: str) -> list[Measure]:
    # A bare number was typed in the unit that the form was then in.
    typed_in = typed.get("typed_in", unit) if typed.get("typed_in") in lengths.UNITS else unit
    return [
        _measure(name, part, typed.get(f"measure {name}"), (typed_in, unit), form["defaults"].get("measures", {}))
        for name, part in _named(form["schema"]["properties"], "measures")
    ]


def _measure(
    name: str, part: Mapping[str, Any], typed: str | None, units: tuple[str, str], usual: Mapping[str, str]
) -> Measure:
    typed_in, unit = units
    least, greatest = lengths.exact(part["least"]), lengths.exact(part["greatest"])
    low, high = lengths.inner(least, greatest, unit)
    ends = lengths.shown(low, unit), lengths.shown(high, unit)
    says = part.get("description", "")
    if typed is None:
        wished = lengths.exact(usual[name]) if name in usual else low
        return Measure(name, says, least, greatest, lengths.proposed(wished, unit, least, greatest), ends)
    length = lengths.read(typed, typed_in)
    if length is None:
        fault = f"“{typed[:20]}” is no length. Write a number of {unit}, as {lengths.number(low, unit)}."
        return Measure(name, says, least, greatest, typed, ends, fault)
    shown = typed.strip() if typed_in == unit else lengths.proposed(length, unit, least, greatest)
    if least <= length <= greatest:
        return Measure(name, says, least, greatest, shown, ends)
    near, more = (low, "less") if length < least else (high, "more")
    fault = f"{lengths.shown(length, unit)} cannot be made: not {more} than {lengths.shown(near, unit)}."
    return Measure(name, says, least, greatest, shown, ends, fault, lengths.number(near, unit) or "")


def _group(kind: str, name: str, part: Mapping[str, Any], typed: Mapping[str, str], said: Mapping[str, Any]) -> Group:
    values = part.get("enum", [])
    wished = typed.get(f"{kind} {name}", part.get("default", ""))
    taken = wished if wished in values else part.get("default", "")
    choices = tuple(Choice(value, str(said.get(value, value)).replace("_", " "), value == taken) for value in values)
    return Group(name, name.replace("_", " "), part.get("description", ""), choices)


def _cloths(form: Mapping[str, Any], typed: Mapping[str, str]) -> list[Group]:
    groups = []
    for role, cloths in form["cloths"].items():
        names = [cloth["name"] for cloth in cloths]
        wished = typed.get(f"cloth {role}", form["defaults"].get("cloths", {}).get(role, ""))
        taken = wished if wished in names else names[0]
        choices = [
            Choice(name, each["says"] or name.replace("_", " "), name == taken, tuple(each["colours"]))
            for name, each in zip(names, cloths, strict=True)
        ]
        groups.append(Group(role, role.replace("_", " "), "", tuple(choices)))
    return groups
