"""Cuts a joint into two boards that somebody else modelled. Their outsides may be bowed or tapered: the tools are those
of the joint, and reach past the wood.

Everything here is in the joint's frame (see `layout`). Both boards run through the corner: the tail board along Y, the
pin board along Z. What the joint needs of each is a block of wood behind a flat inside face.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from solids.base import tolerances as tol
from solids.base.errors import FaultError, InputError, KernelError
from solids.base.geometry import Point, Span
from solids.layout import Layout
from solids.layout.joint.shape.mitre import mitre_of
from solids.model.boards.waste import mitre_waste, pin_board_waste, rebate_waste, tail_board_waste
from solids.model.kernel import Solid, bounds, common, is_valid, solid_from_faces, volume_of
from solids.model.kernel.shaping import cut, prism, rest

AIR = 1.0
"""How far a tool reaches past the wood, so that no two faces lie in one plane (mm)."""

Tools = list[Solid]


@dataclass(frozen=True)
class _Board:
    """A board as it was modelled: `solid` in the joint's frame, `outside` the axis along its show face's normal (1 for
    Y, 2 for Z)."""

    name: str
    mate: str
    solid: Solid
    outside: int

    @cached_property
    def reach(self) -> tuple[Point, Point]:
        """The least and the greatest X, Y and Z."""
        return bounds(self.solid)

    @cached_property
    def farthest_out(self) -> float:
        """The greatest Y of its wood above Z = 0, where the joint is: of a leg, not that of its foot."""
        (x0, y0, _), (x1, y1, z1) = self.reach
        there = common(self.solid, _block((x0 - AIR, x1 + AIR), (y0 - AIR, y1 + AIR), (0.0, z1 + AIR)))
        return max(bounds(solid)[1][1] for solid in there)


def cut_both(layout: Layout, tail_board: Solid, pin_board: Solid) -> tuple[Solid, Solid]:
    """Both boards with the joint cut in, proved: they share no wood but that of tight flanks, and each has lost what
    its tools hold. InputError says which board lacks wood, has too much of it, or does not stay in one piece."""
    tails, pins = _Board("tail board", "pin board", tail_board, 2), _Board("pin board", "tail board", pin_board, 1)
    wrong = [said for board in (tails, pins) if (said := _unfit(layout, board))]
    if wrong := wrong or _too_far(layout, tails, pins):
        raise InputError("\n".join(wrong))
    tail_tools, pin_tools = _tail_tools(layout, tails), _pin_tools(layout, pins)
    cut_tails, cut_pins = _cut(tails, tail_tools), _cut(pins, pin_tools)
    _check_taken(tails, cut_tails, tail_tools)
    _check_taken(pins, cut_pins, pin_tools)
    # Tight flanks share wood on purpose, and how much depends on the shape of the boards. Cut without, they share none.
    exact = replace(layout, recipe=replace(layout.recipe, flank_gap=max(layout.recipe.flank_gap, 0.0)))
    mate = cut_pins if exact == layout else _cut(pins, _pin_tools(exact, pins))
    if shared := _total(common(cut_tails, mate)):
        raise FaultError(f"cutting a joint into two boards: they still share {shared:.6g} mm3")
    return cut_tails, cut_pins


def _total(solids: Iterable[Solid]) -> float:
    """Their volume together; 0 where it is no more than rounding leaves."""
    found = math.fsum(map(volume_of, solids))
    return found if found > tol.OVERLAP_ABSOLUTE else 0.0


def _block(x: Span, y: Span, z: Span) -> Solid:
    return prism([(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])], *z)


# --- whether the wood is there -----------------------------------------------------------------------


def _unfit(layout: Layout, board: _Board) -> str:
    """Why a board does not take the joint; "" where it does."""
    if not is_valid(board.solid) or volume_of(board.solid) <= 0:
        return f"the {board.name} is no valid solid; mend its model first, which is open or inside out somewhere"
    return _proud_of_inside(board) or _lacking(layout, board)


def _proud_of_inside(board: _Board) -> str:
    """Wood of a board on the wrong side of its inside face, where its mate comes to lie."""
    (x0, y0, z0), (x1, y1, z1) = board.reach
    x = (x0 - AIR, x1 + AIR)
    if board.outside == 2:
        room = (x, (0.0, y1 + AIR), (z0 - AIR, 0.0)) if z0 < 0 < y1 else None
    else:
        room = (x, (y0 - AIR, 0.0), (0.0, z1 + AIR)) if y0 < 0 < z1 else None
    found = common(board.solid, _block(*room)) if room else []
    if not _total(found):
        return ""
    most = max(-bounds(solid)[0][board.outside] for solid in found)
    return (
        f"the {board.name} stands out of its inside face ({'XYZ'[board.outside]} = 0 of `at`) by up to {_mm(most)} "
        f"where the {board.mate} comes to lie; that face must be flat there, and lie in that plane of `at`"
    )


def _lacking(layout: Layout, board: _Board) -> str:
    """Wood that tails, pins, laps and the hollows behind them need, and that is not there."""
    recipe, hollow = layout.recipe, -layout.recipe.undercut.depth
    low, high = layout.rebate, recipe.tail_board.thickness
    if board.outside == 2:
        need = _block((0.0, layout.width), (hollow, layout.depth), (low, high))
    else:
        need = _block((0.0, layout.width), (0.0, recipe.pin_board.thickness), (low + hollow, high))
    whole = volume_of(need)
    if abs(whole - math.fsum(map(volume_of, common(need, board.solid)))) <= tol.VOLUME_RELATIVE * whole:
        return ""
    missing = rest(need, [board.solid])
    return (
        f"the {board.name} lacks {_total(missing):.6g} mm3 of the wood that the joint needs there: {_spans([need])} of "
        f"`at`. What is missing lies at {_spans(missing)}. Move `at`, make the board larger, or choose a joint for "
        "smaller boards"
    )


def _spans(solids: Sequence[Solid]) -> str:
    """How far some solids reach together: "X 0 mm to 96 mm, Y 0 mm to 12 mm, Z 0 mm to 10 mm"."""
    ends = [bounds(solid) for solid in solids]
    lows, highs = ([pick(end[i][axis] for end in ends) for axis in range(3)] for i, pick in ((0, min), (1, max)))
    return ", ".join(f"{axis} {_mm(low)} to {_mm(high)}" for axis, low, high in zip("XYZ", lows, highs, strict=True))


def _mm(length: float) -> str:
    """A length as CadQuery's user works, in mm, to a thousandth."""
    return f"{round(length, 3) + 0.0:g} mm"


