"""Findings as symbols: widths, lengths, and the stock that they are bought from."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grading.document.findings import Adjusts, Elastic, Ends, Webbing
from grading.document.findings import Finding as WrittenFinding
from grading.document.stock import stock_length
from grading.exact import read_number
from grading.form import Form, length
from grading.model.draft import Draft
from grading.model.relation import Origin, Relation, Sense
from grading.model.seams import Parts, Side, read_side, total_length


@dataclass(frozen=True)
class Finding:
    """A finding as symbols.

    `length` is its length as cut; `is_measured` tells whether it must lie on the ruler (it is cut to this length;
    elastic and binding are raised to the ruler, a zip that is not shortened is as it is bought). `stock` lists what
    may be bought, in mm, for a zip that is shortened. `worn` is the least and the greatest length of a strap that
    adjusts.
    """

    name: str
    written: WrittenFinding
    width: Form | None
    length: Form | None
    is_measured: bool
    stock: tuple[Fraction, ...]
    along: Side
    relations: tuple[Relation, ...]
    worn: tuple[Form, Form] | None = None


def stock_values(draft: Draft, name: str) -> tuple[Fraction, ...]:
    """The values of a stock list in mm, ascending; of nominal pairs those of the ruler's system."""
    unit, in_inches = draft.pattern.unit, draft.ruler.in_inches
    return tuple(stock_length(value, unit, in_inches=in_inches) for value in draft.pattern.stock[name])


def meant_from_stock(draft: Draft, name: str, size: Fraction) -> Fraction:
    """The value in stock that a size in mm names: either of a nominal pair stands for it, anything else for itself."""
    values = stock_values(draft, name)
    unit, in_inches = draft.pattern.unit, draft.ruler.in_inches
    others = (stock_length(value, unit, in_inches=not in_inches) for value in draft.pattern.stock[name])
    partners = dict(zip(others, values, strict=True))
    return size if size in values else partners.get(size, size)


def read_findings(parts: Parts) -> dict[str, Finding]:
    """All findings; their faults are noted in the draft."""
    return {name: _finding(parts, name, written) for name, written in parts.draft.pattern.findings.items()}


def _finding(parts: Parts, name: str, written: WrittenFinding) -> Finding:
    draft, path = parts.draft, f"findings.{name}.{written.kind}"
    if written.zip is not None:
        return _zip(draft, name, written, path)
    if written.binding is not None:
        along = read_side(parts, f"{path}.along", written.binding.along, forward=True)
        total = total_length(along) + draft.drawn(f"{path}.join", written.binding.join)
        width = draft.rational(f"{path}.width", written.binding.width)
        return Finding(name, written, width, total, False, (), along, ())
    if written.hardware is not None:
        hardware = written.hardware
        width_form = None if hardware.width is None else draft.rational(f"{path}.width", hardware.width)
        return Finding(name, written, width_form, None, False, (), (), ())
    part = written.webbing or written.elastic
    if part is None:
        msg = f"finding {name} is of no kind"
        raise AssertionError(msg)
    return _band(draft, name, written, part)


def _band(draft: Draft, name: str, written: WrittenFinding, part: Webbing | Elastic) -> Finding:
    path = f"findings.{name}.{written.kind}"
    is_webbing = isinstance(part, Webbing)
    drawn = draft.rational(f"{path}.length", part.length) if is_webbing else draft.drawn(f"{path}.length", part.length)
    stretch = Fraction(1) if isinstance(part, Webbing) else read_number(part.stretch)
    if stretch < 1:
        draft.fault(f"{path}.stretch", f"{stretch} times its length is no stretch", "give a factor of 1 or more")
        stretch = Fraction(1)
    cut = drawn.times(1 / stretch) + _ends(draft, path, part.ends)
    width = draft.rational(f"{path}.width", part.width)
    relations: tuple[Relation, ...] = (_has_length(draft, name, path, drawn),)
    if not isinstance(part, Webbing) or part.adjusts is None:
        return Finding(name, written, width, cut, is_webbing, (), (), relations)
    worn, reached = _range(draft, name, path, part.adjusts, drawn)
    return Finding(name, written, width, cut, is_webbing, (), (), relations + reached, worn)


def _range(
    draft: Draft, name: str, path: str, adjusts: Adjusts, whole: Form
) -> tuple[tuple[Form, Form], tuple[Relation, ...]]:
    """The lengths that a strap is worn at, and that it reaches them: a doubled one lies twice but for its hardware."""
    least, most, takes = (
        draft.stated(f"{path}.adjusts.{key}", getattr(adjusts, key)) for key in ("least", "most", "takes")
    )
    reached = [
        ("", whole - takes - most, "is long enough to be worn at its longest, with what its hardware takes"),
        (":least", most - least, "is worn longer at its longest than at its shortest"),
    ]
    if adjusts.doubled:
        says = "is short enough to be worn at its shortest, when it lies double"
        reached.append((":doubled", least.times(2) + takes - whole, says))
    relations = tuple(
        Relation(
            f"finding:{name}:adjusts{key}",
            Origin.FINDING,
            form,
            Sense.NOT_BELOW,
            f"{name} {says}",
            "the strap is made for its wearer",
            f"{path}.adjusts",
        )
        for key, form, says in reached
    )
    return (least, most), relations


def _ends(draft: Draft, path: str, ends: Ends | None) -> Form:
    return Form() if ends is None else draft.rational(f"{path}.ends.by", ends.by).times(ends.count)


def _zip(draft: Draft, name: str, written: WrittenFinding, path: str) -> Finding:
    part = draft.index.zips[name]
    zip_length = draft.rational(f"{path}.length", part.length)
    width = draft.rational(f"{path}.exposed", part.exposed)
    relations = [_has_length(draft, name, path, zip_length)]
    stock: tuple[Fraction, ...] = ()
    if part.shortened:
        stock = stock_values(draft, part.stock)
        relations.append(
            Relation(
                f"finding:{name}:longest",
                Origin.FINDING,
                length(stock[-1]) - zip_length,
                Sense.NOT_BELOW,
                f"the zip {name} is at most {draft.ruler.text(stock[-1])} long",
                "that is the longest in stock, and a zip can only be shortened",
                path,
            )
        )
    return Finding(name, written, width, zip_length, part.shortened, stock, (), tuple(relations))


def _has_length(draft: Draft, name: str, path: str, form: Form) -> Relation:
    return Relation(
        f"finding:{name}:length",
        Origin.FINDING,
        form - length(draft.ruler.step),
        Sense.NOT_BELOW,
        f"{name} is at least {draft.ruler} long",
        "nothing shorter can be cut",
        path,
    )
