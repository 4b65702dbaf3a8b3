"""Plain boards, sawn to size, and the wood to take away from each: one body for every cut that has a name. A board less
its waste is the board as cut, which `proof/waste.py` proves."""

from __future__ import annotations

from dataclasses import dataclass
from functools import singledispatch

from solids.base.geometry import IDENTITY, Frame
from solids.layout import Layout
from solids.layout.box.kinds import board_key
from solids.layout.box.model import BoardKind, BoxBoard, BoxLayout, Slab
from solids.layout.joint.mitre import mitred_edges
from solids.layout.setups import end_name
from solids.model.boards.waste import floor_as_far_as, mitre_waste, pin_board_waste, rebate_waste, tail_board_waste
from solids.model.kernel import Solid, solid_from_faces
from solids.model.kernel.shaping import placed, prism
from solids.model.parts import Part
from solids.recipe.tables.box_resolved import SIDES, Side
from solids.recipe.tables.resolved import Board

Cuts = list[tuple[str, Solid]]
"""Each cut's name, and the body that it takes away."""


@dataclass(frozen=True)
class SawnBoard:
    """A board as it is sawn to size, its ends proud: `blank`, in the frame of the board. `waste` is what its cuts take
    away, in the same frame; `rows` of each lead into the piece. Boards of one `shape` share their bodies."""

    name: str
    shape: str
    blank: Slab
    waste: tuple[Part, ...]


@singledispatch
def sawn_boards(plan: Layout | BoxLayout) -> tuple[SawnBoard, ...]:
    """Every board of a piece that has cuts."""
    raise TypeError(plan)


@sawn_boards.register
def _(plan: Layout) -> tuple[SawnBoard, ...]:
    boards: tuple[tuple[BoardKind, Board], ...] = (
        ("tail board", plan.recipe.tail_board),
        ("pin board", plan.recipe.pin_board),
    )
    return tuple(
        _sawn(kind, kind, _blank(plan, kind, -board.length), _cuts_at_end(plan, kind), board, IDENTITY)
        for kind, board in boards
    )


@sawn_boards.register
def _(plan: BoxLayout) -> tuple[SawnBoard, ...]:
    """Boards that are congruent by a turn have the same bodies, made once, under names of their own."""
    made: dict[tuple[object, ...], tuple[Side, list[Solid]]] = {}
    boards = []
    for side in SIDES:
        board = plan.boards[side]
        shape, bodies = made.setdefault(board_key(plan, board), (side, []))
        if not bodies:
            bodies += _bodies(plan, board)
        low = -board.length - board.reach(board.down, finished=False)
        cuts = list(zip(_names(plan, board), bodies, strict=True))
        boards.append(_sawn(side, shape, _blank(board.up.turned, board.kind, low), cuts, board.board, board.up.rows))
    return tuple(boards)


def _sawn(name: str, shape: str, blank: Slab, cuts: Cuts, board: Board, rows: Frame) -> SawnBoard:
    waste = (
        Part(f"{name}, {cut}", f"{shape}, {number}", body, board.wood, rows)
        for number, (cut, body) in enumerate(cuts, start=1)
    )
    return SawnBoard(name, shape, blank, tuple(waste))


def _blank(layout: Layout, kind: BoardKind, low: float) -> Slab:
    """The sawn board, from its far end at `low` along its length to its raw end at the joint."""
    cut, (below, above) = layout.as_cut, layout.strips
    if kind == "tail board":
        return Slab((0.0 - below, layout.width + above), (low, cut.tail_end), (0.0, cut.show_z))
    return Slab((0.0, layout.width), (0.0, cut.show_y), (low, cut.pin_end))


# --- one end of a board ----------------------------------------------------------------------------


def _cuts_at_end(layout: Layout, kind: BoardKind) -> Cuts:
    """In the joint's frame, in the order in which a maker counts."""
    return list(zip(_names_at_end(layout, kind), _bodies_at_end(layout, kind), strict=True))


def _names_at_end(layout: Layout, kind: BoardKind) -> list[str]:
    mitres = ["mitred shoulder" for _ in mitred_edges(layout)]
    if len(mitres) > 1:
        mitres = [f"mitred shoulder at the {edge} edge" for edge in ("reference", "other")]
    if kind == "tail board":
        sockets = [f"socket {number}" for number in range(1, len(layout.gaps) + 1)]
        return [*(["rebate"] if layout.rebate else []), *sockets, *mitres]
    return [*(f"socket for tail {tail.number}" for tail in layout.counted(layout.tails)), *mitres]


def _bodies_at_end(layout: Layout, kind: BoardKind) -> list[Solid]:
    cut = layout.as_cut
    if kind == "tail board":
        rebate = [rebate_waste(layout, cut)] if layout.rebate else []
        bodies = [*rebate, *layout.counted(tail_board_waste(layout, cut))]
    else:
        bodies = [pin_board_waste(layout, cut, tail) for tail in layout.counted(layout.tails)]
    mitres = layout.counted(mitre_waste(layout, cut, kind))
    return [solid_from_faces(faces) for faces in (*bodies, *mitres)]


# --- a board of a box ------------------------------------------------------------------------------


def _names(box: BoxLayout, board: BoxBoard) -> list[str]:
    names = [
        f"{end_name(board.side, corner.name)}, {cut}"
        for corner in (board.up, board.down)
        for cut in _names_at_end(corner.turned, board.kind)
    ]
    return [*names, "groove"] if box.is_grooved(board.side) else names


def _bodies(box: BoxLayout, board: BoxBoard) -> list[Solid]:
    """In the board's frame, in the order of the names."""
    near, far = (_bodies_at_end(corner.turned, board.kind) for corner in (board.up, board.down))
    bodies = [*near, *(placed(body, board.turned_round) for body in far)]
    return [*bodies, _groove(box, board)] if box.is_grooved(board.side) else bodies


def _groove(box: BoxLayout, board: BoxBoard) -> Solid:
    """What the groove takes from a board whose sockets are cut. In a pin board it ends at their floors, and where those
    are hollow it begins below them."""
    groove, low = box.recipe.groove, board.up.low
    x0, x1 = groove.up - low, groove.top - low
    if board.kind == "tail board":
        near, far = (box.groove_reach(board, corner, corner.layout.as_cut) for corner in (board.up, board.down))
        return prism([(x0, -board.length - far), (x1, -board.length - far), (x1, near), (x0, near)], 0.0, groove.depth)
    near_floor, far_floor = (floor_as_far_as(corner.turned, groove.depth) for corner in (board.up, board.down))
    outline = [*((y, -board.length - z) for y, z in far_floor), *reversed(near_floor)]
    return placed(prism(outline, x0, x1), ACROSS)


ACROSS = Frame((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0))
"""From an outline in (Y, Z), raised along X, into the board's frame."""
