"""The wood to take away, proved: a plain board less its waste is the board as cut.

The waste is built from the layout's lines and the boards are built by themselves. Board and waste lie within the sawn
board, no two bodies share wood, and all volumes sum to the sawn board's, in closed form and by the kernel. So nothing
of it is left over, and none of it is taken twice.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import combinations

from solids.base import tolerances as tol
from solids.base.errors import FaultError
from solids.base.geometry import Point, Slab
from solids.layout.assembly import Assembly
from solids.model import manifold
from solids.model.kernel import Solid, are_valid, bounds, faces_of, topology, volume_of
from solids.model.parts import Part
from solids.model.waste import SawnBoard, sawn_boards

Bounds = tuple[Point, Point]


def proved_waste(assembly: Assembly, as_cut: Iterable[Part]) -> tuple[SawnBoard, ...]:
    """The boards of a piece as they are sawn, each with its waste. `as_cut` are the parts of the piece, of which those
    without cuts are passed over. FaultError says what is wrong with which body."""
    boards, parts = sawn_boards(assembly.plan), {part.name: part for part in as_cut}
    proved: set[str] = set()
    for board in boards:
        if board.shape not in proved:
            check_waste(board, parts[board.name].solid, assembly.volume(board.name, finished=False))
            proved.add(board.shape)
    return boards


def check_waste(board: SawnBoard, as_cut: Solid, formula: float) -> None:
    """FaultError unless the sawn board less its waste is the board as cut, which stands in the same frame, and whose
    volume is known by a formula (mm3)."""
    _check_volumes(board, as_cut, formula)
    bodies = [part.solid for part in board.waste]
    for part, is_valid in zip(board.waste, are_valid(bodies), strict=True):
        if not is_valid or not topology(part.solid).closed:
            raise FaultError(f"wood to take away: {part.name} is no valid closed solid")
    places = [bounds(body) for body in bodies]
    for name, place in [
        (board.name, bounds(as_cut)),
        *((p.name, at) for p, at in zip(board.waste, places, strict=True)),
    ]:
        if not _lies_in(place, board.blank):
            raise FaultError(f"wood to take away: {name} reaches out of the sawn board")
    _check_overlaps(board, as_cut, places)


def _check_volumes(board: SawnBoard, as_cut: Solid, formula: float) -> None:
    waste = math.fsum(volume_of(part.solid) for part in board.waste)
    for what, rest in (("solid", volume_of(as_cut)), ("formula", formula)):
        off = rest + waste - board.blank.volume
        if not abs(off) <= tol.VOLUME_RELATIVE * board.blank.volume:
            raise FaultError(
                f"wood to take away: {board.name} (its {what}) and its waste are {off:+.6g} mm3 off the sawn board"
            )


def _lies_in(place: Bounds, blank: Slab) -> bool:
    return all(
        low - tol.ROUNDING <= least and most <= high + tol.ROUNDING
        for least, most, (low, high) in zip(*place, (blank.x, blank.y, blank.z), strict=True)
    )


def _check_overlaps(board: SawnBoard, as_cut: Solid, places: Sequence[Bounds]) -> None:
    """By Manifold, which has its own triangles and shares no code with the kernel."""
    meshes = [manifold.body_of(*manifold.triangles_of(faces_of(part.solid))) for part in board.waste]
    whole = manifold.body_of(*manifold.triangles_of(faces_of(as_cut)))
    pairs = [(part.name, board.name, mesh, whole) for part, mesh in zip(board.waste, meshes, strict=True)]
    for one, other in combinations(range(len(meshes)), 2):
        if _may_meet(places[one], places[other]):
            pairs.append((board.waste[one].name, board.waste[other].name, meshes[one], meshes[other]))
    for name, mate, first, second in pairs:
        overlap = manifold.overlap_volume(first, second)
        if not overlap <= tol.OVERLAP_ABSOLUTE:
            raise FaultError(f"wood to take away: {name} and {mate} share {overlap:.6g} mm3")


def _may_meet(one: Bounds, other: Bounds) -> bool:
    """Whether the boxes round two bodies share any room."""
    return all(
        max(low, least) < min(high, most)
        for low, least, high, most in zip(one[0], other[0], one[1], other[1], strict=True)
    )
