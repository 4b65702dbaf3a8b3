"""The solids of a box: each board with both ends worked, grooved, and placed; its bottom; its plugs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from solids.layout.box import BoxBoard, BoxCorner, BoxLayout, Rows, Slab, Vector, chamfer_in_groove, piece_key
from solids.model.boards import pin_board, tail_board
from solids.model.kernel import Solid
from solids.model.kernel.shaping import cut, fuse, placed, prism
from solids.recipe.box_resolved import SIDES, CornerName
from solids.wood import Wood

AIR = 1.0
"""How far a tool that cuts reaches into the air beyond a face, so that no two faces lie in one plane (mm)."""

BOTTOM = "bottom"
IDENTITY: Rows = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0))


@dataclass(frozen=True)
class BoxPart:
    """One part in its place in the box: `solid` in the frame of its piece, `rows` from there into the box. Parts of one
    `piece` share their solid."""

    name: str
    piece: str
    solid: Solid
    wood: Wood
    rows: Rows

    @cached_property
    def in_place(self) -> Solid:
        """The solid where it stands in the box."""
        return placed(self.solid, self.rows)


def box_parts(box: BoxLayout, *, finished: bool) -> tuple[BoxPart, ...]:
    """Boards, bottom, and where they are asked for and the box is finished, plugs. Boards that are congruent by a turn
    are one piece, made once."""
    boards: list[BoxPart] = []
    pieces: dict[tuple[object, ...], BoxPart] = {}
    for side in SIDES:
        board = box.boards[side]
        key = piece_key(box, board)
        first = pieces.get(key)
        if first is None:
            first = BoxPart(side, side, _board(box, board, finished=finished), board.board.wood, board.up.rows)
            pieces[key] = first
        boards.append(BoxPart(side, first.piece, first.solid, board.board.wood, board.up.rows))
    if box.panel:
        boards.append(BoxPart(BOTTOM, BOTTOM, block(box.panel), box.recipe.panel.wood, IDENTITY))
    if finished:
        boards += _plugs(box)
    return tuple(boards)


def block(slab: Slab) -> Solid:
    """A slab as a solid."""
    (x0, x1), (y0, y1), (z0, z1) = slab.x, slab.y, slab.z
    return prism([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], z0, z1)


def _board(box: BoxLayout, board: BoxBoard, *, finished: bool) -> Solid:
    """In the frame of its end where X runs up."""
    back = _turned_round(board)
    make = tail_board if board.kind == "tail board" else pin_board
    near, far = (make(corner.turned, corner.layout.state(finished=finished)) for corner in (board.up, board.down))
    whole = fuse([near, placed(far, back)])
    return cut(whole, [_groove_tool(box, board, finished=finished)]) if box.is_grooved(board.side) else whole


def _turned_round(board: BoxBoard) -> Rows:
    """From the frame of the end where X runs down into that where it runs up: half a turn about the show face's normal,
    and the length of the board away. The one's lower edge is the other's upper edge."""
    across = board.low + board.width - _low(board.up)
    if board.kind == "tail board":
        return ((-1.0, 0.0, 0.0, across), (0.0, -1.0, 0.0, -board.length), (0.0, 0.0, 1.0, 0.0))
    return ((-1.0, 0.0, 0.0, across), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, -1.0, -board.length))


def _low(corner: BoxCorner) -> float:
    """How high the X of a corner's frame begins, where it runs up."""
    return corner.rows[2][3]


def _groove_tool(box: BoxLayout, board: BoxBoard, *, finished: bool) -> Solid:
    """What cuts the groove, in the board's frame."""
    groove = box.recipe.groove
    x = (groove.up - _low(board.up), groove.top - _low(board.up))
    near, far = (
        box.groove_reach(board, corner, corner.layout.state(finished=finished)) + _into_air(box, board, corner)
        for corner in (board.up, board.down)
    )
    along, into = (-board.length - far, near), (-AIR, groove.depth)
    return block(Slab(x, along, into) if board.kind == "tail board" else Slab(x, into, along))


def _into_air(box: BoxLayout, board: BoxBoard, corner: BoxCorner) -> float:
    """A groove that stops in the wood stops where it should; any other goes on a little."""
    stops = board.kind == "tail board" and not box.is_open(corner) and not box.runs_out(corner)
    return 0.0 if stops else AIR


def plug_slabs(box: BoxLayout) -> dict[CornerName, Slab]:
    """Where plugs fill the ends of the tail boards' grooves, in the frame of their corner."""
    groove = box.recipe.groove
    if groove.ends != "plugged" or not groove.width:
        return {}
    return {
        name: Slab(_plug_x(box, corner), (groove.depth, corner.layout.as_finished.tail_end), (0.0, groove.depth))
        for name, corner in box.corners.items()
        if not box.is_open(corner) and not corner.layout.is_half_blind
    }


def _plug_x(box: BoxLayout, corner: BoxCorner) -> tuple[float, float]:
    groove, origin = box.recipe.groove, corner.rows[2][3]
    if corner.upright:
        return groove.up - origin, groove.top - origin
    return origin - groove.top, origin - groove.up


def _plugs(box: BoxLayout) -> Iterator[BoxPart]:
    for name, slab in plug_slabs(box).items():
        corner = box.corners[name]
        wood = corner.layout.recipe.tail_board.wood
        yield BoxPart(f"plug {name}", f"plug {name}", _plug(slab, corner.layout.as_finished.chamfer), wood, corner.rows)


def _plug(slab: Slab, chamfer: float) -> Solid:
    """A plug, its outer edge chamfered with the end of the tail that it fills."""
    (low, high), (start, end), (_, deep) = slab.x, slab.y, slab.z
    edge = [(end, 0.0), (end, deep)]
    if chamfer:
        far = [(end, chamfer), (end, deep)] if chamfer < deep else [(end - chamfer + deep, deep)]
        edge = [(end - chamfer, 0.0), *far]
    lying = prism([(start, 0.0), *edge, (start, deep)], low, high)
    return placed(lying, ((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)))


def plug_volumes(box: BoxLayout) -> dict[str, float]:
    """Exact volumes of the plugs (mm3), by their names: each its slab less what the chamfer of its end has taken."""
    deep, volumes = box.recipe.groove.depth, {}
    for name, slab in plug_slabs(box).items():
        taken = chamfer_in_groove(box.corners[name].layout.as_finished, deep)
        volumes[f"plug {name}"] = slab.volume - box.recipe.groove.width * taken
    return volumes


def loose_slabs(box: BoxLayout) -> dict[str, Slab]:
    """Where in the box the parts lie that no joint holds, by their names: the bottom, and plugs."""
    found = {BOTTOM: box.panel} if box.panel else {}
    for name, slab in plug_slabs(box).items():
        ends = [_moved(box.corners[name].rows, corner) for corner in zip(slab.x, slab.y, slab.z, strict=True)]
        found[f"plug {name}"] = Slab(*((min(pair), max(pair)) for pair in zip(*ends, strict=True)))
    return found


def _moved(rows: Rows, point: Vector) -> Vector:
    """A point after a motion."""
    x, y, z = (sum(part * value for part, value in zip(row[:3], point, strict=True)) + row[3] for row in rows)
    return x, y, z
