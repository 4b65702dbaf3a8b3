"""The work on a lid: the groove for the top of one that is sawn off, and parting it from the box; a board of its own,
rebated or hung. Common practice, with this box's own numbers."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.cautions import LIDS
from solids.base.lengths import CALIPER, LEAST, format_both
from solids.bench.procedure.steps import WorkStep
from solids.layout.box.fitted.hinges import leaf_spans
from solids.layout.box.fitted.lid_board import outline, tongue
from solids.layout.box.fitted.lining import width_of
from solids.layout.box.kinds import and_so_on
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.lid_resolved import Hinge, Lining


def top_groove_steps(box: BoxLayout) -> Iterator[WorkStep]:
    """How the groove for the top is ploughed; nothing where there is none."""
    units, groove = box.recipe.units, box.recipe.top_groove
    if not groove.width:
        return
    down = box.recipe.height - groove.top
    width, depth, below = (format_both(size, units, CALIPER) for size in (groove.width, groove.depth, down))
    yield WorkStep(
        "Plough the groove for the top",
        f"{width} wide and {depth} deep, {below} below the upper edge, in the inside faces of all four boards. In the "
        "tail boards it stops as far past the baseline as it is deep: chop those ends first. In the pin boards it may "
        "run through the ends: there it falls into a socket.",
    )


def lid_steps(box: BoxLayout) -> Iterator[WorkStep]:
    """How the lid is sawn off or made, once the box is planed outside; nothing where there is none."""
    lid, units = box.recipe.lid, box.recipe.units
    if lid is None:
        yield from _board_steps(box)
        return
    at, kerf, high = (format_both(size, units, CALIPER) for size in (lid.at, lid.kerf, box.recipe.closed_height))
    low, top = (format_both(mm, units, CALIPER) for mm in (lid.at - lid.kerf / 2, lid.at + lid.kerf / 2))
    yield WorkStep(
        "Gauge the cut",
        f"Mark which way the lid lies. Gauge all four show faces from the lower edge, {low} and {top} up: the saw runs "
        f"between the two lines, its middle {at} up, within the wide pin.",
    )
    yield WorkStep(
        "Saw off the lid",
        f"Hold the box in the vice or under clamps. Saw along the lines on one face after the other, {kerf} wide, and "
        "turn the box before the saw comes through. Leave a little wood in the middle of two opposite sides, or keep "
        "the kerf open with shims, so that the lid cannot drop and pinch the saw; cut that wood last.",
    )
    planed = (
        f"Take {format_both(lid.planing, units, CALIPER)} off each sawn edge" if lid.planing else "Clean both edges"
    )
    yield WorkStep(
        "Plane the edges",
        f"{planed}, round and round, with a long plane or on abrasive on a flat board, until lid and box meet all "
        f"round. Closed, the box is then {high} high.",
    )
    if lid.hinge:
        yield _hinge_step(box, lid.hinge)
    if lid.lining:
        yield _lining_step(box, lid.lining)


def _lining_step(box: BoxLayout, lining: Lining) -> WorkStep:
    """How the lining is mitred, pressed in, and eased for the lid."""
    units, sizes = box.recipe.units, (*box.recipe.inside, width_of(box, lining), lining.stands)
    long, wide, high, stands = (format_both(mm, units, CALIPER) for mm in sizes)
    eased = ""
    if lining.clearance:
        back_by = format_both(lining.clearance, units, CALIPER)
        eased = f" Plane the outer faces back {back_by} above the edge of the box, until the lid slides on by hand."
    return WorkStep(
        "Fit the lining",
        f"Front and back come out {long} long, left and right {wide}, each {high} wide, so that it stands {stands} "
        "above the edge of the box: measure all of that in the box as it is now. Plane the boards to that width, mitre "
        "both ends of each a little too long, and shoot them until front and back stand in their places and the other "
        f"two spring in between them. They hold each other and stay dry.{eased} Round the upper outer edges, so that "
        "the lid finds its way.",
    )


def _board_steps(box: BoxLayout) -> Iterator[WorkStep]:
    """How a lid that is a board of its own is made, measured on the box as it came out."""
    lid, units = box.recipe.lid_board, box.recipe.units
    if lid is None:
        return
    sizes = (*((high - low) for low, high in outline(box, lid)), lid.panel.thickness)
    long, wide, thick = (format_both(mm, units, CALIPER) for mm in sizes)
    yield WorkStep(
        "Make the lid",
        f"{long} along the front, {wide} from front to back, {thick} thick. Shoot the ends first, then the edges, and "
        "try it on the box. Finish both faces and all edges alike, so that it stays flat.",
    )
    if lid.drop:
        along, across = (format_both(high - low, units, CALIPER) for low, high in tongue(box, lid))
        yield WorkStep(
            "Rebate the lid",
            f"All round its underside, {format_both(lid.drop, units, CALIPER)} deep: it leaves {along} by {across}, "
            "which drops between the boards. Measure that on the box. Cut across the grain first, then along it, so "
            "that what breaks out is planed away, and ease the edges of the tongue.",
        )
    if lid.hinge:
        yield _hinge_step(box, lid.hinge)


def _hinge_step(box: BoxLayout, hinge: Hinge) -> WorkStep:
    units, slope = box.recipe.units, hinge.slope
    width, deep, end = (format_both(mm, units, CALIPER) for mm in (hinge.width, hinge.thickness, hinge.from_end))
    places = and_so_on([format_both(left, units, CALIPER) for left, _ in leaf_spans(box)])
    barrel = ""
    if slope:
        down = format_both(slope, units, LEAST)
        barrel = (
            f" Beside each leaf chamfer both back corners at 45 degrees, {down} down each face, to clear the barrel."
        )
    where = "In the back edges of box and lid"
    if box.recipe.lid_board:
        where = "In the upper edge of the back, and in the underside of the lid along its back edge"
    return WorkStep(
        "Let in the hinges",
        f"{where}: the leaves begin {places} from the left end, {end} from either end of the "
        f"box. Gauge {width} from the back face, so that the pin lies on its line, and {deep} deep, so that the leaves "
        f"lie flush.{barrel} {LIDS.text}",
    )
