"""What is proved of a lid that is a board of its own: that it lies on the upper edges of all four boards, that it has
room between them when it has grown in the dampest air, and that it still lies on each of them when it has shrunk in
the driest, pushed aside as far as it goes. Measured on the finished solids: the lid is let down by a hair, and what it
then meets, over that hair, is the area that it lies on.

Grown and shrunk it is the same mesh, stretched where it moves: about the middle of one that lifts off, about the back
of one that is hinged.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solids.base import tolerances as tol
from solids.base.amounts import area, volume
from solids.base.findings import REPORT, Finding
from solids.base.messages import message
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.lid_board import LID, SIDES_OF, bearing, grows_by, outline, tongue
from solids.layout.box.lid_words import lid_words
from solids.layout.box.model import BoxLayout
from solids.model.kernel import Mesh
from solids.model.manifold import Body, body_of, moved, overlap_volume, triangles_of
from solids.proof.bottom import HAIR, LEAST_SHARE
from solids.recipe.tables.box_resolved import SIDES, Side
from solids.recipe.tables.lid_resolved import LidBoard


def lid_board_findings(box: BoxLayout, meshes: Mapping[str, Mesh]) -> Iterator[Finding]:
    """What is found among the meshes of the finished parts; nothing where there is no such lid."""
    lid = box.recipe.lid_board
    if lid is None:
        return
    others = {name: body_of(mesh.points, mesh.triangles) for name, mesh in meshes.items() if name != LID}
    yield _lies(box, lid, meshes[LID], others)
    yield _in_damp_air(box, lid, meshes[LID], others)
    yield _in_dry_air(box, lid, meshes[LID], others)
    yield Finding("lid", "pass", lid_words(box), LID, lid.panel.thickness, None, "mm")


def _lies(box: BoxLayout, lid: LidBoard, mesh: Mesh, others: Mapping[str, Body]) -> Finding:
    """Ends that stand proud of the boards give it a little more, and housings that come up to the edges less."""
    as_made = _stretched(box, lid, mesh, 0.0, (0.0, 0.0))
    housings = (body_of(*triangles_of(cut.wood.faces)) for cut in fitting_of(box).cuts if not cut.late)
    meant = bearing(box, lid) - sum(_on(as_made, each) for each in housings)
    found = sum(_lies_on(as_made, others).values())
    if found < LEAST_SHARE * meant:
        short = message("The lid lies on {} of the upper edges instead of {}.", area(found), area(meant))
        return Finding("lid-lies", "fail", short, LID, found, meant, "mm2", REPORT)
    words = message("The lid lies on the upper edges of all four boards, over {}.", area(found))
    return Finding("lid-lies", "pass", words, LID, found, meant, "mm2")


def _in_damp_air(box: BoxLayout, lid: LidBoard, mesh: Mesh, others: Mapping[str, Body]) -> Finding:
    grown = _stretched(box, lid, mesh, lid.panel.grows, (0.0, 0.0))
    met = max(overlap_volume(grown, other) for other in others.values())
    if met > tol.OVERLAP_ABSOLUTE:
        sticks = message("In the dampest air the lid sticks: it meets {} of wood.", volume(met))
        return Finding("lid-damp", "fail", sticks, LID, met, tol.OVERLAP_ABSOLUTE, "mm3", REPORT)
    words = "Grown to its size in the dampest air, the lid meets no wood."
    return Finding("lid-damp", "pass", words, LID, met, tol.OVERLAP_ABSOLUTE, "mm3")


def _in_dry_air(box: BoxLayout, lid: LidBoard, mesh: Mesh, others: Mapping[str, Body]) -> Finding:
    shrunk = -lid.panel.shrinks
    pushed = [_lies_on(_stretched(box, lid, mesh, shrunk, by), others) for by in _pushes(box, lid)]
    least: dict[Side, float] = {side: min(each[side] for each in pushed) for side in SIDES}
    if lost := [side for side, mm2 in least.items() if mm2 <= 0.0]:
        slips = message("In the driest air the lid no longer lies on: {}.", ", ".join(lost))
        return Finding("lid-dry", "fail", slips, LID, 0.0, 0.0, "mm2", REPORT)
    aside = "" if lid.kind == "hinged" else ", pushed to any side as far as it goes"
    words = f"Shrunk to its size in the driest, it still lies on every board{aside}."
    return Finding("lid-dry", "pass", words, LID, min(least.values()), 0.0, "mm2")


def _pushes(box: BoxLayout, lid: LidBoard) -> Iterator[tuple[float, float]]:
    """How far it can be pushed once it has shrunk, in X and in Y: to all four sides in turn; nowhere where hinges hold
    it."""
    if lid.kind == "hinged":
        yield 0.0, 0.0
        return
    for axis in range(len(SIDES_OF)):
        (start, end), (low, high), (_, shrinks) = box.inside[axis], tongue(box, lid)[axis], grows_by(lid, axis)
        fixed = _fixed(box, lid, axis)
        for wall, edge in ((start, low), (end, high)):
            by = wall - (fixed + (edge - fixed) * (1.0 - shrinks))
            by -= HAIR if by > 0.0 else -HAIR
            yield (by, 0.0) if axis == 0 else (0.0, by)


def _fixed(box: BoxLayout, lid: LidBoard, axis: int) -> float:
    low, high = outline(box, lid)[axis]
    return high if lid.kind == "hinged" and axis == 1 else (low + high) / 2


def _stretched(box: BoxLayout, lid: LidBoard, mesh: Mesh, share: float, by: tuple[float, float]) -> Body:
    """The lid, larger by a share of its size in each direction that it moves in, and pushed aside."""
    points = mesh.points.copy()
    for axis in lid.panel.moves:
        fixed = _fixed(box, lid, axis)
        points[:, axis] = fixed + (points[:, axis] - fixed) * (1.0 + share)
    return moved(body_of(points, mesh.triangles), (*by, 0.0))


def _lies_on(lid: Body, others: Mapping[str, Body]) -> dict[Side, float]:
    """The area that it lies on, board by board (mm2)."""
    return {side: _on(lid, others[side]) for side in SIDES}


def _on(lid: Body, other: Body) -> float:
    return overlap_volume(moved(lid, (0.0, 0.0, -HAIR)), other) / HAIR
