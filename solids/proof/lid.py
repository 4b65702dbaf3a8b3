"""What is proved of a lid. Of one that is sawn off: that the saw cuts no tail, that box and lid are each a closed ring,
that the lid lies on the box all round, and how high the closed box is. Of any that is hinged, that it opens. Measured
on the finished solids."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from solids.base import tolerances as tol
from solids.base.amounts import area, fine, gap, volume
from solids.base.cautions import LIDS
from solids.base.findings import REPORT, Finding
from solids.base.messages import message
from solids.base.polygons import newell_normal
from solids.layout.box.fitted.halves import Halves, halves_of, lid_name
from solids.layout.box.fitted.hinges import BACK
from solids.layout.box.fitted.lid_board import LID
from solids.layout.box.fitted.top import TOP
from solids.layout.box.lid_words import least_half_pin, lid_words, top_words
from solids.layout.box.model import BoxLayout, with_top
from solids.model import manifold
from solids.model.kernel import Mesh, faces_of
from solids.model.parts import Part
from solids.proof.box import ring_gap
from solids.recipe.tables.box_resolved import SIDES, Side


def lid_findings(box: BoxLayout, finished: Sequence[Part], meshes: Mapping[str, Mesh]) -> Iterator[Finding]:
    """Nothing where there is no lid. `meshes` are those of the finished parts in their places."""
    halves = halves_of(box)
    if halves is None:
        yield from _opens(box, meshes)
        return
    yield _rims(box, {part.name: part for part in finished})
    yield _rings(halves)
    yield _closed(box, meshes)
    yield from _opens(box, meshes)
    if words := top_words(box):
        yield Finding(TOP, "pass", words, TOP, with_top(box).panel_hold, tol.PANEL_HELD, "mm")


def _rims(box: BoxLayout, parts: Mapping[str, Part]) -> Finding:
    """Both rims are the plain section of every board, which has no flank in it: so no tail is cut."""
    off, whole, hinge = 0.0, 0.0, box.recipe.hinge
    for side in SIDES:
        meant = plain_section(box, side) - (hinge.let_in if hinge and side == BACK else 0.0)
        whole += meant
        for name in (side, lid_name(side)):
            off = max(off, abs(rim_area(parts[name], box) - meant))
    if off > tol.AREA_RELATIVE * whole:
        words = message("The sawn edges are not the plain sections of the boards: {} apart.", area(off))
        return Finding("lid-cut", "fail", words, "", off, 0.0, "mm2", REPORT)
    told = (
        "The saw cuts no tail: at every corner it passes within one pin, of which box and lid each keep a half pin of "
        "{} or wider. The lid lies on the box all round, on {}."
    )
    least = least_half_pin(box)
    return Finding("lid-cut", "pass", message(told, fine(least), area(whole)), "", least, tol.HALF_PIN_LEAST, "mm")


def plain_section(box: BoxLayout, side: Side) -> float:
    """The section of a finished board within the pin that the lid is sawn off through (mm2): a tail board reaches from
    baseline to baseline there, a pin board from end to end."""
    board = box.boards[side]
    long = board.length if board.kind == "tail board" else board.end_to_end(finished=True)
    return long * (board.board.thickness - box.planing)


def _opens(box: BoxLayout, meshes: Mapping[str, Mesh]) -> Iterator[Finding]:
    """The lid is turned about the pins of its hinges, and tried against the boards of the box. The overlap that the way
    may have is that of two edges that roll on each other within what the proof measures."""
    hinge, moves = box.recipe.hinge, [LID] if box.recipe.lid_board else [lid_name(side) for side in SIDES]
    if hinge is None:
        return
    still = [manifold.body_of(meshes[side].points, meshes[side].triangles) for side in SIDES]
    most = 0.0
    for degrees in OPENED:
        for each in (meshes[name] for name in moves):
            turned = manifold.body_of(_turned(each.points, box.outside[1], box.recipe.rim, degrees), each.triangles)
            most = max(most, *(manifold.overlap_volume(turned, body) for body in still))
    if most > tol.ENTRY_OVERLAP:
        words = message("The lid meets the box as it opens, by {}.", volume(most))
        yield Finding("lid-opens", "fail", words, "", most, 0.0, "mm3", REPORT)
        return
    words = message(
        "The lid opens about its {} hinges, tried up to {} degrees, and touches nothing. {}",
        *(hinge.count, OPENED[-1], LIDS.text),
    )
    yield Finding("lid-opens", "pass", words, "", most, 0.0, "mm3")


OPENED = (5, 20, 45, 70, 90, 105)
"""How far the lid is tried open, in degrees."""


def _turned(points: np.ndarray, back: float, height: float, degrees: float) -> np.ndarray:
    """Points of the closed lid, turned up about the line where the edges meet at the back."""
    angle = math.radians(degrees)
    moved = points.copy()
    y, z = points[:, 1] - back, points[:, 2] - height
    moved[:, 1] = back + y * math.cos(angle) + z * math.sin(angle)
    moved[:, 2] = height - y * math.sin(angle) + z * math.cos(angle)
    return moved


def rim_area(part: Part, box: BoxLayout) -> float:
    """The area of a part's level faces at the height where box and lid meet (mm2)."""
    lid = box.recipe.lid
    assert lid is not None
    found = 0.0
    for loops in faces_of(part.in_place):
        normals = [newell_normal(loop) for loop in loops]
        level = all(math.hypot(x, y) <= tol.ROUNDING * abs(z) for x, y, z in normals)
        if level and all(abs(point[2] - lid.low) <= tol.FACE_DEPARTS for loop in loops for point in loop):
            found += abs(math.fsum(z for _, _, z in normals)) / 2
    return found


def _rings(halves: Halves) -> Finding:
    off = max(ring_gap(halves.box), ring_gap(halves.lid))
    if off > tol.RING_CLOSED:
        is_open = message("Once the lid is sawn off, a ring is open by {}.", gap(off))
        return Finding("lid-rings", "fail", is_open, "", off, tol.RING_CLOSED, "mm", REPORT)
    words = "Once the lid is sawn off, box and lid are each a closed ring of four boards and four corners."
    return Finding("lid-rings", "pass", words, "", off, tol.RING_CLOSED, "mm")


def _closed(box: BoxLayout, meshes: Mapping[str, Mesh]) -> Finding:
    heights = np.concatenate([meshes[name].points[:, 2] for side in SIDES for name in (side, lid_name(side))])
    high, meant = float(np.ptp(heights)), box.recipe.closed_height
    if abs(high - meant) > tol.FACE_DEPARTS:
        words = message("The closed box is {} high, not {}.", fine(high), fine(meant))
        return Finding("lid-height", "fail", words, "", high, meant, "mm", REPORT)
    return Finding("lid-height", "pass", lid_words(box), "", high, meant, "mm")
