"""The sections of the editor and their tables, in the order in which a bag is thought of."""

from __future__ import annotations

from api.pages.desk.finding_tables import FINDINGS
from api.pages.desk.notation import (
    CLEARANCES,
    LONG,
    MEETINGS,
    NAMES,
    PAIRS,
    SIDES,
    STOCK,
    TEXT,
    UNLESS,
    USES,
    WHEN,
    WORDS,
    YES,
)
from api.pages.desk.order_tables import ORDER
from api.pages.desk.table import Field, Table

SIZINGS = ("proportion", "fixed", "stock", "decided")
FATES = ("hemmed once", "hemmed twice", "bound", "folded", "selvage", "raw")
FINISHES = ("bound", "overcast", "turned in", "raw")
ACTIONS = (
    *("cut", "mark", "fuse", "quilt", "trim", "press", "tack", "sew"),
    *("topstitch", "bind", "clip", "leave open", "turn", "close"),
)
SAYS = Field(("says",), "Remark", LONG, size=24)
PRICE_FIELDS = (
    Field(("price", "amount"), "Price", TEXT, size=6),
    Field(("price", "currency"), "Currency", TEXT, size=4),
    Field(("price", "per"), "Per", size=6),
)
ROOM = ("width", "height", "depth")

SHEET = Table(
    "sheet",
    (),
    "The sheet",
    "sheet",
    (
        Field(("name",), "Name", TEXT, size=30),
        Field(("says",), "What it is", LONG, size=50),
        Field(("unit",), "Unit of bare numbers", TEXT, ("mm", "cm", "m", "in", "ft", "yd")),
        Field(("ruler",), "Ruler", TEXT, hint="1 mm, 1/8 in"),
        Field(("allowance",), "Seam allowance", TEXT, hint="10 mm"),
        Field(("seam_tolerance",), "Seams may differ by", TEXT, hint="1.5 mm"),
        *(Field(("inside", number), f"Room inside: {way}") for number, way in enumerate(ROOM)),
        *(Field(("outside", number), f"Outside: {way}") for number, way in enumerate(ROOM)),
        Field(("edition", "system"), "Edition", TEXT, ("metric", "imperial")),
        Field(("edition", "state"), "State", TEXT, ("drafted", "sewn", "in testing", "published")),
        Field(("edition", "skills"), "Skills", WORDS, size=40),
        Field(("edition", "time"), "Time", TEXT, size=16),
        Field(("edition", "licence"), "For makers", TEXT, size=40),
    ),
    form="one",
)
ERRATA = Table(
    "errata",
    ("edition", "errata"),
    "Corrections of printed copies",
    "correction",
    (
        Field(("size",), "Of the size", TEXT, of="sizes", size=10, hint="all"),
        Field(("says",), "What is right", LONG, size=44),
        Field(("since",), "Since", TEXT, size=12),
    ),
    form="list",
    blank={"says": ""},
)
DIMENSIONS = Table(
    "dimensions",
    ("dimensions",),
    "Dimensions",
    "dimension",
    (
        Field(("base",), "Base size"),
        Field(("limits", 0), "Least"),
        Field(("limits", 1), "Most"),
        Field(("sizing",), "Sizing", TEXT, SIZINGS),
        Field(("says",), "What it measures", LONG, size=28),
    ),
    blank={"base": 100},
    more=(
        Field(("stock",), "From stock", TEXT, of="stock"),
        Field(("kind",), "Kind", TEXT, ("length", "count")),
    ),
    renames="dimension",
    says="Every other measure is said by these. In proportion they grow with the bag; decided ones follow from seams.",
)
STOCKS = Table(
    "stock",
    ("stock",),
    "Stock",
    "list",
    (Field((), "Lengths that a shop has", STOCK, size=60, hint="20 mm | 3/4 in, 25 mm | 1 in"),),
    blank=["25 mm"],
    renames="stock",
    says="Ascending. Hardware has a nominal size in either system: metric | imperial.",
)
MATERIALS = Table(
    "materials",
    ("materials",),
    "Materials",
    "role",
    (
        Field(("says",), "Cloth", LONG, size=24),
        Field(("kind",), "Kind", TEXT, ("cloth", "foam", "mesh", "interfacing", "film")),
        Field(("usable_width",), "Usable width"),
        Field(("direction",), "Direction", TEXT, ("any", "two-way", "one-way")),
        Field(("thickness",), "Thickness"),
    ),
    blank={"says": "cloth", "usable_width": "1100 mm"},
    more=(
        Field(("repeat", "across"), "Repeat across"),
        Field(("repeat", "along"), "Repeat along"),
        Field(("border",), "Border print at", TEXT, ("left", "right")),
        Field(("shrinkage", "across"), "Washing takes across"),
        Field(("shrinkage", "along"), "Washing takes along"),
        Field(("washed",), "Cut unwashed", UNLESS),
        Field(("shrinks", "across"), "Quilting takes across"),
        Field(("shrinks", "along"), "Quilting takes along"),
        Field(("loose",), "Thickness unstitched"),
        Field(("sheet", 0), "Sold in sheets: across"),
        Field(("sheet", 1), "Sheets: along"),
        Field(("sold_by",), "Sold by"),
        *PRICE_FIELDS,
    ),
    renames="material",
)
PIECES = Table(
    "pieces",
    ("pieces",),
    "Pieces",
    "piece",
    (
        Field(("uses",), "Used as", USES, size=22, hint="front, back mirrored"),
        Field(("grain",), "Grain", TEXT, ("along", "across", "bias")),
        Field(("up",), "Up as worn", TEXT, size=7),
        Field(("on_fold",), "On the fold", YES),
        Field(("strip",), "May be joined", YES),
        Field(("says",), "Remark", LONG, size=26),
    ),
    renames="piece",
    lights="piece",
    opens=True,
)
SEAMS = Table(
    "seams",
    ("seams",),
    "Seams",
    "seam",
    (
        Field(("join",), "Join", SIDES, size=26, hint="front.right"),
        Field(("to",), "To", SIDES, size=26, hint="back.left"),
        Field(("ease",), "Ease"),
        Field(("kind",), "Kind", TEXT, ("plain", "topstitched", "lapped", "zip", "bound")),
    ),
    more=(
        Field(("notches",), "Marks that meet", MEETINGS, size=22),
        Field(("fullness",), "Fullness"),
        Field(("eased",), "Longer side", TEXT, ("join", "to")),
        Field(("closed",), "Closed", YES),
        Field(("tolerance",), "May differ by"),
        Field(("stitch",), "Class of stitch", TEXT, size=5, hint="301"),
        Field(("match",), "Print runs on", YES),
        SAYS,
    ),
    renames="seam",
    blank={"join": [], "to": []},
    lights="seam",
    says=(
        "One edge a line, in the order in which they are sewn. A part of an edge: front.bottom from 0 to width/2. "
        "A line within a piece: line front.pocket_floor."
    ),
)
COVERINGS = Table(
    "coverings",
    ("coverings",),
    "Coverings: what is laid over what",
    "covering",
    (
        Field(("piece",), "Laid on", TEXT, of="uses"),
        Field(("over",), "Over", TEXT, of="uses"),
        Field(("face",), "Face", TEXT, ("up", "down")),
        Field(("caught",), "Caught: own edge = edge below", PAIRS, size=18),
        Field(("clear",), "Distance", CLEARANCES, size=20, hint="top = 110 mm"),
    ),
    more=(
        Field(("takes_up", "across"), "Takes up across"),
        Field(("takes_up", "along"), "Takes up along"),
        Field(("match",), "Print runs on", YES),
        SAYS,
    ),
    renames="covering",
    lights="covering",
)
CONTENTS = Table(
    "contents",
    ("contents",),
    "Contents: what must fit",
    "thing",
    (
        Field(("in",), "In", TEXT, size=10, hint="bag"),
        *(Field(("object", number), way, size=7) for number, way in enumerate(("Wide", "High", "Deep"))),
        SAYS,
    ),
    more=(
        Field(("ease",), "Ease", size=7),
        Field(("stands_out",), "Stands out", size=7),
        Field(("opening",), "Or an opening"),
        Field(("least",), "of at least", size=7),
    ),
    renames="content",
    blank={"in": "bag", "object": ["", "", ""]},
)
RULES = Table(
    "rules",
    ("rules",),
    "Rules",
    "rule",
    (
        Field(("holds",), "Holds", LONG, size=34, hint="height >= pocket_height + 120"),
        Field(("because",), "Because", LONG, size=40),
    ),
    renames="rule",
    blank={"holds": "", "because": ""},
    says="The reason is what a customer reads when a rule stands in the way.",
)
OPTIONS = Table(
    "options",
    ("options",),
    "Options",
    "option",
    (Field(("choices",), "Choices", WORDS, size=30), Field(("default",), "As usual", TEXT), SAYS),
    blank={"choices": ["with", "without"]},
    renames="option",
)
SIZES = Table(
    "sizes",
    ("sizes",),
    "Sizes",
    "size",
    (
        Field(("scale",), "Scale", size=7, hint="7/10"),
        Field(("set",), "Set", PAIRS, size=20, hint="width = 300 mm"),
        Field(("keep",), "Keep", WORDS, size=18),
        Field(("volume",), "Volume", TEXT, size=8, hint="28 L"),
    ),
    blank={"scale": "1"},
    more=(
        Field(("others",), "Others", TEXT, ("in proportion", "at base")),
        Field(("options",), "Options", PAIRS, size=16),
        Field(("ruler",), "Ruler", TEXT, size=7),
    ),
    opens=True,
    renames="size",
    says="Behind the name of a size lies what it must hold, and the box that it must stay within.",
)
STEPS = Table(
    "steps",
    ("steps",),
    "Steps",
    "step",
    (
        Field(("action",), "Action", TEXT, ACTIONS),
        Field(("text",), "Text", LONG, size=44, hint="Sew the sides ({side.length} each)."),
        Field(("makes",), "Makes seams", NAMES, size=16),
        Field(("uses",), "Uses", NAMES, size=16),
    ),
    more=(
        Field(("lays",), "Lays", NAMES, size=14),
        Field(("finishes",), "Finishes edges", NAMES, size=18),
        Field(("binds",), "Binds", NAMES, size=12),
    ),
    form="list",
    blank={"text": "", "action": "sew"},
    says="A measure in braces is written at every size: {width}, {side.length}, {pocket.top.allowance}.",
)


WHEN_FIELD = Field(("when",), "Only when", WHEN, size=14)
"""A further column where the document has options."""
MAY_BE_OPTIONAL = frozenset(
    {"dimensions", "pieces", "seams", "coverings", "contents", "findings", "rules", "steps"}
    | {"layers", "notches", "lines"}
)
"""Places whose rows may be there by choice, by the last key of the place."""

SECTIONS: dict[str, tuple[str, tuple[Table, ...]]] = {
    "sheet": ("Sheet", (SHEET, ERRATA)),
    "dimensions": ("Dimensions", (DIMENSIONS, STOCKS)),
    "materials": ("Materials", (MATERIALS,)),
    "pieces": ("Pieces", (PIECES,)),
    "seams": ("Seams", (SEAMS,)),
    "coverings": ("Coverings", (COVERINGS,)),
    "findings": ("Findings", FINDINGS),
    "rules": ("Rules", (RULES,)),
    "contents": ("Contents", (CONTENTS,)),
    "sizes": ("Sizes", (SIZES, OPTIONS)),
    "steps": ("Steps", (STEPS,)),
    "order": ("Order form", ORDER),
}
"""Sections by name: what each is called, and its tables."""
