"""The proof of one aid, as the joint itself is proved: a sound solid that prints without support, that fits the boards
where it is to work, and whose working face lies where the joint wants it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

import numpy as np

from solids.aids.making.aid import Aid, Plane, Rest, Use
from solids.aids.making.engraving import DEPTH
from solids.aids.making.measuring import measured
from solids.aids.making.modelling import faces_in, surface_of
from solids.aids.making.plates import bed_room, finds_room
from solids.base import tolerances as tol
from solids.base.amounts import area as area_of
from solids.base.amounts import clearance, in_mm
from solids.base.findings import REPORT, Finding
from solids.base.geometry import Frame, Point, Vector, dot, minus, scaled
from solids.base.messages import Words, message
from solids.model import manifold
from solids.model.kernel import (
    Face,
    Mesh,
    Solid,
    bounds,
    is_valid,
    newell_normal,
    patches_of,
    slack_of,
    topology,
    volume_of,
)
from solids.model.manifold import Body
from solids.recipe.tables.resolved import Printing

STEEPEST_OVERHANG = math.sin(math.radians(45.0)) + 1e-6
"""How far a face may look down and still print without support: 45 degrees. Common practice of printing guides."""

ON_THE_BED = 1e-6
"""How far a face may lie off the bed and count as lying on it (mm)."""

PUSH = 0.02
"""How far an aid is pushed into a board to see over what area it bears (mm)."""

WALLS_OF_A_NOZZLE = 2.0
"""The thinnest wall, in widths of the nozzle: two lines. Common practice: 0.8 mm for a 0.4 mm nozzle."""

SOUND_WALL = 0.8
"""A wall (mm) that every printer with a usual nozzle makes, and that an aid of wood has whatever the printer is."""

IN_PLANE = 0.01
"""How far a working face may lie off its plane, beside the stated clearance (mm)."""

ALIGNED = 1e-6
"""One less the cosine between two normals that count as one."""

RAY_SPACING, MOST_RAYS = 5.0, 400
"""About one ray for a square of this side (mm), wider on a large aid, so that there are about so many at most."""

OPPOSED = -0.5
"""Cosine of two normals from which on their faces count as the two sides of a wall."""


def prove_aid(aid: Aid, printing: Printing) -> tuple[Finding, ...]:
    """Every check of one aid, in order: the solid, how it prints, what is exact on it, each place where it works."""
    surface, faces = surface_of(aid.solid), faces_in(aid.solid)
    body = manifold.body_of(surface.points, surface.triangles)
    found = [
        _sound(aid, surface),
        _lies_flat(aid, faces),
        _overhang(aid),
        _walls(aid, body, printing),
    ]
    if aid.to_print:
        found.append(_fits_bed(aid, printing))
    found += measured(aid, faces)
    for use in aid.uses:
        found += _fits(aid, use, faces, body)
    return tuple(found)


def _finding(aid: Aid, code: str, good: bool, sentence: Words, measured: float, limit: float, unit: str) -> Finding:
    remedy = "" if good else REPORT
    return Finding(code, "pass" if good else "fail", sentence, aid.name, measured, limit, unit, remedy)


# --- the solid and how it prints -----------------------------------------------------------------


def _sound(aid: Aid, surface: Mesh) -> Finding:
    """One closed, valid solid, whose volume a second program finds too."""
    counts = topology(aid.solid)
    second = manifold.examine(surface.points, surface.triangles)
    volume = volume_of(aid.solid)
    good = (
        is_valid(aid.solid)
        and counts.closed
        and counts.solids == second.bodies == 1
        and second.closed
        and abs(second.volume - volume) < tol.VOLUME_RELATIVE * volume + slack_of(aid.solid)
    )
    return _finding(aid, "sound", good, f"One closed, valid solid of {counts.faces} faces.", volume, volume, "mm3")


def _lies_flat(aid: Aid, faces: Sequence[Face]) -> Finding:
    (_, _, low), _ = bounds(aid.solid)
    area = sum(_area(face) for face in faces if _looks(face)[2] < 0 and _level(face, 0.0))
    good = abs(low) < tol.ROUNDING and area > 0
    return _finding(aid, "flat", good, message("It lies on the bed with {}.", area_of(area)), low, 0.0, "mm")


def _overhang(aid: Aid) -> Finding:
    """Faces that look down more steeply than 45 degrees and do not lie on the bed."""
    patches = [patch for patch in patches_of(aid.solid) if patch.top > ON_THE_BED]
    area = sum(patch.area for patch in patches if patch.look[2] < -STEEPEST_OVERHANG)
    hangs = message("{} overhangs without support.", area_of(area))
    words = "No face overhangs by more than 45 degrees." if area == 0 else hangs
    return _finding(aid, "overhang", area == 0, words, area, 0.0, "mm2")


def _walls(aid: Aid, body: Body, printing: Printing) -> Finding:
    limit = WALLS_OF_A_NOZZLE * printing.nozzle if aid.to_print else SOUND_WALL
    thinnest = thinnest_wall(body)
    good = thinnest >= limit - tol.ROUNDING
    words = message("The thinnest wall measures {}.", in_mm(thinnest))
    return _finding(aid, "walls", good, words, thinnest, limit, "mm")


def _fits_bed(aid: Aid, printing: Printing) -> Finding:
    (x1, y1, _), (x2, y2, _) = bounds(aid.solid)
    width, depth = x2 - x1, y2 - y1
    good, words = (
        finds_room(width, depth, printing),
        message("It takes {} of the bed.", in_mm(round(width), round(depth))),
    )
    return _finding(aid, "bed", good, words, max(width, depth), bed_room(printing)[1], "mm")


def thinnest_wall(body: Body) -> float:
    """The least distance (mm) straight through the wood from a face to a face that looks the other way, by rays from
    points all over the surface. Edges where two faces meet at an angle are no walls, and neither are the strokes
    between the sides of an engraved letter: no ray starts or counts there. 0 where the body
    is broken."""
    if not manifold.is_sound(body):
        return 0.0
    points, triangles = manifold.triangles_in(body)
    corners = points[triangles]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    doubled = np.linalg.norm(cross, axis=1)
    normals = cross / doubled[:, None]
    heights = np.ptp(corners[:, :, 2], axis=1)
    plain = (np.abs(heights - DEPTH) >= tol.ROUNDING) | (np.abs(normals[:, 2]) >= tol.ROUNDING)
    starts, looks = _ray_starts(corners[plain], normals[plain], doubled[plain] / 2)
    ends = starts - looks * np.linalg.norm(np.ptp(points, axis=0))
    walls = (
        reach
        for start, end, look in zip(starts, ends, looks, strict=True)
        for reach, met in manifold.ray_hits(body, start, end)
        if reach > tol.ROUNDING and plain[met] and normals[met] @ look < OPPOSED
    )
    return min(walls, default=math.inf)


def _ray_starts(corners: np.ndarray, normals: np.ndarray, areas: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Points spread evenly over every triangle, and its normal at each."""
    points, looks = [], []
    spacing = max(RAY_SPACING, math.sqrt(float(areas.sum()) / MOST_RAYS))
    for triangle, normal, area in zip(corners, normals, areas, strict=True):
        steps = int(np.clip(math.ceil(math.sqrt(area) / spacing), 1, 40))
        thirds = [
            ((3 * i + 1 + k) / (3 * steps), (3 * j + 1 + k) / (3 * steps))
            for i in range(steps)
            for j in range(steps - i)
            for k in ((0, 1) if i + j < steps - 1 else (0,))
        ]
        for u, v in thirds:
            points.append(triangle[0] + u * (triangle[1] - triangle[0]) + v * (triangle[2] - triangle[0]))
            looks.append(normal)
    return np.array(points), np.array(looks)


