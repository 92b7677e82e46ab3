"""The pattern: everything that a document says, as forms over its dimensions for one request."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grading.verify.document.contents import Rooms, read_three, rule_relation
from grading.verify.document.coverings import Covering, CoveringReader
from grading.verify.document.dimensions import Dimensions, Stock, read_dimensions, read_stock
from grading.verify.document.edition import read_state
from grading.verify.document.findings import Finding, FindingReader
from grading.verify.document.materials import Material, read_materials
from grading.verify.document.options import Choices, chosen_options, resolved
from grading.verify.document.orderform import check_order
from grading.verify.document.pieces import Piece, PieceReader
from grading.verify.document.requests import BASE_SIZE, Request, RequestReader
from grading.verify.document.seams import Seam, SeamReader
from grading.verify.document.sides import SideReader, Use
from grading.verify.document.steps import Step, read_step
from grading.verify.exact.expressions import THICKNESS, Expressions
from grading.verify.exact.forms import Form
from grading.verify.exact.fraction import Fraction
from grading.verify.exact.lengths import UNITS, Ruler, read_length, read_ruler
from grading.verify.exact.points import Point, point_of
from grading.verify.exact.relations import Relation
from grading.verify.geometry.outlines import OutlineReader
from grading.verify.reading import Fields, choice, fields, items, joined, named, text
from grading.verify.unreadable import refuse

NEEDED = ("format", "name", "dimensions", "materials", "pieces")
OPTIONAL = (
    "unit",
    "ruler",
    "allowance",
    "seam_tolerance",
    "edition",
    "inside",
    "outside",
    "stock",
    "seams",
    "coverings",
    "contents",
    "findings",
    "rules",
    "sizes",
    "order",
    "steps",
)


@dataclass(frozen=True)
class Head:
    """What is read before a request is known: names, units, dimensions, stock, cloth.

    `fields` are those of the document resolved for the options; the document itself has all options.
    """

    document: object
    options: Choices
    fields: Fields
    name: str
    unit_name: str
    ruler: Ruler
    dimensions: Dimensions
    stock: Stock
    materials: Mapping[str, Material]
    state: str

    @property
    def unit(self) -> Fraction:
        """The document's unit in mm."""
        return UNITS[self.unit_name]

    @property
    def thicknesses(self) -> dict[str, Fraction]:
        """The thicknesses of materials by the names that expressions give them, in mm."""
        return {
            f"{THICKNESS}{role}": material.thickness
            for role, material in self.materials.items()
            if material.thickness is not None
        }

    def request(self, value: object, path: str) -> Request:
        """Return a request for a size of this pattern."""
        reader = RequestReader(self.dimensions.lengths, self.stock, self.unit_name, self.unit, self.ruler)
        return reader.request(value, path, chosen_options(self.document, value, path))


@dataclass(frozen=True)
class Pattern:
    """The document drawn for one request: what it says in forms, with its constants on the ruler."""

    head: Head
    request: Request
    expressions: Expressions
    base: Point
    allowance: Form
    pieces: Mapping[str, Piece]
    uses: Mapping[str, Use]
    seams: Mapping[str, Seam]
    coverings: Mapping[str, Covering]
    findings: Mapping[str, Finding]
    inside: tuple[Form, ...] | None
    contents: tuple[Relation, ...]
    holds: tuple[Relation, ...]
    outside: tuple[Form, ...] | None
    rules: tuple[Relation, ...]
    steps: tuple[Step, ...]

    @property
    def ruler(self) -> Ruler:
        """The ruler of the grade."""
        return self.request.ruler

    @property
    def stock(self) -> Mapping[str, tuple[Fraction, ...]]:
        """The stock lists in mm, as they count on the ruler."""
        return self.head.stock.on(self.ruler)


def named_request(document: object, title: object) -> object | None:
    """Return the request that a document gives a name to, as written; None if it has no such size."""
    sizes = document.get("sizes") if isinstance(document, dict) else None
    if not isinstance(title, str):
        return None
    if title == BASE_SIZE and (not isinstance(sizes, dict) or BASE_SIZE not in sizes):
        return {"scale": 1}
    found: object = sizes.get(title) if isinstance(sizes, dict) else None
    return found


