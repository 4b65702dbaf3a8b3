"""Coupons: one full-size tail of this joint, and its pins at three clearances, to find what fits before wood is spent.

They are the tool's own boards of a joint with one tail, cut short behind the baseline. Undercut and entry chamfer are
left out: a coupon tries the flanks alone. Each lies on its show face, so that all flanks stand on the bed.
"""

from __future__ import annotations

import math
from dataclasses import replace

from solids.aids.making.aid import Aid, Plane, Refusal, Rest, Use
from solids.aids.making.engraving import DEPTH, engraved
from solids.aids.making.modelling import FOOT, MINUS_Y, MINUS_Z, X, Y, Z, foot_chamfered
from solids.aids.making.plates import too_large
from solids.aids.making.terraces import eased, terraced
from solids.base.amounts import clearance, in_mm, least_in_mm
from solids.base.cautions import MILLING
from solids.base.geometry import Frame, Polygon
from solids.base.lengths import FINEST, format_mm
from solids.base.messages import message
from solids.base.polygons import inset
from solids.layout import Layout
from solids.layout.joint.model import place
from solids.layout.joint.volumes import tail_area
from solids.model.boards import pin_board, tail_board
from solids.model.kernel import Solid
from solids.model.kernel.shaping import placed
from solids.recipe.tables.resolved import EntryChamfer, Printing, Undercut

NAME = "coupon"
STUB = 15.0
"""How long a coupon is behind the baseline: enough for the fingers and the engraving."""

LEAST_STEP = 0.05
"""Less between two clearances cannot be told apart by hand. Common practice."""

LEAST_HALF_PIN = 2.0
"""A half pin thinner than this would break off a coupon."""

BEARING = 0.9
"""The share of a face, less its chamfered edges, that must bear or lie in its plane."""

CAUTIONS = ("Manuals come first", *MILLING, "Printed aids are not guards")