# --- where it works ------------------------------------------------------------------------------


def _fits(aid: Aid, use: Use, faces: Sequence[Face], lying: Body) -> Iterator[Finding]:
    # Manifold tries it on the boards: as good as the kernel on plane faces, and many times faster.
    tried = manifold.placed(lying, use.place)
    boards = {name: _body_of(board) for name, board in use.boards}
    for name, _ in use.boards:
        overlap = manifold.overlap_volume(tried, boards[name])
        words = message("{}: it does not cut into the {}.", use.words, name)
        yield _finding(aid, "meets", overlap <= tol.OVERLAP_ABSOLUTE, words, overlap, 0.0, "mm3")
    for rest in use.rests:
        yield _bears(aid, use, tried, rest, boards[rest.board])
    for name, direction, least in use.clears:
        yield _clears(aid, use, tried, boards[name], name, direction, least)
    if use.works_in is not None:
        yield _works(aid, use, faces, _on_the_bed(use.works_in, use.place))


def _bears(aid: Aid, use: Use, body: Body, rest: Rest, board: Body) -> Finding:
    area = _bite(body, board, rest.direction, PUSH) / PUSH
    words = message("{}: it bears on the {} over {}.", use.words, rest.board, area_of(area))
    return _finding(aid, "bears", area >= rest.least_area, words, area, rest.least_area, "mm2")


