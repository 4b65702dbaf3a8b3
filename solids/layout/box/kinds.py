"""The kinds of corner of a box, each once, as used for papers and aids; and which boards are alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.lengths import CALIPER, format_both
from solids.layout.box.model import BoardKind, BoxBoard, BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.placing import place
from solids.layout.joint.shape.states import GrooveHere, Standing
from solids.recipe.completing.box_keys import keys_of
from solids.recipe.tables.box_resolved import CORNERS, SIDES, CornerName, Side
from solids.recipe.tables.resolved import Board, Recipe
from solids.wood import Wood


def box_headline(box: BoxLayout) -> str:
    """The box in one sentence."""
    long, wide = (format_both(size, box.recipe.units, CALIPER) for size in box.outside)
    height = format_both(box.recipe.height, box.recipe.units, CALIPER)
    pair = "left and right" if box.recipe.tails_on_sides else "front and back"
    return f"Outside {long} long, {wide} wide, {height} high; the tails are on {pair}."


def kinds_of_corner(box: BoxLayout) -> list[tuple[CornerName, ...]]:
    """The names of the corners, grouped by kind. A joint that is not its own mirror image counts as another kind at the
    corners where it is the other way round."""
    kinds: dict[tuple[Recipe, bool | None], list[CornerName]] = {}
    for name, corner in box.corners.items():
        hand = None if corner.is_symmetrical else corner.upright
        plain = replace(corner.layout.recipe, title="", choices=(), notices=())
        kinds.setdefault((plain, hand), []).append(name)
    return [tuple(names) for names in kinds.values()]


def kind_title(names: Sequence[str]) -> str:
    """ "front left and front right", "all four corners"."""
    return "all four corners" if len(names) == len(CORNERS) else and_so_on(names)


def shown_layout(box: BoxLayout, names: tuple[CornerName, ...]) -> Layout:
    """The layout of a kind of corner for papers and aids: in the right-handed frame, with whole boards, and with its
    place in the box."""
    first, kind = box.corners[names[0]], kind_title(names)
    title = f"{box.recipe.title[: tol.TITLE_LONGEST - len(kind) - 2]}, {kind}"
    right = tuple(name for name in names if not box.corners[name].upright)
    tail_boards = (side for name in names for side in SIDES if side in name and box.kind_of(side) == "tail board")
    # A joint that occurs both ways round is its own mirror image. It is shown with the reference edge on the left.
    layout = place(replace(first.layout.recipe, title=title), mirrored=right == names)
    return replace(
        layout,
        below=first.below,
        groove=groove_here(box, names),
        standing=Standing(names, right, tuple(dict.fromkeys(tail_boards))),
        keys=tuple(keys_of(box.recipe, names).items()),
    )


def groove_here(box: BoxLayout, names: tuple[CornerName, ...]) -> GrooveHere | None:
    """The groove of a kind of corner, in the frame that its papers have."""
    groove, first = box.recipe.groove, box.corners[names[0]]
    sides: dict[BoardKind, Side] = {box.kind_of(side): side for side in SIDES if side in first.name}
    grooved = {kind: box.is_grooved(side) for kind, side in sides.items()}
    if not any(grooved.values()):
        return None
    low, high = first.layout.recipe.width - box.recipe.height, box.recipe.height
    spans = {
        box.corners[name].upright: (groove.up + low, groove.top + low)
        if box.corners[name].upright
        else (high - groove.top, high - groove.up)
        for name in names
    }
    tails = box.boards[sides["tail board"]]
    reach = box.groove_reach(tails, first, first.layout.as_cut) if grooved["tail board"] else None
    ordered = dict.fromkeys(spans[hand] for hand in (True, False) if hand in spans)
    return GrooveHere(groove.up, groove.width, groove.depth, tuple(ordered), reach, grooved["pin board"])


def and_so_on(names: Sequence[str]) -> str:
    """ "front left", "front left and back left", "front left, front right and back left"."""
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def board_key(box: BoxLayout, board: BoxBoard) -> tuple[object, ...]:
    """A key for a board: boards with equal keys are the same part, turned."""
    ends = tuple(
        (
            replace(corner.turned.recipe, title="", choices=(), notices=(), tail_board=shape, pin_board=mate),
            corner.below if board.kind == "tail board" else 0.0,
            box.groove_reach(board, corner, corner.layout.as_cut) if box.is_grooved(board.side) else None,
        )
        for corner in (board.up, board.down)
        for shape, mate in [_with_plain_mate(corner.turned.recipe, board.kind)]
    )
    return board.kind, board.board, board.width, board.low, board.length, box.is_grooved(board.side), ends


def _with_plain_mate(recipe: Recipe, kind: BoardKind) -> tuple[Board, Board]:
    """The board and its mate, the mate without what does not shape the board: wood, length, and how even it is."""
    plain = Wood("", "", "hardwood", 1.0, "", "")
    tails, pins = recipe.tail_board, recipe.pin_board
    if kind == "tail board":
        return tails, replace(pins, wood=plain, sawn="flat", length=0.0, uneven=0.0, cup=0.0)
    return replace(tails, wood=plain, sawn="flat", length=0.0, uneven=0.0, cup=0.0), pins
