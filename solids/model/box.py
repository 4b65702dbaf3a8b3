"""The solids of a box: each board with both ends worked, grooved, and placed; its bottom; its plugs."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.geometry import IDENTITY, Frame
from solids.layout.box.faces import BoardFaces, PlugFaces, bottom_face
from solids.layout.box.kinds import board_key
from solids.layout.box.loose import BOTTOM, plug_slabs
from solids.layout.box.model import BoxBoard, BoxCorner, BoxLayout, Slab
from solids.model.boards import pin_board, tail_board
from solids.model.kernel import Solid
from solids.model.kernel.shaping import cut, fuse, placed, prism
from solids.model.parts import Part
from solids.recipe.tables.box_resolved import SIDES

AIR = 1.0
"""How far a tool that cuts reaches into the air beyond a face, so that no two faces lie in one plane (mm)."""


def box_parts(box: BoxLayout, *, finished: bool) -> tuple[Part, ...]:
    """Boards, bottom, and where they are asked for and the box is finished, plugs. Boards that are congruent by a turn
    are one piece, made once."""
    boards: list[Part] = []
    pieces: dict[tuple[object, ...], Part] = {}
    for side in SIDES:
        board = box.boards[side]
        key = board_key(box, board)
        first = pieces.get(key)
        if first is None:
            first = Part(side, side, _board(box, board, finished=finished), board.board.wood, board.up.rows)
            pieces[key] = first
        rows, faces = board.up.rows, BoardFaces(box, board)
        boards.append(Part(side, first.shape, first.solid, board.board.wood, rows, faces))
    if box.panel:
        boards.append(Part(BOTTOM, BOTTOM, block(box.panel), box.recipe.panel.wood, IDENTITY, bottom_face))
    if finished:
        boards += _plugs(box)
    return tuple(boards)


def block(slab: Slab) -> Solid:
    """A slab as a solid."""
    (x0, x1), (y0, y1), (z0, z1) = slab.x, slab.y, slab.z
    return prism([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], z0, z1)


def _board(box: BoxLayout, board: BoxBoard, *, finished: bool) -> Solid:
    """In the frame of its end where X runs up."""
    make = tail_board if board.kind == "tail board" else pin_board
    near, far = (make(corner.turned, corner.layout.state(finished=finished)) for corner in (board.up, board.down))
    whole = fuse([near, placed(far, board.turned_round)])
    return cut(whole, [_groove_tool(box, board, finished=finished)]) if box.is_grooved(board.side) else whole


def _groove_tool(box: BoxLayout, board: BoxBoard, *, finished: bool) -> Solid:
    """What cuts the groove, in the board's frame."""
    groove = box.recipe.groove
    x = (groove.up - board.up.low, groove.top - board.up.low)
    near, far = (
        box.groove_reach(board, corner, corner.layout.state(finished=finished)) + _into_air(box, board, corner)
        for corner in (board.up, board.down)
    )
    along, into = (-board.length - far, near), (-AIR, groove.depth)
    return block(Slab(x, along, into) if board.kind == "tail board" else Slab(x, into, along))


def _into_air(box: BoxLayout, board: BoxBoard, corner: BoxCorner) -> float:
    """A groove that stops in the wood stops where it should; any other runs on a little."""
    return 0.0 if box.stops(board, corner) else AIR


def _plugs(box: BoxLayout) -> Iterator[Part]:
    for name, slab in plug_slabs(box).items():
        corner = box.corners[name]
        wood = corner.layout.recipe.tail_board.wood
        plug = _plug(slab, corner.layout.as_finished.chamfer)
        yield Part(f"plug {name}", f"plug {name}", plug, wood, corner.rows, PlugFaces(corner))


def _plug(slab: Slab, chamfer: float) -> Solid:
    """A plug, its outer edge chamfered with the end of the tail that it fills."""
    (low, high), (start, end), (foot, deep) = slab.x, slab.y, slab.z
    edge = [(end, foot), (end, deep)]
    if chamfer:
        tall = deep - foot
        far = [(end, foot + chamfer), (end, deep)] if chamfer < tall else [(end - chamfer + tall, deep)]
        edge = [(end - chamfer, foot), *far]
    lying = prism([(start, foot), *edge, (start, deep)], low, high)
    return placed(lying, Frame((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)))
