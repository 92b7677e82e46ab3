"""A large made-up bag as a problem: 60 seams, some with pi and with roots, several of many terms, 200 inequalities.

Figures are invented; what matters is the shape: lined panels with rounded corners in rings, bellows
pockets under flaps, zip pockets, slip pockets, straps. `generated_problem(seed)`
asks for a different size for each seed.
"""

from __future__ import annotations

from fractions import Fraction
from random import Random

from grading.form import Form, dimension, hypotenuse, length
from grading.model.problem import Problem
from grading.model.relation import Origin
from tests.grading.solve.drafts import Draft

METRIC = Fraction(1)
EIGHTH = Fraction(254, 80)
TOLERANCE = Fraction(3, 2)


def generated_draft(step: Fraction = METRIC) -> Draft:
    """The bag at its base size; eases and other constants that are drawn lie on the ruler of this step."""
    return _Bag(step).draft


def generated_problem(seed: int = 0, step: Fraction = METRIC, in_inches: bool = False) -> Problem:
    """The bag in a size drawn at random: each dimension wishes 0.92 to 1.12 of its base."""
    draft = generated_draft(step)
    random = Random(seed)
    overall = Fraction(random.randint(94, 110), 100)
    wish = {
        name: base * (overall + Fraction(random.randint(-20, 20), 1000))
        for name, base in draft.base.items()
        if name not in draft.unweighted
    }
    return draft.problem(wish, in_inches)


