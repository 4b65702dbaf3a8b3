"""The nest: it holds a marking template that is milled on one side, so that the other side can be milled too.

The template is turned over left to right, round the line X = 0, and its body goes into the nest's pocket; its legs lie
on the nest. Both have one zero: X0 in the middle, Y0 at the front of the fence.
"""

from __future__ import annotations

import math

from solids.aids.making.aid import Aid, Plane, Rest, Use
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import MINUS_X, MINUS_Y, MINUS_Z, X, Y, Z, area, block
from solids.aids.marking.sizes import PLATE, MarkerSizes
from solids.base.amounts import clearance, in_mm
from solids.base.cautions import MILLING
from solids.base.geometry import IDENTITY, Frame, PlanePoint
from solids.base.messages import Words, message
from solids.model.kernel import Solid
from solids.model.kernel.rounding import bored, rounded_prism
from solids.model.kernel.shaping import cut, placed

CLEAR = 0.05
"""The nest's pocket round the body: it goes in by hand and does not shift. Common practice."""

FLOOR, BELOW = 8.0, 0.5
"""The wood under the pocket, and what stays free below the body, so that the legs bear."""

BORDER, SIDE = 14.0, 26.0
"""Round the template, for clamps that hold the stock on the nest: beyond its legs, and at each side."""

RELIEF = 4.0
"""The holes in the corners of the pocket, where a cutter leaves a round: their diameter."""

PUSH, DOWEL = 10.0, 6.0
"""Diameters of the hole through which the template is pushed out again, and of those that find Y0."""

SKIN, LEFT = 3.0, 0.2
"""How much thicker the stock is than the template, and what is left of that, so that nothing comes loose."""

MARK = "Y0"
CAUTIONS = ("Manuals come first", "Rules and help", *MILLING)


def nest_aid(sizes: MarkerSizes, template: Solid) -> Aid:
    """The nest for a template of these sizes, which is proved with that template in it."""
    top = sizes.hook + BELOW + FLOOR
    turned = placed(template, Frame.of(MINUS_X, Y, MINUS_Z, (0.0, 0.0, top + PLATE)))
    legs = sum(area(sizes.leg(rear=rear)) for rear in (False, True)[: 2 if sizes.is_thick else 1])
    name = "marking template"
    wide, long = _stock(sizes)
    return Aid(
        name="marking-template-nest",
        title="Nest to mill the marking template from two sides",
        purpose="It holds the marking template by its first side while its second side is milled.",
        solid=_nest(sizes, top),
        engraved=MARK,
        uses=(
            Use(
                "Under the marking template",
                IDENTITY,
                ((name, turned),),
                (Rest(name, Z, 0.8 * legs),),
                tuple((name, way, CLEAR) for way in (X, MINUS_X, Y, MINUS_Y)),
                Plane((0.0, 0.0, top), Z),
                0.5 * wide * long,
            ),
        ),
        how_to=_how_to(sizes),
        cautions=CAUTIONS,
        printing="Mill it of plywood or hardwood.",
        figures=(
            ("zero", "X0 in the middle, Y0 at the front of the fence; both small holes lie on Y0"),
            ("stock for the template", in_mm(wide, long, sizes.height + SKIN)),
            ("pocket", message("{} deep, {} free all round", in_mm(sizes.hook + BELOW), clearance(CLEAR))),
            ("holes in the corners of the pocket", in_mm(RELIEF)),
        ),
        to_print=False,
        meets="template",
    )


def _stock(sizes: MarkerSizes) -> PlanePoint:
    """The stock of the template, across and along: as large as the nest, so that its border can be clamped to it."""
    return sizes.width + 2 * SIDE, sizes.reach - sizes.low + 2 * BORDER


def _nest(sizes: MarkerSizes, top: float) -> Solid:
    half, mid = sizes.width / 2 + SIDE, -sizes.body / 2
    body = block((-half, sizes.low - BORDER, 0.0), (half, sizes.reach + BORDER, top))
    body = cut(body, [rounded_prism(sizes.body_outline(CLEAR), top - sizes.hook - BELOW, top + 1.0)])
    # A round hole through each sharp corner, so far in that its edge runs through the corner.
    inward = RELIEF / 2 * math.sqrt(0.5) - CLEAR
    corners = [(x, y) for x in (inward - half + SIDE, half - SIDE - inward) for y in (inward - sizes.body, -inward)]
    body = bored(body, [(corner, RELIEF) for corner in corners], top - sizes.hook - BELOW, top + 1.0)
    push = min(PUSH, sizes.body - 1.0)
    beside = half - SIDE / 2
    body = bored(body, [((0.0, mid), push), ((beside, 0.0), DOWEL), ((-beside, 0.0), DOWEL)], -1.0, top + 1.0)
    return engraved(body, MARK, (beside, -DOWEL - 3.0), top, (SIDE - 6.0, 7.0))


def _how_to(sizes: MarkerSizes) -> Words:
    wide, long = _stock(sizes)
    words = (
        "First side: clamp the stock at its border, {} wide, {} long and {} thick. Set X0 and Y0 as they are told "
        "below, and Z0 on its top. Clear round the body, {} deep, down to the legs. Then cut round the whole outline, "
        "{} deep. {}Fence, slopes and square edges are cut at one zero, so do not move the stock before that is done. "
        "{}Nest: clamp it to the table, mill it at the same zero, and let it stay there. Second side: turn the stock "
        "over, left to right, so that X0 stays where it is. Press the body into the pocket until the legs lie on the "
        "nest. Clamp the border to the nest on all sides, and check that no clamp stands in the way. Take off the "
        "upper {} in light cuts, but leave a skin of {}: a template that is cut free flies off. Break it out, push it "
        "out from below, and rub its top flat on fine abrasive paper on a flat plate. Break all edges but those that "
        "guide the knife. In brass, tiny sharp chips fly: wear eye protection, and take them up with a brush, never "
        "with your fingers or with air. Brass needs clamps of metal: tape does not hold it. Speed and feed are for the "
        "maker of the cutter to say."
    )
    hollow = "A cutter of 12 mm or less follows the hollows. " if sizes.waist else ""
    extras = [word for word, there in (("the hole to hang it by", sizes.hole), ("the words", True)) if there]
    first = f"Make {' and '.join(extras)} before you turn it over. "
    deep = sizes.height + LEFT
    return message(
        words, *map(in_mm, (wide, long, sizes.height + SKIN, sizes.hook, deep)), hollow, first, in_mm(SKIN), in_mm(LEFT)
    )
