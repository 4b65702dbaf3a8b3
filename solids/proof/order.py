"""The order in which a box goes together, found backward: parts are taken off one after another, each along a straight
path that is free. A path is tried as the whole volume that the part sweeps, so that nothing is missed between two
steps."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from solids.base import tolerances as tol
from solids.base.geometry import Vector
from solids.bench.assembling import DIRECTIONS, Move, Order
from solids.model.kernel import Mesh
from solids.model.manifold import Body, body_of, overlap_volume, swept_above


def find_order(
    meshes: Mapping[str, Mesh],
    asked: Mapping[frozenset[str], float],
    last_first: Sequence[str] = (),
    comes: Mapping[str, str] | None = None,
) -> Order:
    """An order for parts in their places. `asked` is the wood (mm3) that two parts may meet on their way, where the
    recipe wants their joint tight; the parts of `last_first` are tried in that order, and each part first along the way
    in `comes`, or else toward the side that it is named for."""
    bodies = {name: body_of(mesh.points, mesh.triangles) for name, mesh in meshes.items()}
    left = list(meshes)
    moves: list[Move] = []
    while len(left) > 1:
        found = _free(sorted(left, key=_place(last_first)), meshes, bodies, asked, comes or {})
        if found is None:
            return Order(tuple(reversed(moves)), tuple(left))
        moves.append(found)
        left.remove(found.part)
    return Order((Move(left[0], ""), *reversed(moves)), ())


def _place(last_first: Sequence[str]) -> Callable[[str], int]:
    return lambda part: last_first.index(part) if part in last_first else -1


def _free(
    left: Sequence[str],
    meshes: Mapping[str, Mesh],
    bodies: Mapping[str, Body],
    asked: Mapping[frozenset[str], float],
    comes: Mapping[str, str],
) -> Move | None:
    """The first of the parts that comes off, and where it came from. One with a way of its own takes another only where
    nothing else comes off."""
    tries = [(name, name in comes) for name in left] + [(name, False) for name in left if name in comes]
    for name, is_bound in tries:
        others = [other for other in left if other != name]
        own = comes.get(name, f"from the {name}")
        ways = sorted(DIRECTIONS.items(), key=lambda way: way[0] != own)
        for words, direction in ways[:1] if is_bound else ways:
            met = met_on_the_way(meshes[name], [bodies[other] for other in others], direction)
            allowed = [asked.get(frozenset((name, other)), 0.0) + tol.ENTRY_OVERLAP for other in others]
            if all(volume <= most for volume, most in zip(met, allowed, strict=True)):
                return Move(name, words)
    return None


def met_on_the_way(mesh: Mesh, others: Sequence[Body], direction: Vector) -> list[float]:
    """How much of each other part lies in the way of a part that leaves in a direction (mm3)."""
    turn = rotation_to_up(direction)
    rows = np.column_stack([turn, np.zeros(3)])
    turned = [other.transform(rows) for other in others]
    points = mesh.points @ turn.T
    top = max(float(points[:, 2].max()), *(body.bounding_box()[5] for body in turned)) + 1.0
    way = swept_above(points, mesh.triangles, top)
    return [overlap_volume(way, body) for body in turned]


def rotation_to_up(direction: Vector) -> np.ndarray:
    """The turn that makes one of the six directions point up."""
    x, y, z = direction
    if z:
        return np.diag((1.0, z, z))
    return np.array(((0.0, 0.0, 1.0), (y, -x, 0.0), (x, y, 0.0)))
