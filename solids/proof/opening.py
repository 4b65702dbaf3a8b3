"""What is proved of a drawer in its opening, measured on its solids: the room round it through the year, the way in
from the front, and how it lies on its runners."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import numpy as np

from solids.base import tolerances as tol
from solids.base.amounts import area, at_least, fine, sizes
from solids.base.findings import REPORT, Finding
from solids.base.messages import Key, message
from solids.base.sources import COMMON_PRACTICE, WOOD_HANDBOOK
from solids.bench.assembling import DIRECTIONS
from solids.layout.box.fitted.bodies import Body as PlaneFaced
from solids.layout.box.fitted.bodies import block
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.lip import FRONT
from solids.layout.box.kinds import and_so_on
from solids.layout.box.model import BoxLayout
from solids.layout.box.opening import (
    LIP_COVERS,
    Room,
    as_high,
    bearing_area,
    bearing_size,
    lip_bearing,
    lip_covers,
    lips_under,
    moves_up,
    room_in,
)
from solids.model.kernel import Mesh
from solids.model.manifold import Body, body_of, overlap_volume, triangles_of
from solids.proof.order import met_on_the_way
from solids.recipe.tables.box_resolved import MOVES_UNKNOWN
from solids.recipe.tables.opening_resolved import Opening

PRESSED = 0.01
"""How far a drawer is pressed into its runners to measure what lies on them (mm): more than the tolerance of faces,
less than any feature."""

BEARING_RELATIVE = 0.01
"""How far the area on a runner may be off: gaps beside the flanks and hollows at the edge are part of it."""

WALL = 10.0
"""How far the face of the carcase is taken to reach past the lip and the opening (mm)."""


def opening_findings(box: BoxLayout, finished: Mapping[str, Mesh]) -> Iterator[Finding]:
    """All of it. `finished` are the finished parts in their places, by name."""
    opening = box.recipe.opening
    yield from _narrow_lip(box)
    if opening is None:
        return
    sticks = {part.name: body_of(*_mesh(finished[part.name])) for part in fitting_of(box).parts if part.of_carcase}
    own = {name: mesh for name, mesh in finished.items() if name not in sticks}
    room = room_in(box, opening)
    yield _fits(box, opening, _measured(box, opening, own, room))
    if sticks:
        yield _slides_in(box, opening, own, sticks)
    yield from _bears(box, opening, own, sticks)
    if box.recipe.lip:
        yield _closes(box, opening, own)
    if box.board_of(room.side).wood.movement is None:
        told = message(
            "How the wood of the {} moves is not known; it is taken to move {} of its height for 1 % of moisture, as "
            "much as hard maple (common practice).",
            *(room.side, f"{MOVES_UNKNOWN:g}"),
        )
        yield Finding("opening-movement", "note", told, room.side)


def _mesh(mesh: Mesh) -> tuple[np.ndarray, np.ndarray]:
    return mesh.points, mesh.triangles


def _measured(box: BoxLayout, opening: Opening, own: Mapping[str, Mesh], room: Room) -> Room:
    """The room with the drawer's own sizes as its solids have them."""
    # What stands before the opening, a lip with all of its edges, takes no room in it.
    front = box.recipe.lip.thickness
    boards = [
        mesh.points[mesh.points[:, 1] > front + tol.FACE_DEPARTS] for name, mesh in own.items() if name in box.boards
    ]
    low, high = (
        np.min([each.min(axis=0) for each in boards], axis=0),
        np.max([each.max(axis=0) for each in boards], axis=0),
    )
    off = float(high[2] - low[2]) - box.recipe.height
    deep = float(high[1]) - front
    behind = opening.depth - deep
    return replace(
        room,
        now=room.now - off,
        damp=room.damp - off,
        dry=room.dry - off,
        sides=(opening.width - float(high[0] - low[0])) / 2,
        behind=behind,
        behind_damp=room.behind_damp + behind - room.behind,
    )


def _fits(box: BoxLayout, opening: Opening, room: Room) -> Finding:
    first = box.recipe.corners["front left"]
    told = message(
        "In the opening {} are free above it in the air of the shop, {}; at the dampest, {}, {} stay, and at the "
        "driest, {}, {}. At each side {} are free, as wood does not move in length, and {} behind it.",
        *(fine(room.now), first.shop.amount, first.home.damp.amount, fine(room.damp)),
        *(first.home.dry.amount, fine(room.dry), fine(room.sides), fine(room.behind_damp)),
    )
    if room.least < -tol.FACE_DEPARTS:
        wrong = message("It does not go into its opening. {}", told)
        return Finding("opening", "fail", wrong, "opening", room.least, 0.0, "mm", REPORT, WOOD_HANDBOOK)
    return Finding("opening", "pass", told, "opening", room.damp, opening.play, "mm", source=WOOD_HANDBOOK)


