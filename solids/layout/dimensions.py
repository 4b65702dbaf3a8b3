"""The dimensions of a board as cut, as a maker sets and marks them, each between two faces by name (see
`joint/faces.py`). A STEP file carries them for designers. Pure arithmetic, lengths in mm, angles in radians.

Where the second end is a pair of names it is the edge that both faces share: a flank leans, so that a place on it is
marked where it meets the raw end of the tail board, or the inside face of the pin board.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solids.layout.box.fitted.lip import FRONT, LIP_BACK, LIP_EDGE
from solids.layout.box.model import BoxBoard, BoxLayout
from solids.layout.joint.faces import (
    FAR_END,
    INSIDE,
    OTHER_EDGE,
    RAW_END,
    REFERENCE_EDGE,
    SHOULDERS,
    SHOW,
    PinBoardFaces,
)
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.layout.joint.shape.model import Layout


@dataclass(frozen=True)
class Dimension:
    """What is measured, how much it is, and from which face to which other, or to which edge between two. `is_angle`
    tells an angle in radians from a length in mm."""

    what: str
    value: float
    start: str
    end: tuple[str, ...]
    is_angle: bool = False


def board_dimensions(plan: Layout | BoxLayout, board: str) -> tuple[Dimension, ...]:
    """The dimensions of a board as cut, by its name in the piece; none of any other part."""
    if isinstance(plan, BoxLayout):
        found = next((one for side, one in plan.boards.items() if side == board), None)
        return (*_of_box(found), *(_of_lip(plan) if board == FRONT else ())) if found else ()
    is_tail_board = board == "tail board"
    own, state = plan.recipe.tail_board if is_tail_board else plan.recipe.pin_board, plan.as_cut
    width = plan.width + (sum(plan.strips) if is_tail_board else 0.0)
    reach = state.tail_end if is_tail_board else state.pin_end
    length = Dimension("length", own.length + reach, FAR_END, (_end(plan, is_tail_board=is_tail_board),))
    return (*_section(own.thickness, width), length, *_of_end(plan, is_tail_board=is_tail_board))


def _of_box(board: BoxBoard) -> Iterator[Dimension]:
    """Both ends of a board of a box are dimensioned from its reference edge; its length runs from end to end."""
    yield from _section(board.board.thickness, board.width)
    is_tail_board = board.kind == "tail board"
    corners = board.up, board.down
    ends = [f"{corner.name}, {_end(corner.turned, is_tail_board=is_tail_board)}" for corner in corners]
    yield Dimension("length", board.end_to_end(finished=False), ends[0], (ends[1],))
    for corner in corners:
        yield from _of_end(corner.turned, is_tail_board=is_tail_board, prefix=f"{corner.name}, ")


def _of_lip(box: BoxLayout) -> Iterator[Dimension]:
    """How thick a lip is, and how far it reaches past the edges and the ends behind it."""
    lip, behind = box.recipe.lip, {"bottom": REFERENCE_EDGE, "top": OTHER_EDGE}
    if lip:
        yield Dimension("thickness of the lip", lip.thickness, SHOW, (LIP_BACK,))
    for side, wide in lip:
        face = behind.get(side, f"front {side}, {RAW_END}")
        yield Dimension(f"lip at the {side}", wide, face, (LIP_EDGE.format(side),))


def _section(thickness: float, width: float) -> Iterator[Dimension]:
    yield Dimension("thickness", thickness, INSIDE, (SHOW,))
    yield Dimension("width", width, REFERENCE_EDGE, (OTHER_EDGE,))


def _end(layout: Layout, *, is_tail_board: bool) -> str:
    """The first of the faces at the raw end of a board."""
    if is_tail_board:
        return "end of tail 1"
    middle = sum(layout.counted(layout.gap_spans(layout.depth))[0]) / 2
    return RAW_END if layout.is_half_blind else f"end of {PinBoardFaces(layout).pin((middle, layout.depth, 0.0))}"


def _of_end(layout: Layout, *, is_tail_board: bool, prefix: str = "") -> Iterator[Dimension]:
    """The gauge settings, the slope, and the places of the flanks of one end."""
    return (_of_tails if is_tail_board else _of_pins)(layout, prefix)


def _of_tails(layout: Layout, prefix: str) -> Iterator[Dimension]:
    state = layout.as_cut
    end = f"{prefix}{_end(layout, is_tail_board=True)}"
    shoulder = SHOULDERS if layout.rebate else "shoulder 1"
    yield Dimension(f"{prefix}gauge for the baseline", state.tail_end, f"{prefix}{shoulder}", (end,))
    if layout.rebate:
        yield Dimension(f"{prefix}depth of the rebate", layout.rebate, INSIDE, (f"{prefix}{INSIDE} of tail 1",))
    yield from _mitres(layout, prefix, mitre_of(layout).on_tail_board)
    yield from _slopes(layout, prefix)
    # The tail board may run on beside the joint at the reference edge, from which the pin board's own is measured.
    for name, tail, x in _flanks(layout, state.tail_end, socket=False):
        what = f"{prefix}flank {name} on the raw end"
        faces = (f"{prefix}flank {name}", f"{prefix}end of tail {tail}")
        yield Dimension(what, x + layout.below, REFERENCE_EDGE, faces)


def _of_pins(layout: Layout, prefix: str) -> Iterator[Dimension]:
    end = f"{prefix}{_end(layout, is_tail_board=False)}"
    deep = layout.as_cut.pin_end - layout.rebate
    yield Dimension(f"{prefix}gauge for the baseline", deep, f"{prefix}socket floor 1", (end,))
    if layout.is_half_blind:
        yield Dimension(f"{prefix}gauge for the sockets", layout.depth, INSIDE, (f"{prefix}lap 1",))
    yield from _mitres(layout, prefix, mitre_of(layout).on_pin_board)
    yield from _slopes(layout, prefix)
    for name, _, x in _flanks(layout, 0.0, socket=True):
        what = f"{prefix}flank {name} at the inside face"
        yield Dimension(what, x, REFERENCE_EDGE, (f"{prefix}flank {name}", INSIDE))


def _mitres(layout: Layout, prefix: str, angle: float) -> Iterator[Dimension]:
    """The angle between each mitre and the inside face."""
    names = PinBoardFaces(layout)
    for low, high in mitred_edges(layout):
        mitre = names.mitre((low + high) / 2)
        yield Dimension(f"{prefix}angle of the {mitre}", angle, INSIDE, (f"{prefix}{mitre}",), is_angle=True)


def _slopes(layout: Layout, prefix: str) -> Iterator[Dimension]:
    """The angle between a flank and the reference edge, both planes: of the first flank where all have one slope, else
    of each that is not square."""
    flanks = [(_name(layout, flank), flank) for flank in layout.counted(layout.flanks)]
    if len(layout.ratios) == 1:
        (name, first), *_ = flanks
        yield Dimension(f"{prefix}slope", first.slope_rad, REFERENCE_EDGE, (f"{prefix}flank {name}",), is_angle=True)
        return
    for name, flank in flanks:
        if flank.slope_rad:
            what = f"{prefix}slope of flank {name}"
            yield Dimension(what, abs(flank.slope_rad), REFERENCE_EDGE, (f"{prefix}flank {name}",), is_angle=True)


def _flanks(layout: Layout, y: float, *, socket: bool) -> Iterator[tuple[str, int, float]]:
    """The flanks at Y = y in the order in which a maker counts them: name, tail, distance from the reference edge."""
    for flank in layout.counted(layout.flanks):
        (x,) = layout.measured(layout.socket_x(flank, y) if socket else flank.x(y))
        yield _name(layout, flank), flank.tail, x


def _name(layout: Layout, flank: Flank) -> str:
    """ "3 left", left being toward the reference edge."""
    return f"{flank.tail} {'left' if (flank.side < 0) != layout.mirrored else 'right'}"