def coupons(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """The tail coupon and three pin coupons, or the reason why they would be too thin or too large."""
    gaps = clearances(printing)
    joints = [_one_tail(layout, printing, gap) for gap in gaps]
    refusal = _too_thin(joints[0], printing) or too_large(NAME, joints[0].width, _along(joints[0]), printing)
    if refusal is not None:
        return [refusal]
    pins = [_pin_coupon(joint, number) for number, joint in enumerate(joints, start=1)]
    return [_tail_coupon(joints), *pins]


def clearances(printing: Printing) -> tuple[float, float, float]:
    """Half, once and one and a half times the printer's clearance, and never closer together than can be felt. Whole
    thousandths of a millimetre, so that what a coupon shows is what it has."""
    step = round(max(printing.clearance / 2, LEAST_STEP), 3)
    return step, round(2 * step, 3), round(3 * step, 3)


def _one_tail(layout: Layout, printing: Printing, gap: float) -> Layout:
    """This joint with its first tail alone, on short boards. A half-blind tail is cut short by the widest gap, so that
    its end does not keep the flanks from seating."""
    recipe = layout.recipe
    half_pin = max(recipe.half_pin, LEAST_HALF_PIN, 2 * printing.nozzle + gap * layout.flank_stretch)
    short = -clearances(printing)[-1] if layout.is_half_blind else recipe.tail_board.proud
    return place(
        replace(
            recipe,
            width=2 * half_pin + layout.tails[0].width,
            half_pin=half_pin,
            tail_shares=(1.0,),
            flank_gap=gap,
            tail_board=replace(recipe.tail_board, length=STUB, proud=short),
            pin_board=replace(recipe.pin_board, length=STUB),
            entry_chamfer=EntryChamfer(0.0, 0.0),
            undercut=Undercut(0.0, 0.0),
        )
    )


def _too_thin(joint: Layout, printing: Printing) -> Refusal | None:
    recipe, wall = joint.recipe, 2 * printing.nozzle
    thickness, needed = min(recipe.tail_board.thickness, recipe.pin_board.thickness), wall + DEPTH
    neck = joint.tail_width(joint.tails[0], 0.0)
    if thickness < needed:
        why = message("A board of {} is too thin to print with letters in it.", in_mm(thickness))
        return Refusal(NAME, why, message("Boards of {} and more work.", least_in_mm(needed)))
    least = least_in_mm(max(wall, 1.0))
    if neck < max(wall, 1.0):
        why = message("The first tail is {} wide at its neck, too thin to print.", in_mm(neck))
        return Refusal(NAME, why, message("A neck of {} works: take fewer tails or a gentler slope.", least))
    if joint.is_half_blind and recipe.lap < max(wall, 1.0):
        why = message("The lap of {} is too thin to print.", in_mm(recipe.lap))
        return Refusal(NAME, why, message("A lap of {} works.", least))
    return None


def _along(joint: Layout) -> float:
    return STUB + max(joint.as_cut.tail_end, joint.as_cut.pin_end)


# --- the tail ------------------------------------------------------------------------------------


def _tail_body(joint: Layout) -> Solid:
    """The tail board on the bed, its lower edges chamfered."""
    end = joint.as_cut.tail_end
    foot, tip = joint.tail_edges(joint.tails[0], 0.0), joint.tail_edges(joint.tails[0], end)
    outline = [(foot[0], end), (tip[0], 0.0), (tip[1], 0.0), (foot[1], end), (joint.width, end)]
    outline += [(joint.width, end + STUB), (0.0, end + STUB), (0.0, end)]
    return terraced(eased(outline, 0.0, joint.as_cut.show_z, foot=FOOT))


def _tail_place(joint: Layout) -> Frame:
    return Frame.of(X, MINUS_Y, MINUS_Z, (0.0, joint.as_cut.tail_end, joint.as_cut.show_z))


def _pin_place(joint: Layout) -> Frame:
    """A half-blind one lies on its show face, so that no lap hangs over a socket; a through one on its inside face,
    where its pins are widest."""
    if joint.is_half_blind:
        return Frame.of(X, Z, MINUS_Y, (0.0, joint.as_cut.show_y, -STUB))
    return Frame.of(X, MINUS_Z, Y, (0.0, 0.0, joint.as_cut.pin_end))


def _flank(joint: Layout) -> Plane:
    """The left flank of the tail."""
    left, _ = joint.tail_edges(joint.tails[0], 0.0)
    return Plane((left, 0.0, 0.0), _across(joint))


def _across(joint: Layout) -> tuple[float, float, float]:
    """Normal to the left flank, into the tail."""
    return math.cos(joint.slope_rad), math.sin(joint.slope_rad), 0.0


def _contacts(joint: Layout) -> tuple[float, float]:
    """Least areas on which the coupons bear on each other: the floor of the socket, and the two shoulders."""
    tail = joint.tails[0]
    floor = tail_area(joint, tail, min(joint.as_cut.tail_end, joint.depth)) - FOOT * joint.tail_width(tail, 0.0)
    shoulders = (sum(joint.pin_widths(0.0)) - 4 * FOOT) * (joint.as_cut.show_z - FOOT)
    return BEARING * floor, BEARING * shoulders


def _tail_coupon(joints: list[Layout]) -> Aid:
    joint, last = joints[0], joints[-1]
    end, top = joint.as_cut.tail_end, joint.as_cut.show_z
    slope = f"1:{joint.ratio:.4g}"
    body = _tail_body(joint)
    body = engraved(body, slope, (joint.width / 2, end + STUB / 2), top, (joint.width - 4.0, STUB - 4.0))
    floor, shoulders = _contacts(last)
    uses = tuple(
        Use(
            message("Seated at {}", clearance(other.recipe.flank_gap)),
            _tail_place(joint),
            (("pin coupon", pin_board(other, other.as_cut)),),
            (Rest("pin coupon", MINUS_Z, floor), Rest("pin coupon", Y, shoulders)),
            (),
            _flank(joint),
            BEARING * (end * joint.flank_stretch - FOOT) * (top - FOOT),
        )
        for other in joints
    )
    return Aid(
        name=f"{NAME}-tail",
        title=f"Coupon: tail {slope}",
        purpose=_PURPOSE,
        solid=body,
        engraved=slope,
        uses=uses,
        how_to=_HOW_TO + _LEFT_OUT + (_SHORTER if joint.is_half_blind else "") + ".",
        cautions=CAUTIONS,
        printing=_PRINTING,
        figures=(("slope", slope), ("width at the end", in_mm(joint.tail_width(joint.tails[0], end)))),
    )


_PURPOSE = "With its mates it shows, before wood is spent, which clearance fits on your printer or router."
_HOW_TO = (
    "Make the tail and the three pin coupons with the machine and settings that you will use. Seat the tail in each "
    "by hand. Take the tightest that goes home without a mallet: its number is the clearance at each flank. "
)
_LEFT_OUT = "Undercut and entry chamfer are left out"
_SHORTER = ", and the tail is a little short, so that its end does not touch the lap"
_PRINTING = "Print it as it lies. It needs no support. If you mill it, leave out the small chamfer of the lower face."


# --- the pins ------------------------------------------------------------------------------------


def _pin_body(joint: Layout) -> Solid:
    """The pin board on the bed, its lower edges chamfered."""
    if joint.is_half_blind:
        return foot_chamfered(placed(pin_board(joint, joint.as_cut), _pin_place(joint).inverse()))
    end, low = joint.as_cut.pin_end, joint.as_cut.pin_end + STUB

    def outline(y: float) -> Polygon:
        left, right = joint.socket_edges(joint.tails[0], y)
        socket = [(left, 0.0), (left, end), (right, end), (right, 0.0)]
        return [(0.0, 0.0), *socket, (joint.width, 0.0), (joint.width, low), (0.0, low)]

    back = joint.as_cut.show_y
    return terraced([([*inset(outline(FOOT), FOOT)], 0.0), (outline(FOOT), FOOT), (outline(back), back)])


def _pin_coupon(joint: Layout, number: int) -> Aid:
    gap, back = joint.recipe.flank_gap, joint.as_cut.show_y
    words = format_mm(gap, FINEST)
    line = f'clearance = "{words}"'
    body = _pin_body(joint)
    middle = STUB / 2 if joint.is_half_blind else joint.as_cut.pin_end + STUB / 2
    body = engraved(body, words, (joint.width / 2, middle), back, (joint.width - 4.0, STUB - 4.0))
    floor, shoulders = _contacts(joint)
    rests = (Rest("tail coupon", Z, floor), Rest("tail coupon", MINUS_Y, shoulders))
    flank = (joint.depth * joint.flank_stretch - FOOT) * joint.as_cut.pin_end
    use = Use(
        "On the tail coupon",
        _pin_place(joint),
        (("tail coupon", tail_board(joint, joint.as_cut)),),
        rests,
        (("tail coupon", _across(joint), gap),),
        _flank(joint),
        BEARING * flank,
    )
    return Aid(
        name=f"{NAME}-pin-{number}",
        title=message("Coupon: pins with {} at each flank", clearance(gap)),
        purpose=_PURPOSE,
        solid=body,
        engraved=words,
        uses=(use,),
        how_to=f"{_HOW_TO}If it is this one, write {line} under [print] in your recipe, unit and all, for what you "
        f"print; for milling, set the path by it. {_LEFT_OUT}.",
        cautions=CAUTIONS,
        printing=_PRINTING,
        clearance=gap,
        figures=(
            ("clearance at each flank", clearance(gap)),
            ("line for the recipe, under [print]", line),
            ("slope", f"1:{joint.ratio:.4g}"),
        ),
    )