def _slides_in(box: BoxLayout, opening: Opening, own: Mapping[str, Mesh], sticks: Mapping[str, Body]) -> Finding:
    """Every part of the drawer, as high as it is at the dampest, on its way in from the front and once it is in. A back
    that stands above the bottom is planed with the sides where it comes up as high."""
    met: dict[str, float] = {}
    planed = box.recipe.fitted_height
    for name, mesh in own.items():
        side = next((side for side in as_high(box) if side == name), None)
        points = mesh.points.copy()
        if side:
            points[:, 2] *= planed / box.recipe.height * (1.0 + moves_up(box, side)[0])
        else:
            points[:, 2] = np.minimum(points[:, 2], planed)
        fits = Mesh(points, mesh.triangles)
        on_way = met_on_the_way(fits, [*sticks.values()], DIRECTIONS["from the front"])
        body = body_of(*_mesh(fits))
        for (stick, there), volume in zip(sticks.items(), on_way, strict=True):
            met[stick] = max(met.get(stick, 0.0), volume, overlap_volume(body, there))
    wrong = [stick for stick, volume in met.items() if volume > tol.ENTRY_OVERLAP]
    if wrong:
        told = f"It cannot slide in from the front: in its way is the {and_so_on(wrong)}."
        return Finding("opening-way", "fail", told, "opening", max(met.values()), tol.ENTRY_OVERLAP, "mm3", REPORT)
    names = [f"{name}s" for name, _ in opening.sticks]
    told = f"At the dampest, too, it slides in from the front, past the {and_so_on(names)}."
    return Finding("opening-way", "pass", told, "opening", max(met.values()), tol.ENTRY_OVERLAP, "mm3")


def _bears(box: BoxLayout, opening: Opening, own: Mapping[str, Mesh], sticks: Mapping[str, Body]) -> Iterator[Finding]:
    """How much of the drawer's boards lies on each runner: pressed into it a little, they share so much more with it.
    Where housings run out below, there is less of them."""
    if opening.stick("runner") is None:
        return
    boards = [mesh for name, mesh in own.items() if name in box.boards]
    housings = [Mesh(*triangles_of(cut.wood.faces)) for cut in fitting_of(box).cuts]
    measured, wrong = [], False
    for side in ("left", "right"):
        runner = sticks[f"{side} runner"]
        found = _pressed(boards, runner)
        meant = bearing_area(box, opening, side) - _pressed(housings, runner)
        if abs(found - meant) > BEARING_RELATIVE * meant:
            wrong = True
            told = message("The drawer lies on the {} runner over {} instead of {}.", side, area(found), area(meant))
            yield Finding("opening-runners", "fail", told, f"{side} runner", found, meant, "mm2", REPORT)
        measured.append(found)
    size = bearing_size(box, opening, "left")
    if size and not wrong:
        told = message("Its sides lie on the runners, the left one over {}.", sizes(*size))
        yield Finding("opening-runners", "pass", told, "opening", min(measured), unit="mm2")


def _pressed(meshes: Iterable[Mesh], runner: Body) -> float:
    """The area over which bodies lie on a runner (mm2)."""
    down = np.array((0.0, 0.0, -PRESSED))
    return sum(overlap_volume(body_of(mesh.points + down, mesh.triangles), runner) for mesh in meshes) / PRESSED


def _closes(box: BoxLayout, opening: Opening, own: Mapping[str, Mesh]) -> Finding:
    """How much of the lip lies on the face of the carcase: pressed into it a little, it shares so much more with it."""
    meant, covers = lip_bearing(box, opening), lip_covers(box, opening)
    points = own[FRONT].points + np.array((0.0, PRESSED, 0.0))
    if not box.recipe.lip.top:  # then its upper edge is planed to the opening, which takes no joint
        points[:, 2] = np.minimum(points[:, 2], room_in(box, opening).height)
    pressed = body_of(points, own[FRONT].triangles)
    walls = (body_of(*triangles_of(wall.faces)) for wall in _face_of(box, opening))
    found = sum(overlap_volume(pressed, wall) for wall in walls) / PRESSED
    if abs(found - meant) > BEARING_RELATIVE * meant:
        told = message("The lip lies on the face of the carcase over {} instead of {}.", area(found), area(meant))
        return Finding("opening-lip", "fail", told, FRONT, found, meant, "mm2", REPORT)
    least = min(covers, key=lambda side: covers[side])
    told = message(
        "Its lip closes on the face of the carcase, over {}, and hides the play at the {}: {} of the face stay "
        "covered at the {}, the least, at the worst time.",
        *(area(found), and_so_on([*covers]), fine(covers[least]), least),
    )
    return Finding("opening-lip", "pass", told, FRONT, found, meant, "mm2")


def _narrow_lip(box: BoxLayout) -> Iterator[Finding]:
    """A lip that hides its play, but by so little that it may not once the drawer is used."""
    opening, wide = box.recipe.opening, dict(box.recipe.lip)
    covers = lip_covers(box, opening) if opening else wide
    for key, sides in lips_under(box, covers, LIP_COVERS).items():
        side, where = sides[0], and_so_on(sides)
        least, gap = covers[side], wide[side] - covers[side]
        does = "covers as little as {} of the carcase at the worst time" if opening else "reaches {} past the box"
        words = f"The lip at the {where} {does}: so little hardly hides the play, nor an edge that chips."
        told = message(words, fine(least))
        remedy = message("Make it {} wide or more ({}).", at_least(gap + LIP_COVERS), Key(key))
        yield Finding("lip", "warning", told, FRONT, least, LIP_COVERS, "mm", remedy, COMMON_PRACTICE)


def _face_of(box: BoxLayout, opening: Opening) -> Iterator[PlaneFaced]:
    """The face of the carcase as four blocks round the opening, which touch."""
    lip, (long, _) = box.recipe.lip, box.outside
    aside = (opening.width - long) / 2
    y = (lip.thickness, lip.thickness + opening.depth)
    low, high = min(-lip.bottom, 0.0) - WALL, max(box.recipe.height + lip.top, opening.height) + WALL
    left, right = min(-lip.left, -aside) - WALL, max(long + lip.right, long + aside) + WALL
    for x, z in (
        ((left, -aside), (low, high)),
        ((long + aside, right), (low, high)),
        ((-aside, long + aside), (low, 0.0)),
        ((-aside, long + aside), (opening.height, high)),
    ):
        yield block(x, y, z)
