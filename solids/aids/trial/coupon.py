"""Coupons: one full-size tail of this joint, and its pins at three clearances, to find what fits before wood is spent.

They are the tool's own boards of a joint with one tail, cut short behind the baseline.
"""

from __future__ import annotations

from dataclasses import replace

from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.engraving import engraved
from solids.aids.making.plates import too_large
from solids.aids.trial.boards import (
    along,
    clearances,
    contacts,
    left_out,
    pin_body,
    pin_middle,
    pin_use,
    tail_body,
    tail_use,
    too_thin,
    trial_recipe,
)
from solids.base.amounts import clearance, in_mm
from solids.base.cautions import MILLING
from solids.base.lengths import FINEST, format_mm
from solids.base.messages import message
from solids.layout import Layout
from solids.layout.joint.shape.placing import place
from solids.layout.joint.shape.slopes import slope_words
from solids.recipe.tables.resolved import Printing

NAME = "coupon"
STUB = 15.0
"""How long a coupon is behind the baseline: enough for the fingers and the engraving."""

CAUTIONS = ("Manuals come first", *MILLING, "Printed aids are not guards")


def coupons(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """The tail coupon and three pin coupons, or the reason why they would be too thin or too large."""
    gaps = clearances(printing)
    joints = [_one_tail(layout, printing, gap) for gap in gaps]
    refusal = too_thin(NAME, joints[0], printing) or too_large(NAME, joints[0].width, along(joints[0]), printing)
    if refusal is not None:
        return [refusal]
    without = left_out(layout)
    pins = [_pin_coupon(joint, number, without) for number, joint in enumerate(joints, start=1)]
    return [_tail_coupon(joints, without), *pins]


def _one_tail(layout: Layout, printing: Printing, gap: float) -> Layout:
    """One tail of this joint, on short boards: the first of those whose flanks lean most, a half tail only where there
    is no other; a half-blind one ends short by the widest gap."""
    whole = [tail for tail in layout.tails if not tail.is_half] or layout.tails
    tail = max(whole, key=lambda tail: sum(flank.lean for flank in tail.flanks))
    recipe = trial_recipe(layout, [tail], printing, gap, STUB, clearances(printing)[-1], mirrored=False)
    return place(replace(recipe, tail_shares=(1.0,)))


def _slope(joint: Layout) -> str:
    """The slopes of its flanks, from the left."""
    return " and ".join(dict.fromkeys(slope_words(flank.ratio) for flank in joint.flanks))


def _tail_coupon(joints: list[Layout], without: str) -> Aid:
    joint, last = joints[0], joints[-1]
    end, top = joint.as_cut.tail_end, joint.as_cut.show_z
    slope = _slope(joint)
    body = engraved(tail_body(joint), slope, (joint.width / 2, end + STUB / 2), top, (joint.width - 4.0, STUB - 4.0))
    seats = ((message("Seated at {}", clearance(other.recipe.flank_gap)), other) for other in joints)
    return Aid(
        name=f"{NAME}-tail",
        title=f"Coupon: tail {slope}",
        purpose=_PURPOSE,
        solid=body,
        engraved=slope,
        uses=tuple(tail_use(words, joint, other, contacts(last), "pin coupon") for words, other in seats),
        how_to=_HOW_TO + without + (_SHORTER if joint.is_half_blind else "") + ".",
        cautions=CAUTIONS,
        printing=_PRINTING,
        figures=(("slope", slope), ("width at the end", in_mm(joint.tail_width(joint.tails[0], end)))),
    )


_PURPOSE = "With its mates it shows, before wood is spent, which clearance fits on your printer or router."
_HOW_TO = (
    "Make the tail and the three pin coupons with the machine and settings that you will use. Seat the tail in each "
    "by hand. Take the tightest that goes home without a mallet: its number is the clearance at each flank. "
)
_SHORTER = ", and the tail is a little short, so that its end does not touch the lap"
_PRINTING = "Print it as it lies. It needs no support. If you mill it, leave out the small chamfer of the lower face."


def _pin_coupon(joint: Layout, number: int, without: str) -> Aid:
    gap = joint.recipe.flank_gap
    words = format_mm(gap, FINEST)
    line = f'clearance = "{words}"'
    middle, room = (joint.width / 2, pin_middle(joint)), (joint.width - 4.0, STUB - 4.0)
    return Aid(
        name=f"{NAME}-pin-{number}",
        title=message("Coupon: pins with {} at each flank", clearance(gap)),
        purpose=_PURPOSE,
        solid=engraved(pin_body(joint), words, middle, joint.as_cut.show_y, room),
        engraved=words,
        uses=(pin_use("On the tail coupon", joint, "tail coupon"),),
        how_to=f"{_HOW_TO}If it is this one, write {line} under [print] in your recipe, unit and all, for what you "
        f"print; for milling, set the path by it. {without}.",
        cautions=CAUTIONS,
        printing=_PRINTING,
        clearance=gap,
        figures=(
            ("clearance at each flank", clearance(gap)),
            ("line for the recipe, under [print]", line),
            ("slope", _slope(joint)),
        ),
    )