def _clears(aid: Aid, use: Use, body: Body, board: Body, name: str, direction: Vector, least: float) -> Finding:
    """Manifold's own `min_gap` is no help here: it looks in every direction, and an aid may keep one clearance above a
    board and another beside it, or touch it elsewhere."""
    bite = _bite(body, board, direction, least - PUSH)
    words = message("{}: it stays {} clear of the {}.", use.words, clearance(least), name)
    return _finding(aid, "clears", bite <= tol.OVERLAP_ABSOLUTE, words, bite, 0.0, "mm3")


@lru_cache(maxsize=64)
def _body_of(solid: Solid) -> Body:
    """A board as Manifold has it. Many aids are tried on one board, so it is made once."""
    found = surface_of(solid)
    return manifold.body_of(found.points, found.triangles)


def _bite(body: Body, board: Body, direction: Vector, by: float) -> float:
    """What a body pushed that way cuts out of a board (mm3)."""
    return manifold.overlap_volume(manifold.moved(body, scaled(direction, by)), board)


def _on_the_bed(plane: Plane, place: Frame) -> Plane:
    """A plane of the joint as the aid sees it that lies on the bed."""
    x, y, z = (dot(axis, plane.normal) for axis in place.axes)
    return Plane(place.inverse().apply(plane.point), (x, y, z))


def _works(aid: Aid, use: Use, faces: Sequence[Face], plane: Plane) -> Finding:
    """How much of its faces lies in the plane, within the tolerance and the stated clearance."""
    allowed = IN_PLANE + aid.clearance
    area = sum(
        _area(face)
        for face in faces
        if abs(abs(dot(_looks(face), plane.normal)) - 1.0) < ALIGNED and _off(face, plane) <= allowed
    )
    words = message("{}: its working face has {}.", use.words, area_of(area))
    return _finding(aid, "works", area >= use.least_face, words, area, use.least_face, "mm2")


def _off(face: Face, plane: Plane) -> float:
    """How far the farthest corner of a face lies off a plane."""
    return max(abs(dot(minus(point, plane.point), plane.normal)) for point in face[0])


def _looks(face: Face) -> Point:
    normal = newell_normal(face[0])
    return scaled(normal, 1.0 / math.hypot(*normal))


def _area(face: Face) -> float:
    outer, *holes = (math.hypot(*newell_normal(loop)) / 2 for loop in face)
    return outer - sum(holes)


def _level(face: Face, z: float) -> bool:
    return all(abs(point[2] - z) < ON_THE_BED for point in face[0])
