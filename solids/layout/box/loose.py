"""The parts of a box that no joint holds, in their places: what is fitted into it, and the plugs in the ends of the
groove. Lengths in mm."""

from __future__ import annotations

from solids.base.geometry import Slab
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.model import BoxCorner, BoxLayout
from solids.layout.joint.in_groove import chamfer_in_groove
from solids.recipe.tables.box_resolved import CornerName


def plug_slabs(box: BoxLayout) -> dict[CornerName, Slab]:
    """The plugs that fill the ends of the tail boards' grooves, each in the frame of its corner."""
    groove = box.recipe.groove
    if groove.ends != "plugged" or not groove.width or box.has_slips:
        return {}
    return {
        name: Slab(
            _plug_x(box, corner),
            (groove.depth, corner.layout.as_finished.tail_end),
            (corner.layout.rebate, groove.depth),
        )
        for name, corner in box.corners.items()
        if not (box.is_open(corner) or corner.layout.is_half_blind or box.is_mitred(corner))
        and groove.depth > corner.layout.rebate
    }


def _plug_x(box: BoxLayout, corner: BoxCorner) -> tuple[float, float]:
    groove, origin = box.recipe.groove, corner.rows[2][3]
    if corner.upright:
        return groove.up - origin, groove.top - origin
    return origin - groove.top, origin - groove.up


def plug_volumes(box: BoxLayout) -> dict[str, float]:
    """Exact volumes of the plugs by name (mm3): each is its slab less what the chamfer of its end takes."""
    deep, volumes = box.recipe.groove.depth, {}
    for name, slab in plug_slabs(box).items():
        layout = box.corners[name].layout
        taken = chamfer_in_groove(layout.as_finished, deep - layout.rebate)
        volumes[f"plug {name}"] = slab.volume - box.recipe.groove.width * taken
    return volumes


def loose_slabs(box: BoxLayout) -> dict[str, Slab]:
    """The parts and the plugs by name, each as the least block that holds it in its place in the finished box."""
    found = {part.name: part.lowered for part in fitting_of(box).parts}
    for name, slab in plug_slabs(box).items():
        ends = [box.corners[name].rows.apply(corner) for corner in zip(slab.x, slab.y, slab.z, strict=True)]
        found[f"plug {name}"] = Slab(*((min(pair), max(pair)) for pair in zip(*ends, strict=True)))
    return found
