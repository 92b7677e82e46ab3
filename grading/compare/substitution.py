"""What a substitution comes to: sizes that are lost by it, and the cloth of a size before and after."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from grading.compare.difference import Difference
from grading.compare.difference_writing import write_difference
from grading.compare.sizes import GradedSizes, Refusal
from grading.errors import Fault
from grading.exact import print_length, read_length, read_ruler
from grading.grade import Grade
from grading.proof import prove
from grading.substitute import Substituted

Json = dict[str, Any]
SMALLER = "change it so that this size can be made too, or leave the size out of the document first"


@dataclass(frozen=True)
class Substitution:
    """A document with changes made of it: what was done, and the sizes of both side by side."""

    made: Substituted
    difference: Difference


def lost_sizes(before: GradedSizes, after: GradedSizes, path: str) -> Iterator[Fault]:
    """Each size that could be made and proven before a change, and cannot after it; `path` is the change's."""
    for name, old in before.sizes.items():
        new = after.sizes.get(name)
        if isinstance(old, Refusal) or new is None:
            continue
        if isinstance(new, Refusal):
            yield Fault(path, f"with it the size {name} could not be made: {new.says}", new.remedy or SMALLER)
            continue
        failing = _failing(new)
        if failing and not _failing(old):
            said, remedy = next(iter(failing.items()))
            more = f" (and {len(failing) - 1} more)" if len(failing) > 1 else ""
            yield Fault(path, f"with it, in the size {name}, it would not hold that {said}{more}", remedy or SMALLER)


def _failing(grade: Grade) -> dict[str, str]:
    """The claims of a size that do not hold, with what would help."""
    return {claim.says: claim.remedy for claim in prove(grade) if not claim.holds}


def write_substitution(
    substitution: Substitution, size: str | None, before: Mapping[str, Any] | None, after: Mapping[str, Any] | None
) -> Json:
    """The answer to a substitution as plain data.

    `before` and `after` are the documents of the layouts of one size of both patterns; None where it cannot be made.
    """
    return {
        "format": 1,
        "kind": "substitution",
        "pattern": substitution.difference.new.name,
        "size": size,
        "changes": list(substitution.made.says),
        "document": substitution.made.document,
        "difference": write_difference(substitution.difference),
        "cloths": cloth_changes(before, after),
    }


def cloth_changes(before: Mapping[str, Any] | None, after: Mapping[str, Any] | None) -> list[Json]:
    """What is bought of each cloth before and after, from the documents of layouts; None where it is not used.

    Where one of the two layouts is not known, it is not told how much more or less is bought.
    """
    known = [layouts for layouts in (before, after) if layouts is not None]
    roles = dict.fromkeys(role for layouts in known for role in layouts["cloths"])
    cloths = []
    for role in roles:
        old, new = (None if each is None else each["cloths"].get(role, {}).get("buy") for each in (before, after))
        cloth: Json = {"material": role, "before": _bought(old), "after": _bought(new), "by": None}
        if before is not None and after is not None:
            cloth["by"] = _by(old, new, in_inches=read_ruler(after["ruler"]).in_inches)
        cloths.append({**cloth, **_costs(old, new, both=len(known) == 2)})
    return cloths


def _costs(old: Json | None, new: Json | None, *, both: bool) -> Json:
    costs = [None if each is None else each.get("cost") for each in (old, new)]
    told: Json = {key: cost for key, cost in zip(("cost_before", "cost_after"), costs, strict=True) if cost is not None}
    currencies = {cost["currency"] for cost in costs if cost is not None}
    are_known = all(cost is not None or each is None for cost, each in zip(costs, (old, new), strict=True))
    if both and are_known and len(currencies) == 1:
        amounts = [Decimal(0) if cost is None else Decimal(cost["amount"]) for cost in costs]
        told["cost_by"] = {"amount": f"{amounts[1] - amounts[0]:+.2f}", "currency": currencies.pop()}
    return told


def _bought(buy: Json | None) -> str | None:
    if buy is None:
        return None
    return str(buy["length"]) if "length" in buy else _sheets(buy["sheets"])


def _sheets(count: int) -> str:
    return f"{count} sheet" + ("" if abs(count) == 1 else "s")


def _by(old: Json | None, new: Json | None, *, in_inches: bool) -> str | None:
    """How much more is bought; None where sheets are bought in place of a length, or the other way."""
    known = [each for each in (old, new) if each is not None]
    if all("sheets" in each for each in known):
        count = (new or {}).get("sheets", 0) - (old or {}).get("sheets", 0)
        return f"{count:+d} {_sheets(count).split()[1]}"
    if any("sheets" in each for each in known):
        return None
    before, after = (read_length((each or {}).get("length", "0 mm")) for each in (old, new))
    text = print_length(after - before, in_inches=in_inches)
    return text if text.startswith("-") else f"+{text}"
