"""The draft being read: turns a document's values into forms, and notes faults and altered constants."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from grading.document.expressions import THICKNESS, ExpressionFault, Scope, length_value
from grading.document.index import Index, index_of
from grading.document.pattern import Pattern
from grading.document.values import Expression
from grading.errors import DocumentFaults, Fault
from grading.exact import Ruler, read_length
from grading.form import Form, length


@dataclass(frozen=True)
class Alteration:
    """A constant of the document that was put on the ruler; lengths in mm."""

    path: str
    before: Fraction
    after: Fraction


@dataclass
class Draft:
    """One reading of a pattern for one ruler. Collects; nothing in it outlives the building of a model."""

    pattern: Pattern
    ruler: Ruler
    index: Index = field(init=False)
    faults: list[Fault] = field(default_factory=list)
    alterations: dict[tuple[str, Fraction], Alteration] = field(default_factory=dict)
    base: Mapping[str, Fraction] = field(init=False)
    counts: Mapping[str, int] = field(init=False)
    thicknesses: Mapping[str, Fraction] = field(init=False)

    def __post_init__(self) -> None:
        self.index = index_of(self.pattern)
        self.counts = {
            name: dimension.base
            for name, dimension in self.pattern.dimensions.items()
            if dimension.kind == "count" and isinstance(dimension.base, int)
        }
        self.base = {
            name: self.plain_length(dimension.base)
            for name, dimension in self.pattern.dimensions.items()
            if name not in self.counts
        }
        self.thicknesses = {
            THICKNESS + role: self.plain_length(material.thickness)
            for role, material in self.pattern.materials.items()
            if material.thickness is not None
        }

    @cached_property
    def names(self) -> frozenset[str]:
        """The dimensions that are lengths."""
        return frozenset(self.base)

    def plain_length(self, value: str | float) -> Fraction:
        """A length of the document as it is written, in mm."""
        return read_length(value, self.pattern.unit)

    def drawn(self, path: str, value: Expression, *, keeps_thickness: bool = False) -> Form:
        """The form of a drawn value; its constants are put on the ruler, thicknesses too unless they are kept."""

        def report(before: Fraction, after: Fraction) -> None:
            self.alterations[path, before] = Alteration(path, before, after)

        return self._form(path, value, self._scope(self.ruler, report, keeps_thickness))

    def stated(self, path: str, value: Expression) -> Form:
        """The form of a value whose constants stay as they are written."""
        return self._form(path, value, self._scope())

    def _scope(
        self,
        ruler: Ruler | None = None,
        report: Callable[[Fraction, Fraction], None] | None = None,
        keeps_thickness: bool = False,
    ) -> Scope:
        return Scope(self.pattern.unit, self.names, self.counts, ruler, report, self.thicknesses, keeps_thickness)

    def rational(self, path: str, value: Expression) -> Form:
        """The form of a drawn value that must have neither pi nor a root: it has to lie on a ruler."""
        form = self.drawn(path, value)
        if form.is_rational:
            return form
        self.fault(
            path,
            f"{value!r} has pi or a root in it, so that no ruler measures it",
            'name a dimension with "sizing": "decided" for it and let the seam decide it',
        )
        return length(1)

    def constant(self, path: str, value: Expression) -> Fraction:
        """A drawn value that is one length, not below 0, in mm."""
        form = self.rational(path, value)
        if form.is_constant and form.constant >= 0:
            return form.constant
        self.fault(path, f"{value!r} is not one length of 0 or more", "write a length without dimensions")
        return Fraction(0)

    def fault(self, path: str, problem: str, remedy: str) -> None:
        """Note a fault."""
        fault = Fault(path, problem, remedy)
        if fault not in self.faults:
            self.faults.append(fault)

    def refuse_faults(self) -> None:
        """Raise DocumentFaults if faults were noted."""
        if self.faults:
            raise DocumentFaults(self.faults)

    def at_base(self, form: Form) -> Fraction:
        """About the value of a form at the base size, in mm; exact if it is rational."""
        return form.enclosure(self.base, 12).low

    def _form(self, path: str, value: Expression, scope: Scope) -> Form:
        try:
            form = length_value(value, scope)
        except ExpressionFault as broken:
            self.fault(path, broken.problem, broken.remedy)
            return length(1)
        if form.is_real(self.base):
            return form
        self.fault(
            path,
            f"{value!r} takes a root of less than nothing at the base size",
            "subtract the smaller area from the greater",
        )
        return length(1)
