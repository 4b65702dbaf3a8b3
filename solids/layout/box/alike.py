"""Which parts of a box are alike, so that they are one piece, turned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from solids.base.geometry import IDENTITY, Frame, Vector, as_compared
from solids.layout.box.fitted.bodies import Body, Fitted, extent_of
from solids.layout.box.fitted.every import cuts_in, fitting_of, strips_of
from solids.layout.box.model import BoardKind, BoxBoard, BoxLayout
from solids.recipe.tables.resolved import Board, Recipe
from solids.wood import Wood


def board_key(box: BoxLayout, board: BoxBoard, *, finished: bool = False) -> tuple[object, ...]:
    """A key for a board, as cut or finished: boards with equal keys are the same part, turned."""
    ends = tuple(
        (
            replace(corner.turned.recipe, title="", choices=(), notices=(), tail_board=shape, pin_board=mate),
            (corner.below, corner.above) if board.kind == "tail board" else (0.0, 0.0),
            box.groove_reach(board, corner, corner.layout.as_cut) if box.is_grooved(board.side) else None,
        )
        for corner in (board.up, board.down)
        for shape, mate in [_with_plain_mate(corner.turned.recipe, board.kind)]
    )
    cuts = tuple(_from_its_end((cut.tool, cut.wood), board) for cut in cuts_in(box, board.side, finished=finished))
    cuts += tuple(_from_its_end((strip.wood,), board) for strip in strips_of(box, board.side))
    return board.kind, board.board, board.width, board.low, board.length, box.is_grooved(board.side), ends, cuts


def _from_its_end(bodies: Sequence[Body], board: BoxBoard) -> tuple[object, ...]:
    """Where bodies lie in a board, to far less than any tool can do."""
    back = board.up.rows.inverse()
    return tuple(_corners(body.moved(back)) for body in bodies)


def _with_plain_mate(recipe: Recipe, kind: BoardKind) -> tuple[Board, Board]:
    """The board and its mate, the mate without what does not shape the board: wood, length, and how even it is."""
    plain = Wood("", "", "hardwood", 1.0, "", "")
    tails, pins = recipe.tail_board, recipe.pin_board
    if kind == "tail board":
        return tails, replace(pins, wood=plain, sawn="flat", length=0.0, uneven=0.0, cup=0.0)
    return replace(tails, wood=plain, sawn="flat", length=0.0, uneven=0.0, cup=0.0), pins


# --- what no dovetail holds ------------------------------------------------------------------------


def fitted_alike(box: BoxLayout) -> dict[str, tuple[str, Frame]]:
    """For each part that no dovetail holds, the first that is alike, which may be itself, and the motion from the place
    of that one to its own. A part that lies in a machine is alike another too that lies on its other face or edge."""
    return box.once(_fitted_alike)


def _fitted_alike(box: BoxLayout) -> dict[str, tuple[str, Frame]]:
    found: dict[str, tuple[str, Frame]] = {}
    first: dict[tuple[object, ...], Fitted] = {}
    for part in fitting_of(box).parts:
        ways = [(lies, _fitted_key(part, lies)) for lies in _ways_to_lie(part)]
        like = next(((first[key], lies) for lies, key in ways if key in first), None)
        if like is None:
            first[ways[0][1]] = part
            found[part.name] = part.name, IDENTITY
        else:
            found[part.name] = like[0].name, like[0].lying.then(like[1].inverse())
    return found


_HALF_TURNS: tuple[Vector, ...] = ((-1.0, -1.0, 1.0), (-1.0, 1.0, -1.0), (1.0, -1.0, -1.0))
"""Of each axis, whether it points the other way after a half turn about one of the three."""


def _ways_to_lie(part: Fitted) -> Iterator[Frame]:
    """As it lies in a machine, and in the same room after half a turn."""
    lying = part.lying
    yield lying
    long, wide, thick = extent_of([body.moved(lying) for body in part.bodies]).size
    for x, y, z in _HALF_TURNS:
        # A block from 0 to `long`, from -`wide` to 0 and from -`thick` to 0 takes its own place again.
        back = (long if x < 0 else 0.0, -wide if y < 0 else 0.0, -thick if z < 0 else 0.0)
        yield lying.then(Frame.of((x, 0.0, 0.0), (0.0, y, 0.0), (0.0, 0.0, z), back))


def _fitted_key(part: Fitted, lies: Frame) -> tuple[object, ...]:
    """A key for a part that lies in this way: its wood, which way the grain runs, and where its bodies and cuts are."""
    grain = part.row.grain if part.turn == IDENTITY else ""  # along its length, which lies along X
    places = (frozenset(_corners(body.moved(lies)) for body in bodies) for bodies in (part.bodies, part.cuts))
    return part.wood, grain, *places


def _corners(body: Body) -> frozenset[tuple[float, ...]]:
    """The corners of a body, to far less than any tool can do."""
    return frozenset(tuple(map(as_compared, point)) for point in (*body.start, *body.end))
