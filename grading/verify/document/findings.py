"""Findings: zips, webbing, elastic, binding and hardware."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from grading.verify.document.dimensions import Dimension
from grading.verify.document.materials import Price, read_price
from grading.verify.document.sides import Side, SideReader, side_length
from grading.verify.exact.expressions import Expressions
from grading.verify.exact.forms import ZERO, Form, constant
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import read_factor
from grading.verify.exact.relations import EXACT, NOT_BELOW, Relation
from grading.verify.geometry.outlines import Outline, OutlineReader
from grading.verify.reading import Fields, choice, fields, joined, name, text, truth
from grading.verify.unreadable import refuse

KINDS = ("zip", "webbing", "elastic", "binding", "hardware")
CUTS = ("bias", "straight", "bought")
MOST_SLIDERS = 10


@dataclass(frozen=True, eq=False)
class Range:
    """How long a strap is worn; a doubled one runs back on itself through a slider."""

    least: Form
    most: Form
    takes: Form
    doubled: bool


@dataclass(frozen=True, eq=False)
class Finding:
    """One kind of finding; `length` is as written, `cut` what is cut or bought, `raised` puts it on the ruler."""

    name: str
    kind: str
    count: int
    says: str
    width: Form | None = None
    length: Form | None = None
    cut: Form | None = None
    raised: bool = False
    stock: str | None = None
    shortened: bool = False
    along: Side = ()
    cut_on: str = "bought"
    material: str | None = None
    zip_outline: Outline | None = None
    adjusts: Range | None = None
    price: Price | None = None
    sliders: int = 0
    what: str = ""

    @property
    def is_cut_from_cloth(self) -> bool:
        """Whether it is a row of the cut list."""
        return self.material is not None


def finding_relations(
    finding: Finding, step: Fraction, stock: Mapping[str, tuple[Fraction, ...]]
) -> Iterator[Relation]:
    """Yield that its length is at least a step, and that a zip to be shortened can be bought."""
    if finding.length is None or finding.kind == "binding":
        return
    if finding.shortened and finding.stock is not None:
        longest = constant(stock[finding.stock][-1])
        says = f"{finding.name}: the longest zip in stock is long enough"
        yield Relation(f"finding:{finding.name}:longest", longest, finding.length, NOT_BELOW, EXACT, says)
    says = f"{finding.name}: has a length"
    yield Relation(f"finding:{finding.name}:length", finding.length, constant(step), NOT_BELOW, EXACT, says)
    if finding.adjusts is not None:
        yield from _range_relations(f"finding:{finding.name}:adjusts", finding.name, finding.length, finding.adjusts)


def _range_relations(title: str, name: str, length: Form, worn: Range) -> Iterator[Relation]:
    says = f"{name}: the strap reaches its longest, with what its hardware takes"
    yield Relation(title, length, worn.most + worn.takes, NOT_BELOW, EXACT, says)
    says = f"{name}: the longest is not shorter than the shortest"
    yield Relation(f"{title}:least", worn.most, worn.least, NOT_BELOW, EXACT, says)
    if worn.doubled:
        room = worn.least.times(Fraction(2)) + worn.takes
        says = f"{name}: the strap is not too long to be worn at its shortest, doubled"
        yield Relation(f"{title}:doubled", room, length, NOT_BELOW, EXACT, says)


class FindingReader:
    """Reads findings. Bindings are read last, since they follow edges of uses and zips."""

    def __init__(
        self,
        expressions: Expressions,
        outlines: OutlineReader,
        lengths: Mapping[str, Dimension],
        stock: Collection[str],
        materials: Collection[str],
    ) -> None:
        self.expressions = expressions
        self.outlines = outlines
        self.lengths = lengths
        self.stock = stock
        self.materials = materials

    def finding(self, title: str, value: object, path: str) -> tuple[Finding, Fields]:
        """Return one finding, and for a binding the fields that are still to be read."""
        given = fields(value, path, (), (*KINDS, "count", "price"))
        found = [kind for kind in KINDS if kind in given]
        if len(found) != 1:
            refuse(f"is not one of: {', '.join(KINDS)}", path)
        kind = found[0]
        where = joined(path, kind)
        count = self.expressions.whole(given.get("count", 1), joined(path, "count"))
        price = None
        if "price" in given:
            price = read_price(given["price"], self.expressions.unit, joined(path, "price"), "each")
        plain = Finding(title, kind, count, given.get("says", ""), price=price)
        if kind == "zip":
            return self.zip(plain, given[kind], where), {}
        if kind == "webbing":
            return self.webbing(plain, given[kind], where), {}
        if kind == "elastic":
            return self.elastic(plain, given[kind], where), {}
        if kind == "hardware":
            return self.hardware(plain, given[kind], where), {}
        return plain, fields(given[kind], where, ("width", "along"), ("join", "cut_on", "material"))

    def length(self, given: Fields, key: str, path: str) -> Form:
        """Return a drawn length of a finding."""
        return self.expressions.drawn(given[key], joined(path, key))

    def sized_from(self, form: Form, stock: str, path: str) -> None:
        """Check that a form is one dimension, sized from the stock list."""
        single = next(iter(form.terms)) if len(form.terms) == 1 else None
        dimension = self.lengths.get(single) if isinstance(single, str) else None
        is_itself = form.below == 1 and dimension is not None and form.terms.get(dimension.name) == 1
        if dimension is None or not is_itself or dimension.stock != stock:
            refuse(f"is not one dimension that is sized from the stock {stock}", path)

    def stock_name(self, given: Fields, path: str) -> str | None:
        """Return the stock list that is named, if any."""
        if "stock" not in given:
            return None
        title = name(given["stock"], joined(path, "stock"))
        if title not in self.stock:
            refuse("names no stock list", joined(path, "stock"))
        return title

    def zip(self, plain: Finding, value: object, path: str) -> Finding:
        """Return a zip, which is also a rectangle to sew to."""
        given = fields(value, path, ("length", "exposed", "stock"), ("shortened", "sliders"))
        length = self.outlines.coordinate(given["length"], joined(path, "length"))
        exposed = self.outlines.coordinate(given["exposed"], joined(path, "exposed"))
        stock = self.stock_name(given, path)
        shortened = truth(given.get("shortened"), joined(path, "shortened"))
        if not shortened and stock is not None:
            self.sized_from(length, stock, joined(path, "length"))
        sliders = self.expressions.whole(given.get("sliders", 1), joined(path, "sliders"))
        if not 1 <= sliders <= MOST_SLIDERS:
            refuse(f"is not a number of sliders from 1 to {MOST_SLIDERS}", joined(path, "sliders"))
        return replace(
            plain,
            width=exposed,
            length=length,
            cut=length,
            stock=stock,
            shortened=shortened,
            sliders=sliders,
            zip_outline=self.outlines.rectangle(length, exposed, path),
        )

    def ends(self, given: Fields, path: str) -> Form:
        """Return what the ends need together."""
        if "ends" not in given:
            return ZERO
        where = joined(path, "ends")
        ends = fields(given["ends"], where, ("by",), ("count",))
        count = self.expressions.whole(ends.get("count", 2), joined(where, "count"))
        return self.length(ends, "by", where).times(Fraction(count))

    def webbing(self, plain: Finding, value: object, path: str) -> Finding:
        """Return webbing."""
        given = fields(value, path, ("width", "length"), ("stock", "ends", "adjusts"))
        width, length = self.length(given, "width", path), self.length(given, "length", path)
        stock = self.stock_name(given, path)
        if stock is not None:
            self.sized_from(width, stock, joined(path, "width"))
        adjusts = self.range(given["adjusts"], joined(path, "adjusts")) if "adjusts" in given else None
        cut = length + self.ends(given, path)
        return replace(plain, width=width, length=length, cut=cut, stock=stock, adjusts=adjusts)

    def range(self, value: object, path: str) -> Range:
        """Return the lengths that a strap is worn at, as written."""
        given = fields(value, path, ("least", "most"), ("takes", "doubled"))
        least, most, takes = (
            self.expressions.plain(given.get(key, 0), joined(path, key)) for key in ("least", "most", "takes")
        )
        return Range(least, most, takes, truth(given.get("doubled"), joined(path, "doubled")))

    def elastic(self, plain: Finding, value: object, path: str) -> Finding:
        """Return elastic, which is cut shorter by how far it stretches."""
        given = fields(value, path, ("width", "length"), ("stretch", "ends"))
        width, length = self.length(given, "width", path), self.length(given, "length", path)
        stretch = read_factor(given.get("stretch", 1), joined(path, "stretch"))
        if stretch <= 0:
            refuse("is not above 0", joined(path, "stretch"))
        cut = length.times(1 / stretch) + self.ends(given, path)
        return replace(plain, width=width, length=length, cut=cut, raised=True)

    def hardware(self, plain: Finding, value: object, path: str) -> Finding:
        """Return hardware: what it is, and its own words after that."""
        given = fields(value, path, ("what",), ("width", "stock"))
        what = text(given["what"], joined(path, "what"))
        width = self.length(given, "width", path) if "width" in given else None
        stock = self.stock_name(given, path)
        if stock is not None and width is not None:
            self.sized_from(width, stock, joined(path, "width"))
        says = f"{what}: {plain.says}" if plain.says else what
        return replace(plain, width=width, stock=stock, says=says, what=what)

    def binding(self, plain: Finding, given: Fields, sides: SideReader, path: str) -> Finding:
        """Return a binding, along the edges that it goes round."""
        where = joined(path, "binding")
        along = sides.side(given["along"], joined(where, "along"), "forward")
        if any(entry.is_line for entry in along):
            refuse("goes round a line, which is no edge", joined(where, "along"))
        join = self.length(given, "join", where) if "join" in given else ZERO
        cut_on = choice(given.get("cut_on"), joined(where, "cut_on"), CUTS, "bias")
        material = None if cut_on == "bought" else name(given.get("material"), joined(where, "material"))
        if material is not None and material not in self.materials:
            refuse("names no material", joined(where, "material"))
        length = side_length(along) + join
        return replace(
            plain,
            width=self.length(given, "width", where),
            length=length,
            cut=length,
            raised=True,
            along=along,
            cut_on=cut_on,
            material=material,
        )
