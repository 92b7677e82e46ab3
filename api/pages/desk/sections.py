"""The sections of the editor and their tables, in the order in which a bag is thought of."""

from __future__ import annotations

from api.pages.desk.finding_tables import FINDINGS
from api.pages.desk.notation import (
    CLEARANCES,
    LONG,
    MEETINGS,
    PAIRS,
    SIDES,
    STOCK,
    TEXT,
    USES,
    WHEN,
    WORDS,
    YES,
)
from api.pages.desk.table import Field, Table

SIZINGS = ("proportion", "fixed", "stock", "decided")
FATES = ("hemmed once", "hemmed twice", "bound", "folded", "selvage", "raw")
FINISHES = ("bound", "overcast", "turned in", "raw")
ACTIONS = (
    *("cut", "mark", "fuse", "quilt", "trim", "press", "tack", "sew"),
    *("topstitch", "bind", "clip", "leave open", "turn", "close"),
)
SAYS = Field(("says",), "Remark", TEXT, size=28)
ROOM = ("width", "height", "depth")

SHEET = Table(
    "sheet",
    (),
    "The sheet",
    "sheet",
    (
        Field(("name",), "Name", TEXT, size=30),
        Field(("says",), "What it is", LONG, size=50),
        Field(("unit",), "Unit of bare numbers", TEXT, ("mm", "cm", "in")),
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
        Field(("stock",), "From stock", TEXT, of="stock"),
        Field(("kind",), "Kind", TEXT, ("length", "count")),
        Field(("says",), "What it measures", TEXT, size=34),
    ),
    blank={"base": 100},
    says="Every other measure is said by these. In proportion they grow with the bag; decided ones follow from seams.",
)
STOCKS = Table(
    "stock",
    ("stock",),
    "Stock",
    "list",
    (Field((), "Lengths that a shop has", STOCK, size=60, hint="20 mm | 3/4 in, 25 mm | 1 in"),),
    blank=["25 mm"],
    says="Ascending. Hardware has a nominal size in either system: metric | imperial.",
)
MATERIALS = Table(
    "materials",
    ("materials",),
    "Materials",
    "role",
    (
        Field(("says",), "Cloth", TEXT, size=24),
        Field(("kind",), "Kind", TEXT, ("cloth", "foam", "mesh", "interfacing", "film")),
        Field(("usable_width",), "Usable width"),
        Field(("direction",), "Direction", TEXT, ("any", "two-way", "one-way")),
        Field(("thickness",), "Thickness"),
        Field(("repeat", "across"), "Repeat across"),
        Field(("repeat", "along"), "Repeat along"),
        Field(("shrinkage", "across"), "Shrinks across"),
        Field(("shrinkage", "along"), "Shrinks along"),
        Field(("sold_by",), "Sold by"),
        Field(("price", "amount"), "Price", TEXT, size=6),
        Field(("price", "currency"), "Currency", TEXT, size=4),
        Field(("price", "per"), "Per", TEXT, size=6),
    ),
    blank={"says": "cloth", "usable_width": "1100 mm"},
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
        Field(("says",), "Remark", TEXT, size=26),
    ),
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
        Field(("closed",), "Closed", YES),
        Field(("notches",), "Marks that meet", MEETINGS, size=30),
        Field(("match",), "Print runs on", YES),
        SAYS,
    ),
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
        Field(("takes_up", "across"), "Takes up across"),
        Field(("takes_up", "along"), "Takes up along"),
        Field(("match",), "Print runs on", YES),
        SAYS,
    ),
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
        Field(("ease",), "Ease", size=7),
        Field(("stands_out",), "Stands out", size=7),
        Field(("opening",), "Or an opening"),
        Field(("least",), "of at least", size=7),
        SAYS,
    ),
    blank={"in": "bag", "object": ["", "", ""]},
)
RULES = Table(
    "rules",
    ("rules",),
    "Rules",
    "rule",
    (
        Field(("holds",), "Holds", TEXT, size=40, hint="height >= pocket_height + 120"),
        Field(("because",), "Because", TEXT, size=50),
    ),
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
)
CHOOSE = Table(
    "choose",
    ("order", "choose"),
    "What a customer may choose",
    "dimension",
    (Field((0,), "Least"), Field((1,), "Most")),
    blank=["", ""],
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
        Field(("others",), "Others", TEXT, ("in proportion", "at base")),
        Field(("volume",), "Volume", TEXT, size=8, hint="28 L"),
        Field(("options",), "Options", PAIRS, size=16),
        Field(("ruler",), "Ruler", TEXT, size=7),
    ),
    blank={"scale": "1"},
)
STEPS = Table(
    "steps",
    ("steps",),
    "Steps",
    "step",
    (
        Field(("action",), "Action", TEXT, ACTIONS),
        Field(("text",), "Text", LONG, size=50, hint="Sew the sides ({side.length} each)."),
        Field(("makes",), "Makes seams", WORDS, size=18),
        Field(("uses",), "Uses", WORDS, size=18),
        Field(("lays",), "Lays", WORDS, size=14),
        Field(("finishes",), "Finishes edges", WORDS, size=18),
        Field(("binds",), "Binds", WORDS, size=12),
    ),
    form="list",
    blank={"text": "", "action": "sew"},
    says="A measure in braces is written at every size: {width}, {side.length}, {pocket.top.allowance}.",
)


WHEN_FIELD = Field(("when",), "Only when", WHEN, size=14)
"""A further column where the document has options."""
MAY_BE_OPTIONAL = frozenset({"dimensions", "pieces", "seams", "coverings", "contents", "findings", "rules", "steps"})

SECTIONS: dict[str, tuple[str, tuple[Table, ...]]] = {
    "sheet": ("Sheet", (SHEET,)),
    "dimensions": ("Dimensions", (DIMENSIONS, STOCKS)),
    "materials": ("Materials", (MATERIALS,)),
    "pieces": ("Pieces", (PIECES,)),
    "seams": ("Seams", (SEAMS,)),
    "coverings": ("Coverings", (COVERINGS,)),
    "findings": ("Findings", FINDINGS),
    "rules": ("Rules", (RULES,)),
    "contents": ("Contents", (CONTENTS,)),
    "sizes": ("Sizes", (SIZES, OPTIONS, CHOOSE)),
    "steps": ("Steps", (STEPS,)),
}
"""Sections by name: what each is called, and its tables."""
