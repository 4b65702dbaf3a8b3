"""The marking template: a tail-shaped plate that hooks over the end of the tail board. Its two leaning edges mark the
flanks on the face, left and right; the ends of its hook mark square across the raw end."""

from __future__ import annotations

import math

from solids.aids.making.aid import Aid, Plane, Refusal, Rest, Use
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import FOOT, MINUS_Y, MINUS_Z, X, extrude, foot_chamfered, tail_blank
from solids.base.amounts import in_mm
from solids.base.cautions import MILLING
from solids.base.geometry import Frame
from solids.layout import Layout
from solids.model.kernel.shaping import chamfer, fuse
from solids.recipe.tables.resolved import Printing

TO_MILL = ("Manuals come first", "Edge tools", *MILLING)

PLATE = 4.0
"""Thickness of plate and hook: a knife and a pencil lean on it without riding up. Common practice."""

PAST = 4.0
"""How far it reaches beyond the baseline."""

NARROWEST = 14.0
HOOK_DEEPEST = 30.0

STEEP_ENOUGH = 9.0
"""Up to this N of 1:N all edges on the bed are chamfered. Flatter, a flank meets the hook's end at so blunt an angle
that Open CASCADE joins their chamfers into a face that is not plane; then only the edges across are chamfered."""

LEVEL = 1e-6


def marking_templates(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """One to print, and one to mill in hardwood or brass, without the chamfer of the first layer."""
    del printing  # nothing of it depends on the printer
    return [_template(layout, milled=False), _template(layout, milled=True)]


def _template(layout: Layout, *, milled: bool) -> Aid:
    end, depth = layout.as_cut.tail_end, layout.as_cut.show_z
    hook = min(depth, HOOK_DEEPEST)
    reach = end + PAST
    width = NARROWEST + 2 * reach / layout.ratio
    lean = reach / layout.ratio
    # On the bed: X as in the joint, Y toward the tail board's length, Z down through the board; the plate lies below.
    plate = [(0.0, 0.0), (width, 0.0), (width - lean, reach), (lean, reach)]
    bar = [(0.0, -PLATE), (width, -PLATE), (width, 0.0), (0.0, 0.0)]
    body = fuse([extrude(plate, 0.0, PLATE), extrude(bar, 0.0, PLATE + hook)])
    if not milled and layout.ratio <= STEEP_ENOUGH:
        body = foot_chamfered(body)
    elif not milled:
        body = chamfer(body, FOOT, lambda a, b: a[2] == b[2] == 0.0 and abs(a[1] - b[1]) < LEVEL)
    slope = f"1:{layout.ratio:.4g}"
    body = engraved(body, slope, (width / 2, reach / 2), PLATE, (width - 2 * lean - 3.0, reach - 4.0))
    left = layout.tail_edges(layout.tails[0], end)[0]
    right = layout.tail_edges(layout.tails[0], end)[1]
    place = Frame.of(X, MINUS_Y, MINUS_Z, (left, end, depth + PLATE))
    boards = (("tail board", tail_blank(layout)),)
    rests = (Rest("tail board", MINUS_Z, 20.0), Rest("tail board", MINUS_Y, 20.0))
    flank = PLATE * reach * 0.9
    cosine, sine = math.cos(layout.slope_rad), math.sin(layout.slope_rad)
    uses = (
        Use("At a left flank", place, boards, rests, (), Plane((left, end, depth), (cosine, sine, 0.0)), flank),
        Use(
            "At a right flank",
            place.shifted((right - left - width, 0.0, 0.0)),
            boards,
            rests,
            (),
            Plane((right, end, depth), (cosine, -sine, 0.0)),
            flank,
        ),
    )
    name = "marking-template-milled" if milled else "marking-template"
    return Aid(
        name=name,
        title=f"Marking template {slope}" + (", to mill" if milled else ""),
        purpose="It marks the slopes of the flanks on a face, and square lines across the raw end.",
        solid=body,
        engraved=slope,
        uses=uses,
        how_to="Hook it over the raw end. Set a corner of the hook on your mark. Knife along the leaning edge down to "
        "the baseline, then along the end of the hook across the raw end. One edge marks left flanks, the other right "
        "ones.",
        cautions=TO_MILL if milled else ("Edge tools", "Printed aids are not guards"),
        printing="Mill it in hardwood or brass; all its faces are plane." if milled else "Print it as it lies.",
        figures=(("slope", slope), ("width at the end", in_mm(width))),
        to_print=not milled,
    )