def read_head(document: object, options: Choices) -> Head:
    """Return what a document, resolved for the options, says before any size is asked of it."""
    given = fields(resolved(document, options), "", NEEDED, OPTIONAL)
    if given["format"] != 1 or isinstance(given["format"], bool):
        refuse("is not the format 1", "format")
    unit_name = choice(given.get("unit"), "unit", tuple(UNITS), "mm")
    unit = UNITS[unit_name]
    stock = read_stock(given.get("stock"), unit)
    check_order(given.get("order"), unit)
    head = Head(
        document,
        options,
        given,
        text(given["name"], "name"),
        unit_name,
        read_ruler(given.get("ruler", "1 mm"), unit_name, "ruler"),
        read_dimensions(given["dimensions"], unit, stock.metric),
        stock,
        read_materials(given["materials"], unit),
        read_state(given.get("edition"), given.get("sizes")),
    )
    for title, entry, path in named(given.get("sizes"), "sizes"):
        if title == BASE_SIZE and head.request(entry, path) != head.request({"scale": 1}, path):
            refuse("is the base size, which is always a scale of 1", path)
        if chosen_options(document, entry, path) == options:
            head.request(entry, path)
    return head


def read_pattern(head: Head, request: Request) -> Pattern:
    """Return the pattern drawn for a request."""
    given, unit, ruler = head.fields, head.unit, request.ruler
    lengths = head.dimensions.lengths
    base = point_of({title: dimension.base for title, dimension in lengths.items()})
    expressions = Expressions(unit, ruler.step, frozenset(lengths), head.dimensions.counts, head.thicknesses)
    allowance = expressions.drawn(given.get("allowance", "10 mm"), "allowance")
    outlines = OutlineReader(expressions, base)
    pieces = _pieces(given, PieceReader(expressions, outlines, allowance), head.materials)
    uses = _uses(pieces)
    findings = _findings(given, FindingReader(expressions, outlines, lengths, head.stock.metric, head.materials), uses)
    sides = SideReader(expressions, uses)
    tolerance = read_length(given.get("seam_tolerance", "1.5 mm"), unit, "seam_tolerance")
    if tolerance < 0:
        refuse("is below 0", "seam_tolerance")
    seam_reader = SeamReader(expressions, sides, tolerance, base)
    covering_reader = CoveringReader(expressions, uses)
    seams = {title: seam_reader.seam(title, entry, at) for title, entry, at in named(given.get("seams"), "seams")}
    coverings = {
        title: covering_reader.covering(title, entry, at)
        for title, entry, at in named(given.get("coverings"), "coverings")
    }
    inside = None if given.get("inside") is None else read_three(given["inside"], "inside", expressions)
    outside = None if given.get("outside") is None else read_three(given["outside"], "outside", expressions)
    rooms = Rooms(expressions, uses, inside)
    contents = [
        item
        for title, entry, at in named(given.get("contents"), "contents")
        for item in rooms.content(title, entry, at)
    ]
    holds = [item for index, entry in enumerate(request.hold) for item in rooms.held(index, entry, f"hold.{index}")]
    rules = tuple(
        rule_relation(title, entry, at, expressions) for title, entry, at in named(given.get("rules"), "rules")
    )
    steps = tuple(
        read_step(entry, joined("steps", index), uses, seams, coverings, findings)
        for index, entry in enumerate(items(given.get("steps"), "steps"))
    )
    if request.volume is not None and inside is None:
        refuse("is asked of a bag that does not say how much room is inside", "volume")
    if request.within is not None and outside is None:
        refuse("is asked of a bag that does not say its size from outside", "within")
    return Pattern(
        head,
        request,
        expressions,
        base,
        allowance,
        pieces,
        uses,
        seams,
        coverings,
        findings,
        inside,
        tuple(contents),
        tuple(holds),
        outside,
        rules,
        steps,
    )


def _pieces(given: Fields, reader: PieceReader, materials: Mapping[str, Material]) -> dict[str, Piece]:
    return {
        title: reader.piece(title, entry, path, materials) for title, entry, path in named(given["pieces"], "pieces")
    }


def _uses(pieces: Mapping[str, Piece]) -> dict[str, Use]:
    uses: dict[str, Use] = {}
    for piece in pieces.values():
        for use, mirrored in piece.uses.items():
            if use in uses:
                refuse(f"has the use {use}, which another piece has too", f"pieces.{piece.name}.uses")
            uses[use] = Use(use, piece.outline, piece, mirrored)
    return uses


def _findings(given: Fields, reader: FindingReader, uses: dict[str, Use]) -> dict[str, Finding]:
    """Return the findings, and add the zips to the uses."""
    found: dict[str, Finding] = {}
    bindings: dict[str, Fields] = {}
    for title, entry, path in named(given.get("findings"), "findings"):
        found[title], rest = reader.finding(title, entry, path)
        if rest:
            bindings[title] = rest
        outline = found[title].zip_outline
        if outline is not None:
            if title in uses:
                refuse("is the name of a zip and of a use", path)
            uses[title] = Use(title, outline, None, mirrored=False, sold_in_lengths=not found[title].shortened)
    sides = SideReader(reader.expressions, uses)
    for title, rest in bindings.items():
        found[title] = reader.binding(found[title], rest, sides, joined("findings", title))
    return found
