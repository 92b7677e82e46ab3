"""What a customer wishes, within what an order form offers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Self

from pydantic import Field, ValidationError, model_validator

from grading.document import Pattern
from grading.document.faults import faults_of
from grading.document.frozen import TooDeep, frozen
from grading.document.options import choice_faults, full_choices
from grading.document.order import OfferedCloth, Order, OtherCloth
from grading.document.order_names import offered_options, offered_sizes
from grading.document.requests import SizeRequest
from grading.document.values import Length, Name, Part, fault
from grading.document.variants import BASE_SIZE, own_ruler
from grading.errors import Fault, RequestFaults
from grading.exact import print_length, read_length

MOST_BAGS = 1000
LAYING: Mapping[str, Any] = {"seed": 0, "effort": "quick", "widths": []}
"""How a quote is laid out: the same for the same wishes, and soon done."""


class WrittenWish(Part):
    """A wish as it is sent: a size or measures, options, cloths, how many."""

    size: Name | None = Field(None, description="A named size that is offered.", examples=["mini"])
    measures: dict[Name, Length] | None = Field(
        None, min_length=1, max_length=8, description="Measures of one's own.", examples=[{"width": "320 mm"}]
    )
    options: dict[Name, Name] = Field({}, max_length=50, description="Choices.", examples=[{"front_pocket": "none"}])
    cloths: dict[Name, Name] = Field({}, max_length=50, description="Cloths by role.", examples=[{"main": "sea_green"}])
    quantity: int = Field(1, ge=1, le=MOST_BAGS, description="How many bags.", examples=[1])

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.size is None) == (self.measures is None):
            raise fault("it names a size and measures, or neither", "give one of the two")
        return self


@dataclass(frozen=True)
class Wish:
    """A wish that the form allows: the size to be graded, by name or by request, the cloths of all roles, how many."""

    size: str | None
    request: Mapping[str, Any] | None
    cloths: Mapping[str, OfferedCloth]
    quantity: int

    def laying(self, grade: Mapping[str, Any]) -> dict[str, Any]:
        """The settings by which a grade (its document) is laid out on these cloths."""
        used = {row["material"] for row in grade["cut_list"]}
        changed = {
            role: changes
            for role, cloth in self.cloths.items()
            if role in used and (changes := _changes(cloth.material))
        }
        return {**LAYING, "cloths": changed} if changed else dict(LAYING)


def read_wish(pattern: Pattern, data: Mapping[str, Any]) -> Wish:
    """Read a wish from parsed JSON. Raises RequestFaults with everything that the form does not offer."""
    try:
        plain = frozen(data, "wish")
        written = WrittenWish.model_validate(plain)
    except TooDeep as error:
        raise RequestFaults([error.fault]) from None
    except ValidationError as error:
        raise RequestFaults(faults_of(error, plain)) from None
    order = pattern.order
    if order is None:
        problem = "nothing of this pattern can be ordered"
        raise RequestFaults([Fault("order", problem, "give the pattern an order form")])
    faults = [
        *_size_faults(pattern, written),
        *_measure_faults(pattern, order, written.measures or {}),
        *_option_faults(pattern, written.options),
        *_cloth_faults(order, written.cloths),
    ]
    if faults:
        raise RequestFaults(faults)
    size, request = _asked(pattern, order, written)
    cloths = {
        role: next(cloth for cloth in offered if cloth.name == written.cloths.get(role, offered[0].name))
        for role, offered in order.cloths.items()
    }
    return Wish(size, request, cloths, written.quantity)


def usual_measures(pattern: Pattern, order: Order) -> dict[str, Fraction]:
    """A value in mm for each measure that a customer may choose: its base, or the end nearest to it."""
    unit, choose = pattern.unit, order.choose or {}
    return {
        name: min(
            max(read_length(pattern.dimensions[name].base, unit), read_length(least, unit)), read_length(most, unit)
        )
        for name, (least, most) in choose.items()
    }


def _size_faults(pattern: Pattern, written: WrittenWish) -> Iterator[Fault]:
    sizes = offered_sizes(pattern)
    if written.size is not None and written.size not in sizes:
        yield Fault("size", f"no size {written.size!r} is offered", f"choose one of {', '.join(sizes)}")


def _measure_faults(pattern: Pattern, order: Order, measures: Mapping[str, str | float]) -> Iterator[Fault]:
    choose, text = order.choose or {}, own_ruler(pattern).text
    for name, value in measures.items():
        path = f"measures.{name}"
        if name not in choose:
            known = ", ".join(choose) or "named sizes only"
            yield Fault(path, f"{name!r} is no measure that may be chosen", f"this form offers {known}")
            continue
        asked, least, most = (read_length(each, pattern.unit) for each in (value, *choose[name]))
        if not least <= asked <= most:
            ends = f"{text(least)} to {text(most)}"
            words = name.replace("_", " ")
            yield Fault(path, f"{words} is {text(asked)}, and {ends} is offered", f"choose {words} from {ends}")


def _option_faults(pattern: Pattern, options: Mapping[str, str]) -> Iterator[Fault]:
    offered = offered_options(pattern)
    for name in options:
        if name in pattern.options and name not in offered:
            known = ", ".join(offered) or "none"
            yield Fault(f"options.{name}", f"the option {name!r} is not offered", f"options are: {known}")
    yield from choice_faults(pattern, options.items(), "options")


def _cloth_faults(order: Order, cloths: Mapping[str, str]) -> Iterator[Fault]:
    for role, name in cloths.items():
        names = [cloth.name for cloth in order.cloths.get(role, ())]
        if not names:
            known = ", ".join(order.cloths) or "none"
            yield Fault(f"cloths.{role}", f"no cloths are offered for {role!r}", f"they are for: {known}")
        elif name not in names:
            yield Fault(f"cloths.{role}", f"no cloth {name!r} is offered", f"choose one of {', '.join(names)}")


def _asked(pattern: Pattern, order: Order, written: WrittenWish) -> tuple[str | None, dict[str, Any] | None]:
    if written.measures is not None:
        chosen = {name: read_length(value, pattern.unit) for name, value in written.measures.items()}
        values = {**usual_measures(pattern, order), **chosen}
        request: dict[str, Any] = {"set": {name: print_length(value) for name, value in values.items()}}
        return None, {**request, "others": order.others, **({"options": written.options} if written.options else {})}
    name = written.size or BASE_SIZE
    named = SizeRequest(scale=1) if name == BASE_SIZE else pattern.sizes[name]
    own = named.options or {}
    choices = {**own, **written.options}
    if full_choices(pattern, choices) == full_choices(pattern, own):
        return name, None
    return None, {**named.model_dump(mode="json", by_alias=True, exclude_none=True), "options": choices}


def _changes(other: OtherCloth | None) -> dict[str, Any]:
    """What settings of layouts say of a cloth."""
    if other is None:
        return {}
    changes = other.model_dump(mode="json", exclude_none=True, exclude={"price", "shrinkage"})
    if other.shrinkage is not None:
        changes["tested"] = other.shrinkage.model_dump(mode="json")
    return changes
