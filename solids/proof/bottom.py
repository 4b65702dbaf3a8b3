"""What is proved of the bottom of a box beside what is proved of every part: that it bears where it should, that it has
room when it has grown in the dampest air, and that it is still held when it has shrunk in the driest.

It is lifted by a hair: what it then meets, over that hair, is the area over which it is held. Grown and shrunk it is
the same mesh, stretched across its grain from where it is fixed: its middle, or its front edge where it slides in under
the back.
"""

from __future__ import annotations

from collections.abc import Mapping

from solids.base import tolerances as tol
from solids.base.amounts import area, volume
from solids.base.findings import REPORT, Finding
from solids.base.messages import message
from solids.layout.box.divider_meetings import opened_above
from solids.layout.box.fitted.bottom import BOTTOM
from solids.layout.box.model import BoxLayout
from solids.model.kernel import Mesh
from solids.model.manifold import Body, body_of, moved, overlap_volume
from solids.recipe.tables.box_resolved import SIDES

HAIR = 0.01
"""How far the bottom is lifted (mm): far less than any wood that must be above it is thick."""

LEAST_SHARE = 0.98
"""How much of the area of the formula must be there: hollow socket floors and chamfers take a little of it."""


def bottom_proof(box: BoxLayout, meshes: Mapping[str, Mesh]) -> list[Finding]:
    """What is found of the bottom among the meshes of the finished parts; nothing where there is none."""
    if box.panel is None:
        return []
    others = {name: body_of(mesh.points, mesh.triangles) for name, mesh in meshes.items() if name != BOTTOM}
    return [_bears(box, meshes[BOTTOM], others), _through_the_year(box, meshes[BOTTOM], others)]


def _bears(box: BoxLayout, bottom: Mesh, others: Mapping[str, Body]) -> Finding:
    # What stands on the bottom, such as a divider, does not hold it.
    boards = {name: body for name, body in others.items() if name in (*SIDES, *holders(box))}
    meant, found = box.panel_bearing - opened_above(box), sum(_areas(_stretched(box, bottom, 0.0), boards).values())
    words = message("The edges of the bottom are held over {}, all that they should be.", area(found))
    if LEAST_SHARE * meant <= found <= meant * (2.0 - LEAST_SHARE):
        return Finding("bottom-bears", "pass", words, BOTTOM, found, meant, "mm2")
    words = message("The edges of the bottom are held over {} instead of {}.", area(found), area(meant))
    return Finding("bottom-bears", "fail", words, BOTTOM, found, meant, "mm2", REPORT)


def _through_the_year(box: BoxLayout, bottom: Mesh, others: Mapping[str, Body]) -> Finding:
    panel = box.recipe.panel
    grown, shrunk = (_stretched(box, bottom, share) for share in (panel.grows, -panel.shrinks))
    met = max(overlap_volume(grown, other) for other in others.values())
    if met > tol.OVERLAP_ABSOLUTE:
        words = message("In the dampest air the bottom binds: it meets {} of wood.", volume(met))
        return Finding("bottom-year", "fail", words, BOTTOM, met, tol.OVERLAP_ABSOLUTE, "mm3", REPORT)
    bears, held = _areas(shrunk, others), holders(box)
    if lost := [name for name in held if bears[name] <= 0.0]:
        words = message("In the driest air the bottom is out of what holds it: {}.", ", ".join(lost))
        return Finding("bottom-year", "fail", words, BOTTOM, 0.0, 0.0, "mm2", REPORT)
    words = message(
        "Grown to its size in the dampest air, the bottom meets no wood in its way; shrunk to that in the driest, it "
        "is still held on every side, over {}.",
        area(sum(bears[name] for name in held)),
    )
    return Finding("bottom-year", "pass", words, BOTTOM, sum(bears[name] for name in held), 0.0, "mm2")


def holders(box: BoxLayout) -> list[str]:
    """The parts that hold the bottom's edges."""
    sides = ["left slip", "right slip"] if box.has_slips else ["left", "right"]
    return ["front", "back", *sides]


def _areas(bottom: Body, others: Mapping[str, Body]) -> dict[str, float]:
    """What the bottom bears on, part by part (mm2)."""
    lifted = moved(bottom, (0.0, 0.0, HAIR))
    return {name: overlap_volume(lifted, other) / HAIR for name, other in others.items()}


def _stretched(box: BoxLayout, bottom: Mesh, share: float) -> Body:
    """The bottom, wider by a share of its size in each direction that it moves in."""
    assert box.panel is not None
    panel, points = box.recipe.panel, bottom.points.copy()
    for axis in panel.moves:
        low, high = (box.panel.x, box.panel.y)[axis]
        fixed = (low + high) / 2 if axis in panel.between else low
        points[:, axis] = fixed + (points[:, axis] - fixed) * (1.0 + share)
    return body_of(points, bottom.triangles)
