"""The nest: it holds a marking template that is milled on one side, so that the other side can be milled too.

The template is turned over left to right, round the line X = 0, and its body goes into the nest's pocket; its legs lie
on the nest. Both have one zero: X0 in the middle, Y0 at the front of the fence.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.aids.making.aid import Aid, Plane, Rest, Use
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import block
from solids.aids.marking.sizes import INNER, PLATE, MarkerSizes
from solids.base.amounts import clearance, in_mm
from solids.base.cautions import MILLING
from solids.base.geometry import IDENTITY, MINUS_X, MINUS_Y, MINUS_Z, Frame, PlanePoint, X, Y, Z
from solids.base.messages import Words, message
from solids.base.polygons import area_of
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
    legs = sum(area_of(sizes.leg(rear=rear)) for rear in (False, True)[: 2 if sizes.is_thick else 1])
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
        how_to="Mill the template and its nest in this order, without moving the table's X0 and Y0 in between.",
        steps=tuple(_steps(sizes)),
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


def _steps(sizes: MarkerSizes) -> Iterator[Words]:
    """How the template is milled from two sides."""
    stock = *_stock(sizes), sizes.height + SKIN
    yield message(
        "First side. Clamp stock of {} at its border, one large face up. Set X0 in its middle, Y0 {} from the end that "
        "is away from you, and Z0 on top.",
        *(in_mm(*stock), in_mm(sizes.reach + BORDER)),
    )
    yield message("Clear round the body, {} deep, down to the legs.", in_mm(sizes.hook))
    hole = " and the hole to hang it by" if sizes.hole else ""
    yield message("Cut the words{}, as the drawing has them.", hole)
    hollow = message(" A cutter of {} or less follows the hollows.", in_mm(2 * INNER)) if sizes.waist else ""
    yield message(
        "Cut round the whole outline, {} deep, so that a skin stays below.{} Fence, slopes and square ends must be cut "
        "at one zero: do not move the stock before all of them are done.",
        *(in_mm(sizes.height), hollow),
    )
    yield message(
        "Nest. Clamp it to the table, and leave it there once it is milled. X0 and Y0 stay; take Z0 anew, on its top. "
        "Both holes of {} lie on Y0, to find it again.",
        in_mm(DOWEL),
    )
    yield (
        "Second side. Turn the stock over, left to right, so that Y0 stays. Press the body into the pocket until the "
        "legs lie on the nest. Clamp the border to the nest all round, and check that the cutter can meet no clamp."
    )
    yield message(
        "Take about {} off, in light cuts, down to {} above the top of the nest and no lower: the legs stand on it, "
        "and a skin of {} is left that holds the template. One that is cut free flies off.",
        *(in_mm(SKIN - LEFT), in_mm(sizes.height - sizes.hook + LEFT), in_mm(LEFT)),
    )
    yield (
        "Unclamp it, lift it off the nest, push the template out, break the skin off, and rub the top flat on fine "
        "abrasive paper on a flat plate. Ease all edges but those that guide the knife."
    )
    yield (
        "In brass, tiny sharp chips fly. Wear eye protection. Take chips up with a brush, never with your fingers, and "
        "never blow them away. Hold brass with metal clamps: tape lets go when it gets warm. Take speed and feed from "
        "the maker of the cutter."
    )