class _Bag:
    def __init__(self, step: Fraction) -> None:
        self.draft = Draft(step)
        self.step = step
        self.width = self.draft.proportion("width", 320, 180)
        self.height = self.draft.proportion("height", 410, 200)
        self.depth = self.draft.proportion("depth", 140, 60)
        self.corner = self.draft.proportion("corner", 60, 20)
        self.hem = self.draft.fix("hem", self.on_ruler(20))
        self._body()
        self._lining()
        for number in range(2):
            self._bellows_pocket(number)
        for number in range(4):
            self._zip_pocket(number)
        for number in range(3):
            self._slip_pocket(number)
        self._straps()
        self.draft.measures = [m for m in self.draft.measures if not m.form.is_constant]

    def on_ruler(self, value: int) -> Fraction:
        return max(round(Fraction(value) / self.step), 1) * self.step

    def constant(self, value: int) -> Form:
        return length(self.on_ruler(value)) if value >= 0 else length(-self.on_ruler(-value))

    def rectangle(self, name: str, width: int | None = None, height: int | None = None) -> tuple[Form, Form]:
        """A piece; sides without a base are decided by seams and rules."""
        sides = []
        for side, base in (("width", width), ("height", height)):
            full = f"{name}_{side}"
            form = self.draft.decide(full) if base is None else self.draft.proportion(full, base, None)
            self.draft.at_least(f"outline:{name}:{side}", form - length(self.step), Origin.OUTLINE)
            self.draft.at_least(f"cloth:{name}:{side}", length(2600 if side == "width" else 1450) - form, Origin.CLOTH)
            sides.append(form)
        self.draft.measure(*sides)
        return sides[0], sides[1]

    def same(self, label: str, left: Form, right: Form) -> None:
        self.draft.equal(f"covering:{label}", left - right, Origin.COVERING)

    def seam(self, label: str, join: Form, to: Form, ease: int = 0) -> None:
        zero = join - to - (self.constant(ease) if ease else length(0))
        self.draft.equal(f"seam:{label}", zero, Origin.SEAM, None if zero.is_rational else TOLERANCE)

    def at_least(self, label: str, left: Form, right: Form) -> None:
        self.draft.at_least(f"rule:{label}", left - right)

    def ring(self, width: Form, height: Form, radius: Form) -> Form:
        return (width + height).times(2) - radius.times(8) + radius.times(2).times_pi()

    def panel(self, name: str) -> tuple[Form, Form, Form]:
        width, height = self.rectangle(name)
        radius = self.draft.decide(f"{name}_radius")
        self.draft.measure(radius, width - radius.times(2), height - radius.times(2))
        for side, form in (("across", width), ("along", height)):
            self.at_least(f"{name} straight {side}", form - radius.times(2), self.constant(10))
        self.draft.at_least(f"outline:{name}:radius", radius - length(self.step), Origin.OUTLINE)
        return width, height, radius

    def _body(self) -> None:
        zip_width = self.draft.fix("zip_exposed", self.on_ruler(30))
        zip_length = self.draft.decide("zip_length")
        left, left_high = self.rectangle("zip_strip_left")
        right, right_high = self.rectangle("zip_strip_right")
        base, base_high = self.rectangle("base", 700)
        self.same("strips", left_high, right_high)
        self.same("base depth", base_high, self.depth)
        self.seam("zip left", left, zip_length)
        self.seam("zip right", right, zip_length)
        for end in ("start", "stop"):
            self.seam(f"base {end}", left_high + zip_width + right_high, base_high)
        self.at_least("zip opens", zip_length, self.width + self.constant(100))
        for name in ("front", "back"):
            width, height, radius = self.panel(name)
            self.same(f"{name} width", width, self.width)
            self.same(f"{name} height", height, self.height)
            self.same(f"{name} corner", radius, self.corner)
            self.seam(f"ring {name}", left + base, self.ring(width, height, radius), 3)
            binding, _ = self.rectangle(f"{name}_binding", None, 32)
            self.seam(f"binding {name}", binding, self.ring(width, height, radius), 25)

    def _lining(self) -> None:
        gusset, gusset_high = self.rectangle("lining_gusset")
        self.same("lining depth", gusset_high, self.depth - self.constant(4))
        for name in ("front", "back"):
            width, height, radius = self.panel(f"lining_{name}")
            self.same(f"lining {name} width", width, dimension(f"{name}_width") - self.constant(4))
            self.same(f"lining {name} height", height, dimension(f"{name}_height") - self.constant(4))
            self.same(f"lining {name} corner", radius, dimension(f"{name}_radius"))
            self.seam(f"lining ring {name}", gusset, self.ring(width, height, radius), 2)
            self.at_least(f"laptop across {name}", width, length(308))
            self.at_least(f"laptop along {name}", height, length(396))

    def _bellows_pocket(self, number: int) -> None:
        name, host = f"bellows{number}", ("front", "back")[number % 2]
        width, height = self.rectangle(f"{name}_face", 220 - 20 * number, 180 - 20 * number)
        depth = self.draft.proportion(f"{name}_depth", 30, 15)
        gusset, gusset_high = self.rectangle(f"{name}_gusset")
        self.same(f"{name} depth", gusset_high, depth)
        self.seam(f"{name} gusset", gusset, width + height.times(2), 2)
        lining, lining_high = self.rectangle(f"{name}_lining")
        self.seam(f"{name} lining top", lining, width)
        self.seam(f"{name} lining foot", lining, width)
        self.same(f"{name} lining high", lining_high, height - self.hem)
        self._flap(name, width, height)
        self.at_least(f"{name} fits across", dimension(f"{host}_width"), width + depth.times(2) + self.constant(10))
        self.at_least(f"{name} fits along", dimension(f"{host}_height") - self.corner, height + self.hem)
        self.at_least(f"{name} not too deep", self.depth.times(Fraction(1, 2)), depth)
        self.at_least(f"{name} holds a bottle", height, length(120))

    def _flap(self, name: str, width: Form, height: Form) -> None:
        sides = []
        for piece in (f"{name}_flap", f"{name}_flap_lining"):
            own = piece.endswith("flap")
            top, bottom = self.draft.decide(f"{piece}_top"), self.draft.decide(f"{piece}_bottom")
            across = self.draft.proportion(f"{piece}_across", 18) if own else self.draft.decide(f"{piece}_across")
            along = self.draft.proportion(f"{piece}_along", 75) if own else self.draft.decide(f"{piece}_along")
            self.draft.equal(f"rule:{piece} closes", bottom - top + across.times(2), Origin.RULE)
            self.draft.measure(top, bottom, across, along)
            for label, form in (("top", top), ("bottom", bottom), ("along", along)):
                self.draft.at_least(f"outline:{piece}:{label}", form - length(self.step), Origin.OUTLINE)
            sides.append((top, bottom, across, along))
        (top, bottom, across, along), (other_top, other_bottom, other_across, other_along) = sides
        self.same(f"{name} flap top", top, width + self.constant(6))
        self.same(f"{name} flap lining across", other_across, across)
        self.same(f"{name} flap lining along", other_along, along)
        self.seam(f"{name} flap tops", other_top, top)
        self.seam(f"{name} flap feet", other_bottom, bottom)
        for side in ("left", "right"):
            self.seam(f"{name} flap {side}", hypotenuse(other_across, other_along), hypotenuse(across, along))
        binding, _ = self.rectangle(f"{name}_flap_binding", None, 32)
        self.seam(f"{name} flap binding", binding, bottom + hypotenuse(across, along).times(2), 20)
        self.at_least(f"{name} flap covers", bottom + across.times(2), width)
        self.at_least(f"{name} flap short", height.times(Fraction(3, 4)), along)
        self.at_least(f"{name} flap steep", along.times(Fraction(1, 3)), across)

    def _zip_pocket(self, number: int) -> None:
        name, host = f"zipped{number}", ("lining_front", "lining_back", "front", "back")[number % 4]
        upper, upper_high = self.rectangle(f"{name}_upper", 230 - 10 * number, 45 + 5 * number)
        lower, lower_high = self.rectangle(f"{name}_lower", None, 120 + 10 * number)
        tape = self.draft.decide(f"{name}_zip_length")
        exposed = self.draft.fix(f"{name}_zip_exposed", self.on_ruler(25))
        bag, bag_high = self.rectangle(f"{name}_bag")
        self.seam(f"{name} upper zip", upper, tape)
        self.seam(f"{name} lower zip", lower, tape)
        self.seam(f"{name} bag top", bag, upper)
        self.seam(f"{name} bag foot", bag, lower)
        for side in ("left", "right"):
            self.seam(f"{name} bag {side}", bag_high, upper_high + exposed + lower_high)
        self.at_least(f"{name} fits across", dimension(f"{host}_width"), upper + self.constant(12))
        self.at_least(f"{name} fits along", dimension(f"{host}_height"), bag_high + self.hem)
        self.at_least(f"{name} opens", tape, length(150))
        self.at_least(f"{name} holds a hand", lower_high, length(90))
        self.at_least(f"{name} upper", upper_high, length(25))

    def _slip_pocket(self, number: int) -> None:
        name, host = f"slip{number}", ("lining_front", "lining_back", "back")[number % 3]
        width, height = self.rectangle(f"{name}_face", 150 + 10 * number, 130 + 10 * number)
        facing, facing_high = self.rectangle(f"{name}_facing")
        lining, lining_high = self.rectangle(f"{name}_lining")
        self.seam(f"{name} facing", facing, width)
        self.same(f"{name} facing high", facing_high, self.hem.times(2))
        self.seam(f"{name} lining foot", lining, width)
        self.seam(f"{name} lining top", lining, facing)
        for side in ("left", "right"):
            self.seam(f"{name} lining {side}", lining_high, height + facing_high)
        self.at_least(f"{name} fits across", dimension(f"{host}_width"), width + self.constant(14))
        self.at_least(f"{name} fits along", dimension(f"{host}_height"), height + self.hem + self.constant(40))
        self.at_least(f"{name} holds a phone across", width, length(110))
        self.at_least(f"{name} holds a phone along", height, length(100))

    def _straps(self) -> None:
        webbing = self.draft.fix("webbing_width", self.on_ruler(25))
        for side in ("left", "right"):
            strap, strap_high = self.rectangle(f"strap_{side}", 420 if side == "left" else None, None)
            self.same(f"strap {side} wide", strap_high, webbing + self.constant(14))
            foot, _ = self.rectangle(f"anchor_{side}", None, 60)
            self.seam(f"anchor {side}", foot, strap_high, 4)
            if side == "right":
                self.same("straps alike", strap, dimension("strap_left_width"))
            self.at_least(f"strap {side} long", strap, length(300))
        handle, handle_high = self.rectangle("handle", 240, 70)
        lining, lining_high = self.rectangle("handle_lining")
        self.seam("handle long", lining, handle)
        self.seam("handle high", lining_high, handle_high)
        self.at_least("handle fits", self.width, handle_high + self.constant(40))
        self.at_least("handle holds a hand", handle, length(110))
        board, board_high = self.rectangle("board")
        cover, cover_high = self.rectangle("board_cover")
        self.same("board across", board, self.width - self.corner.times(2))
        self.same("board along", board_high, self.depth - self.constant(6))
        self.seam("cover long", cover, board)
        self.seam("cover high", cover_high, board_high)
