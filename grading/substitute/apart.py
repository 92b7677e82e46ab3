"""Drawing with every constant kept apart: each stays a term of its own, under its own name.

A constant is put on the ruler the moment it becomes a length, so that sums of two are not the same as their sum put on
it. What is written anew from such forms comes to the same as before on every ruler.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from grading.document import Pattern
from grading.document.expressions import ExpressionFault, Scope, length_value
from grading.document.values import Expression
from grading.document.variants import own_ruler
from grading.errors import Fault
from grading.exact import Ruler
from grading.form import Form
from grading.model.coverings import Covering, read_coverings
from grading.model.draft import Draft
from grading.model.pieces import Piece, read_pieces
from grading.model.seams import Parts

MARK = "="
"""What the name of a constant begins with; no dimension's does."""


def constant_term(value: Fraction) -> Form:
    """A constant length in mm as a term of its own."""
    return Form({f"{MARK}{abs(value)}": Fraction(1 if value > 0 else -1)}) if value else Form()


def constant_named(name: str) -> Fraction | None:
    """The constant in mm that a name stands for; None for a dimension."""
    return Fraction(name.removeprefix(MARK)) if name.startswith(MARK) else None


class ApartScope(Scope):
    """A scope in which constants become terms of their own, and thicknesses stay names."""

    def constant(self, value: Fraction) -> Form:
        """The constant as a term."""
        return constant_term(value)

    def settled(self, form: Form) -> Form:
        """The form as it is."""
        return form


class _BaseValues(dict[str, Fraction]):
    """The base values of dimensions, and those of constants on the ruler."""

    def __init__(self, values: Mapping[str, Fraction], ruler: Ruler) -> None:
        super().__init__(values)
        self._ruler = ruler

    def __missing__(self, name: str) -> Fraction:
        constant = constant_named(name)
        if constant is None:
            raise KeyError(name)
        return self._ruler.put(constant)


class ApartDraft(Draft):
    """A draft whose forms keep their constants apart."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self.base = _BaseValues({**self.base, **self.thicknesses}, self.ruler)

    def _scope(
        self,
        ruler: Ruler | None = None,
        report: Callable[[Fraction, Fraction], None] | None = None,
        keeps_thickness: bool = False,
    ) -> Scope:
        del ruler, report, keeps_thickness
        return ApartScope(self.pattern.unit, self.names, self.counts, thicknesses=self.thicknesses)

    def constant(self, path: str, value: Expression) -> Fraction:
        """A drawn value that is one length, in mm, on the ruler."""
        scope = Scope(self.pattern.unit, self.names, self.counts, self.ruler, thicknesses=self.thicknesses)
        try:
            return length_value(value, scope).constant
        except ExpressionFault as broken:
            self.fault(path, broken.problem, broken.remedy)
            return Fraction(0)


@dataclass(frozen=True)
class Drawing:
    """Some pieces and coverings of a pattern, whatever options are chosen, with their constants kept apart."""

    draft: ApartDraft
    pieces: Mapping[str, Piece]
    coverings: Mapping[str, Covering]

    def form(self, value: Expression) -> Form:
        """The form of an expression of the document. Raises ExpressionFault."""
        scope = ApartScope(
            self.draft.pattern.unit, self.draft.names, self.draft.counts, thicknesses=self.draft.thicknesses
        )
        return length_value(value, scope)

    def at_base(self, form: Form) -> Fraction:
        """About its value at the base size in mm, on the document's own ruler; exact if it is rational."""
        return self.draft.at_base(form)


def draw(pattern: Pattern, pieces: Iterable[str], coverings: Iterable[str] = ()) -> Drawing:
    """Draw pieces, and coverings between them. Raises DocumentFaults where that cannot be done."""
    wanted = [*pieces]
    some = pattern.model_copy(
        update={
            "pieces": {name: piece for name, piece in pattern.pieces.items() if name in wanted},
            "coverings": {name: pattern.coverings[name] for name in coverings},
        }
    )
    draft = ApartDraft(some, own_ruler(pattern))
    drawn = read_pieces(draft)
    draft.refuse_faults()
    laid = read_coverings(Parts(draft, drawn, {}))
    draft.refuse_faults()
    return Drawing(draft, drawn, laid)


def is_never_below(form: Form) -> bool:
    """Whether a rational form is 0 or more whatever the dimensions are, none of which is below 0."""
    constants = {name: constant for name in form.plain if (constant := constant_named(name)) is not None}
    if form.is_rational and constants.keys() == form.plain.keys():
        return sum((constant * form.plain[name] for name, constant in constants.items()), Fraction(0)) >= 0
    return form.is_rational and all(coefficient >= 0 for coefficient in form.plain.values())


class Refused(Exception):
    """A change that cannot be made; paths are within the change."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__("; ".join(str(fault) for fault in faults))


def refuse(path: str, problem: str, remedy: str) -> Refused:
    """The refusal of a change for one fault."""
    return Refused(Fault(path, problem, remedy))
