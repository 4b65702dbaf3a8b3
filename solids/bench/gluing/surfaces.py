"""What glue does at one corner, and for the parts that no dovetail holds: the surfaces that it holds, those that it
hardly does, how much glue they take, and how long they take to brush.

Both faces of a glue line are brushed. Glue holds long grain on long grain: flanks, the sides of a mitred strip and the
edge of a narrower mate. End grain drinks glue and holds little (W. Noyes, Handwork in Wood, 1910: glue holds best on
side grain), so it is left dry, but for a mitred shoulder, whose line would open. Seconds are common practice: two to
reach a face with a loaded brush, and a brush of 10 mm drawn 20 mm a second.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.layout.assembly import Assembly
from solids.layout.box.fitted.bottom import BOTTOM
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.top import TOP
from solids.layout.box.model import BoxLayout, with_top
from solids.layout.joint.expected_contacts import Kind, Meeting, meetings
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.volumes import glue_area
from solids.wood.glues import Glue

BESIDE_FLANKS: tuple[Kind, ...] = ("cheek", "edge")
"""What else meets long grain to long grain."""

SIZED: Kind = "mitre"
"""End grain that is brushed all the same."""

SECONDS_A_FACE = 2.0
BRUSHED_MM2_A_SECOND = 200.0

DABS, DAB_SECONDS, DAB_GRAMS = 2, 5.0, 0.2
"""What fixes a bottom in the middle of both its end-grain edges: so many dabs, and the time and glue of each."""

BEAD_MM_A_SECOND = 50.0
"""How fast a bead is run along a groove."""

MM2_IN_M2 = 1e6


@dataclass(frozen=True)
class GluedCorner:
    """One corner: the area that holds (mm2), that of end grain on any grain (mm2), how many faces are brushed, how long
    that takes one person (s), and how much glue its lines hold (g)."""

    name: str
    long_grain: float
    end_grain: float
    faces: int
    seconds: float
    grams: float


@dataclass(frozen=True)
class GluedPart:
    """One part: the area of long grain that holds it (mm2; 0 for dabs, and for a bead along a groove), how many faces
    are brushed, how long one person takes (s), and how much glue that is (g)."""

    name: str
    long_grain: float
    faces: int
    seconds: float
    grams: float


def glued_corners(piece: Assembly) -> tuple[GluedCorner, ...]:
    """Every corner of a piece, in the order of its joints. That of a corner alone has no name."""
    if piece.joints:
        return tuple(glued_corner(joint.name, joint.layout) for joint in piece.joints)
    return tuple(glued_corner("", kind.layout) for kind in piece.kinds)


def glued_corner(name: str, layout: Layout) -> GluedCorner:
    """The surfaces of one corner by its layout."""
    found = meetings(layout)
    flanks, beside = _of(found, "flank"), _of(found, *BESIDE_FLANKS)
    sized = _of(found, SIZED)
    others = [each for each in found if each not in (*flanks, *beside)]
    long_grain = glue_area(layout) + _area(beside)
    brushed, faces = long_grain + _area(sized), 2 * len((*flanks, *beside, *sized))
    return GluedCorner(
        name=name,
        long_grain=long_grain,
        end_grain=_area(others),
        faces=faces,
        seconds=brushing(brushed, faces),
        grams=grams_on(brushed, layout.recipe.glue.spread_g_m2),
    )


def glued_parts(piece: Assembly) -> tuple[GluedPart, ...]:
    """Every part that takes glue on its way in, in the order of the cut list; none of a corner alone. What is fastened
    when the glue has set is not among them."""
    box = piece.box
    if box is None:
        return ()
    glue, found = piece.kinds[0].layout.recipe.glue, []
    for part in fitting_of(box).parts:
        if part.glued:
            area, faces = part.glued.area, 2
            grams = grams_on(area, glue.spread_g_m2)
            found.append(GluedPart(part.name, area, faces, brushing(area, faces), grams))
        elif part.name in (BOTTOM, TOP):
            found += _in_groove(box if part.name == BOTTOM else with_top(box), part.name, glue)
    return tuple(found)


def _in_groove(box: BoxLayout, name: str, glue: Glue) -> list[GluedPart]:
    """A bottom, or a top in its place, with dabs or a bead; nothing where it stays dry."""
    how = box.recipe.panel.glued
    if box.panel is None or how == "nowhere":
        return []
    if how == "in the middle":
        return [GluedPart(name, 0.0, 0, DABS * DAB_SECONDS, DABS * DAB_GRAMS)]
    long, wide, _ = box.panel.size
    round_it = 2 * (long + wide)
    grams = grams_on(2 * round_it * box.recipe.groove.depth, glue.spread_g_m2)
    return [GluedPart(name, 0.0, 0, round_it / BEAD_MM_A_SECOND, grams)]


def brushing(mm2: float, faces: int) -> float:
    """How long one person brushes both faces of glue lines of this area altogether (s)."""
    return faces * SECONDS_A_FACE + 2 * mm2 / BRUSHED_MM2_A_SECOND


def grams_on(mm2: float, spread_g_m2: float) -> float:
    """How much glue a line of this area takes."""
    return mm2 / MM2_IN_M2 * spread_g_m2


def _of(found: tuple[Meeting, ...], *kinds: Kind) -> list[Meeting]:
    return [each for each in found if each.kind in kinds]


def _area(found: list[Meeting]) -> float:
    return math.fsum(each.area for each in found)