def _too_far(layout: Layout, tails: _Board, pins: _Board) -> list[str]:
    """Through, flanks go on straight beyond the joint, and meet: between two tails, and round a pin."""
    if layout.is_half_blind:
        return []
    wrong = []
    for board, widths, made in (
        (tails, layout.tail_board_gaps(layout.depth), "the gaps between its tails have"),
        (pins, layout.pin_widths(layout.depth), "one of its pins has"),
    ):
        end, most = board.farthest_out, _vanish(layout, widths)
        if end >= most - tol.LEAST_FEATURE:
            wrong.append(
                f"the {board.name} reaches out to Y = {_mm(end)} of `at`, and at {_mm(most)} {made} narrowed to "
                "nothing; end it before, or make the joint's pins wider"
            )
    return wrong


def _vanish(layout: Layout, widths: Sequence[float]) -> float:
    """The Y where the first of some widths at Y = d, in the order of the gaps, has narrowed to nothing; infinite where
    none narrows."""
    closing = ((width, sum(flank.lean for flank in gap.flanks)) for gap, width in zip(layout.gaps, widths, strict=True))
    return layout.depth + min((width / lean for width, lean in closing if lean > 0.0), default=math.inf)


# --- tools -------------------------------------------------------------------------------------------


def _past(end: float, most: float) -> float:
    """A little past the end of the wood, and not as far as `most`."""
    return end + min(AIR, (most - end) / 2)


def _tail_tools(layout: Layout, board: _Board) -> Tools:
    """Between the tails, and beside the joint where the board is wider; the rebate; what a mitre takes; in a half-blind
    joint also what the tails are too long."""
    (x0, _, z0), (x1, y1, z1) = board.reach
    d, top = layout.depth, z1 + AIR
    end = d if layout.is_half_blind else _past(max(y1, d), _vanish(layout, layout.tail_board_gaps(d)))
    state = replace(layout.as_cut, tail_end=end, show_z=top)
    tools = [solid_from_faces(faces) for faces in tail_board_waste(layout, state)]
    if layout.rebate:
        tools.append(solid_from_faces(rebate_waste(layout, state)))
    sawn = replace(state, tail_end=max(end, mitre_of(layout).y(top)) + AIR)
    tools += [solid_from_faces(faces) for faces in mitre_waste(layout, sawn, "tail board")]
    beside = [
        (low, high) for low, high in ((x0 - AIR, 0.0), (layout.width, x1 + AIR)) if high - low > AIR + tol.FACE_DEPARTS
    ]
    tools += [_block(x, (0.0, end), (0.0, top)) for x in beside]
    if layout.is_half_blind and y1 > d:
        tools.append(_block((x0 - AIR, x1 + AIR), (d, y1 + AIR), (z0 - AIR, top)))
    return tools


def _pin_tools(layout: Layout, board: _Board) -> Tools:
    """The sockets, out through the show face, or to the lap; and what a mitre takes."""
    out, most = layout.as_cut.show_y, _vanish(layout, layout.pin_widths(layout.depth))
    if not layout.is_half_blind:
        out = _past(board.farthest_out, most)
    top = board.reach[1][2] + AIR
    state = replace(layout.as_cut, pin_end=top, show_y=out)
    sawn = replace(state, pin_end=max(top, mitre_of(layout).z(out) + AIR))
    tools = [pin_board_waste(layout, state, tail) for tail in layout.tails]
    return [solid_from_faces(faces) for faces in (*tools, *mitre_waste(layout, sawn, "pin board"))]


# --- cutting, and what is proved of it ---------------------------------------------------------------


def _cut(board: _Board, tools: Tools) -> Solid:
    try:
        return cut(board.solid, tools)
    except KernelError as err:
        raise InputError(
            f"the {board.name} does not stay one valid solid when the joint is cut into it ({err}); it must run on "
            "behind the joint in one piece"
        ) from err


def _check_taken(board: _Board, done: Solid, tools: Tools) -> None:
    """FaultError unless a board has lost what its tools hold of it, and no more."""
    lost = volume_of(board.solid) - volume_of(done)
    held = math.fsum(volume_of(piece) for tool in tools for piece in common(board.solid, tool))
    left = math.fsum(volume_of(piece) for tool in tools for piece in common(done, tool))
    limit = tol.MODELLED_RELATIVE * volume_of(board.solid)
    if not (abs(lost - held) <= limit and left <= limit):
        raise FaultError(
            f"cutting a joint into the {board.name}: {lost:.6g} mm3 are gone, its tools hold {held:.6g}, and "
            f"{left:.6g} are left in them"
        )
