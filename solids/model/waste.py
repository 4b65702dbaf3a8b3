"""Plain boards, sawn to size, and the wood to take away from each: one body for every cut that has a name. A board less
its waste is the board as cut, which `proof/waste.py` proves."""

from __future__ import annotations

from dataclasses import dataclass
from functools import singledispatch

from solids.base.geometry import IDENTITY, Frame, PlanePoint, Slab
from solids.layout import Layout
from solids.layout.box.alike import board_key
from solids.layout.box.fitted.every import cuts_in, strips_of
from solids.layout.box.model import BoardKind, BoxBoard, BoxCorner, BoxLayout
from solids.layout.setups import end_name
from solids.model.boards.waste import floor_as_far_as, mitre_waste, pin_board_waste, rebate_waste, tail_board_waste
from solids.model.kernel import Face, Solid, solid_from_faces
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
        blank = _with_strips(plan, board, _blank(board.up.turned, board.kind, low))
        boards.append(_sawn(side, shape, blank, cuts, board.board, board.up.rows))
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


def _with_strips(box: BoxLayout, board: BoxBoard, blank: Slab) -> Slab:
    """The sawn board with what it has beyond the box."""
    back = board.up.rows.inverse()
    return Slab.around([blank, *(strip.wood.moved(back).extent for strip in strips_of(box, board.side))])


# --- one end of a board ----------------------------------------------------------------------------


def _cuts_at_end(layout: Layout, kind: BoardKind) -> Cuts:
    """In the joint's frame, in the order in which a maker counts."""
    return list(zip(_names_at_end(layout, kind), _bodies_at_end(layout, kind), strict=True))


def _names_at_end(layout: Layout, kind: BoardKind) -> list[str]:
    mitres = [
        f"mitre at the {edge} edge"
        for edge, wide in zip(("reference", "other"), layout.recipe.mitre, strict=True)
        if wide
    ]
    if kind == "tail board":
        sockets = [f"socket {number}" for number in range(1, len(layout.gaps) + 1)]
        return [*sockets, *mitres, *(["rebate"] if layout.rebate else [])]
    return [*(f"socket for tail {tail.number}" for tail in layout.counted(layout.tails)), *mitres]


def _bodies_at_end(layout: Layout, kind: BoardKind) -> list[Solid]:
    state = layout.as_cut
    bodies: list[list[Face]] = []
    if kind == "tail board":
        bodies += layout.counted(tail_board_waste(layout, state))
    else:
        bodies += (pin_board_waste(layout, state, tail) for tail in layout.counted(layout.tails))
    bodies += layout.counted(mitre_waste(layout, state, kind))
    if kind == "tail board" and layout.rebate:
        bodies.append(rebate_waste(layout, state))
    return [solid_from_faces(faces) for faces in bodies]


# --- a board of a box ------------------------------------------------------------------------------


def _names(box: BoxLayout, board: BoxBoard) -> list[str]:
    names = [
        f"{end_name(board.side, corner.name)}, {cut}"
        for corner in (board.up, board.down)
        for cut in _names_at_end(corner.turned, board.kind)
    ]
    names += [box.groove_name] if box.is_grooved(board.side) else []
    names += (strip.cut for strip in strips_of(box, board.side))
    return [*names, *(each.name for each in cuts_in(box, board.side))]


def _bodies(box: BoxLayout, board: BoxBoard) -> list[Solid]:
    """In the board's frame, in the order of the names."""
    near, far = (_bodies_at_end(corner.turned, board.kind) for corner in (board.up, board.down))
    bodies = [*near, *(placed(body, board.turned_round) for body in far)]
    bodies += [_groove(box, board)] if box.is_grooved(board.side) else []
    back = board.up.rows.inverse()
    bodies += (solid_from_faces(strip.waste.moved(back).faces) for strip in strips_of(box, board.side))
    return [*bodies, *(solid_from_faces(each.wood.moved(back).faces) for each in cuts_in(box, board.side))]


def _groove(box: BoxLayout, board: BoxBoard) -> Solid:
    """What the groove takes from a board whose other cuts are made: an outline in (Y, Z), along X. In a pin board it
    ends at the socket floors, and where those are hollow it begins below them."""
    groove, low = box.recipe.groove, board.up.low
    near, far = (_groove_end(box, board, corner) for corner in (board.up, board.down))
    if board.kind == "tail board":
        outline = [*((-board.length - y, z) for y, z in reversed(far)), *near]
    else:
        outline = [*((y, -board.length - z) for y, z in far), *reversed(near)]
    return placed(prism(outline, groove.up - low, groove.top - low), ACROSS)


def _groove_end(box: BoxLayout, board: BoxBoard, corner: BoxCorner) -> list[PlanePoint]:
    """The end of a groove's outline in (Y, Z) of the joint there, from the inside face of the board to the groove's
    depth."""
    deep, layout = box.recipe.groove.depth, corner.turned
    reach = box.groove_reach(board, corner, layout.as_cut)
    if box.in_half_pin(corner):
        return [(0.0, reach), (deep, reach)] if board.kind == "pin board" else [(0.0, 0.0), (0.0, deep)]
    if board.kind == "pin board":
        return [(0.0, layout.rebate), (deep, reach)] if box.is_mitred(corner) else floor_as_far_as(layout, deep)
    step = [(0.0, 0.0), (0.0, layout.rebate)] if layout.rebate else [(0.0, 0.0)]
    if deep <= layout.rebate:
        return [(0.0, 0.0), (0.0, deep)]
    if box.is_mitred(corner):
        return [*step, (reach, deep)]
    return [*(step if layout.rebate else []), (reach, layout.rebate), (reach, deep)]


ACROSS = Frame((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0))
"""From an outline in (Y, Z), raised along X, into the board's frame."""
