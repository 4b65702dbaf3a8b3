"""What is proved of a lining: that each of its boards stands on the bottom and goes in from above once the lid is sawn
off, that the lid comes down over it, and that it lets the lid go no further to any side than its clearance. Measured on
the finished solids."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solids.base import tolerances as tol
from solids.base.amounts import area, fine, volume
from solids.base.findings import REPORT, Finding
from solids.base.messages import message
from solids.bench.assembling import DIRECTIONS
from solids.layout.box.fitted.bottom import BOTTOM
from solids.layout.box.fitted.halves import lid_name
from solids.layout.box.fitted.lining import ORDER, lining_name
from solids.layout.box.fitted.top import TOP
from solids.layout.box.model import BoxLayout
from solids.model.kernel import Mesh
from solids.model.manifold import Body, body_of, moved, overlap_volume
from solids.proof.bottom import HAIR, LEAST_SHARE
from solids.proof.order import met_on_the_way
from solids.recipe.tables.box_resolved import SIDES
from solids.recipe.tables.lid_resolved import Lining

ASIDE = ((1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0))


def lining_findings(box: BoxLayout, meshes: Mapping[str, Mesh]) -> Iterator[Finding]:
    """What is found among the meshes of the finished parts; nothing where there is no lining."""
    lining = box.recipe.lining
    if lining is None:
        return
    of_lid = {TOP, *map(lid_name, SIDES)} & {*meshes}
    bodies = {name: body_of(mesh.points, mesh.triangles) for name, mesh in meshes.items()}
    yield _stands(box, lining, bodies)
    yield _way_in(meshes, bodies, of_lid)
    yield _way_of_lid(meshes, bodies, of_lid)
    yield _located(lining, bodies, of_lid)


def _stands(box: BoxLayout, lining: Lining, bodies: Mapping[str, Body]) -> Finding:
    """Each, let down by a hair, meets the bottom over the whole of its lower edge."""
    meant, found = 0.0, 0.0
    for side in ORDER:
        long = box.recipe.inside[0 if side in ("front", "back") else 1]
        meant += lining.thickness * (long - lining.thickness)
        lower = moved(bodies[lining_name(side)], (0.0, 0.0, -HAIR))
        found += overlap_volume(lower, bodies[BOTTOM]) / HAIR
    if found < LEAST_SHARE * meant:
        words = message("The lining stands on {} of the bottom instead of {}.", area(found), area(meant))
        return Finding("lining-stands", "fail", words, "", found, meant, "mm2", REPORT)
    words = message("The lining stands on the bottom with the whole of its lower edges, {}.", area(found))
    return Finding("lining-stands", "pass", words, "", found, meant, "mm2")


def _way_in(meshes: Mapping[str, Mesh], bodies: Mapping[str, Body], of_lid: set[str]) -> Finding:
    """Each comes from above, into the box and beside those that stand already."""
    names, most = [*map(lining_name, ORDER)], 0.0
    for number, name in enumerate(names):
        most = max(most, _met(name, meshes, bodies, {*names[number:], *of_lid}))
    if most > tol.ENTRY_OVERLAP:
        words = message("The lining meets {} of wood on its way in.", volume(most))
        return Finding("lining-goes-in", "fail", words, "", most, tol.ENTRY_OVERLAP, "mm3", REPORT)
    words = message("Once the lid is sawn off, the lining goes in from above: front, back, left, right.")
    return Finding("lining-goes-in", "pass", words, "", most, tol.ENTRY_OVERLAP, "mm3")


def _way_of_lid(meshes: Mapping[str, Mesh], bodies: Mapping[str, Body], of_lid: set[str]) -> Finding:
    most = max(_met(name, meshes, bodies, of_lid) for name in of_lid)
    if most > tol.ENTRY_OVERLAP:
        words = message("The lid meets {} of wood as it comes down over the lining.", volume(most))
        return Finding("lid-goes-on", "fail", words, "", most, tol.ENTRY_OVERLAP, "mm3", REPORT)
    words = message("The lid comes down over the lining and meets nothing.")
    return Finding("lid-goes-on", "pass", words, "", most, tol.ENTRY_OVERLAP, "mm3")


def _met(name: str, meshes: Mapping[str, Mesh], bodies: Mapping[str, Body], away: set[str]) -> float:
    """The most that a part meets of any other that is there, in its place or on its way from above (mm3)."""
    there = [body for other, body in bodies.items() if other != name and other not in away]
    in_place = [overlap_volume(bodies[name], body) for body in there]
    return max(*in_place, *met_on_the_way(meshes[name], there, DIRECTIONS["from above"]))


def _located(lining: Lining, bodies: Mapping[str, Body], of_lid: set[str]) -> Finding:
    """The lid, pushed to each side by a hair less than the clearance, is free; by a hair more, it meets the lining."""
    stands = [bodies[name] for name in map(lining_name, ORDER)]

    def met(way: tuple[float, float, float], by: float) -> float:
        x, y, z = (by * each for each in way)
        return sum(overlap_volume(moved(bodies[name], (x, y, z)), board) for name in of_lid for board in stands)

    loose = [way for way in ASIDE if met(way, lining.clearance + HAIR) <= tol.OVERLAP_ABSOLUTE]
    tight = [way for way in ASIDE if met(way, max(lining.clearance - HAIR, 0.0)) > tol.OVERLAP_ABSOLUTE]
    if loose or tight:
        words = message("The lining does not hold the lid to {}.", fine(lining.clearance))
        return Finding("lid-located", "fail", words, "", None, lining.clearance, "mm", REPORT)
    words = message("Pushed to any side, the closed lid moves {} and is stopped by the lining.", fine(lining.clearance))
    if not lining.clearance:
        words = message("The lining holds the closed lid without any room.")
    return Finding("lid-located", "pass", words, "", lining.clearance, lining.clearance, "mm")
