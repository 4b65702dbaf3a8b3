"""What a router needs to know about a joint: which cutter, what it leaves in the corners, feeds and passes.

One answer for the paths in the drawing, the note, its feeds, the setup sheet and the combs: `tail_board_cut` and
`pin_board_cut`. They look at the maker's own cutters, and at the usual sizes only where the recipe names none.

Pure arithmetic on a layout, lengths in mm. A round cutter of radius r in a corner of inside angle a touches both sides
r cot(a/2) from the corner and leaves an area of r^2 (cot(a/2) - (pi - a)/2). Both follow from the tangent triangle.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.geometry import PlanePoint, Span
from solids.base.lengths import CALIPER, FINEST, format_length, format_limits
from solids.base.messages import Units
from solids.layout import Layout
from solids.wood import Wood

CUTTERS: dict[str, float] = {
    **{f"{mm:g} mm": mm for mm in (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0)},
    **{
        f"{num}/{den} in": 25.4 * num / den
        for num, den in ((1, 16), (3, 32), (1, 8), (3, 16), (1, 4), (5, 16), (3, 8), (1, 2))
    },
}
"""Straight cutters by the size that shops sell them in, metric and inch. Common practice."""

ALLOWANCE = 0.3
"""Wood left on the lines for the last pass, on each side of the cutter. Common practice."""

RUN_OUT = 1.0
"""How far a cutter's edge goes past an open side."""

ROUGHING_LEAVES = 0.25
"""What the path of a roughing cutter leaves on the lines: a little less than what it passes by, or in the narrowest
opening its path would have no width."""

STEP_OVER = 0.45
"""How far one round of clearing lies from the next, as a share of the cutter's diameter: under a half, so that nothing
is left standing in the middle. Common practice."""

DEEPEST_BITE = 1.0
"""How deep a cutter that runs into a corner for relief may bite into both walls. More weakens the neck of a tail, and
shows. Common practice."""

EASY_REACH = 3.0
LONGEST_REACH = 5.0
"""Depth of cut as a multiple of the cutter's diameter: easy up to the first, with long cutters and light passes up to
the second, and beyond it the cutter bends. Common practice."""

PASS_SHARE = 0.5
"""Depth of one pass as a share of the cutter's diameter. Common practice."""

SPINDLE_RPM = 16_000
FLUTES = 2
"""A light router at a middling speed with the usual cutter: what the worked numbers are for. Common practice."""

REFERENCE_DIAMETER = 6.35
"""The 1/4 in cutter that the tables of chip loads are made for."""

CHIPS_HARD, CHIPS_SOFT = (0.001 * 25.4, 0.003 * 25.4), (0.002 * 25.4, 0.004 * 25.4)
"""Chip load in mm a tooth for a light router, from slow to usual, in hard and in soft wood. Common practice; the tables
of makers and sellers of cutters agree on it, and give three to five times as much for industrial machines. They say
hardwood and softwood; we go by `Wood.is_soft`, as basswood mills like pine. Thinner cutters take less, in proportion to
their diameter below 1/4 in."""

USUAL_CHISEL = {"mm": 3.0, "in": 25.4 / 8}
"""The narrowest chisel that most kits have, where the recipe names none. Common practice."""


@dataclass(frozen=True)
class CornerRemainder:
    """What a round cutter leaves in one inside corner: how far it reaches along each side, and its area in mm2."""

    along: float
    area: float


@dataclass(frozen=True)
class CutterFit:
    """One cutter in one cut: `size` as it is sold, or as the maker's units tell it; `ratio` the depth as a multiple of
    the diameter; `chip_loads` in mm a tooth, from slow to usual."""

    size: str
    diameter: float
    ratio: float
    passes: int
    rest: CornerRemainder
    chip_loads: tuple[float, float]

    @property
    def is_easy(self) -> bool:
        """Reaches without a long cutter."""
        return self.ratio <= EASY_REACH + tol.ROUNDING

    @property
    def reaches(self) -> bool:
        """Is not too thin for the depth."""
        return self.ratio <= LONGEST_REACH + tol.ROUNDING

    @property
    def feeds_mm_min(self) -> tuple[float, float]:
        """feed = rpm x flutes x chip load, in mm a minute, from slow to usual."""
        slow, usual = self.chip_loads
        return SPINDLE_RPM * FLUTES * slow, SPINDLE_RPM * FLUTES * usual


@dataclass(frozen=True)
class Run:
    """One cutter's part in a cut: the wood it leaves on the lines, 0 where it is the last to go round; and whether it
    runs into the sharp corners for relief."""

    cutter: CutterFit
    leaves: float
    relief: bool

    @property
    def is_last(self) -> bool:
        """Goes round right on the line."""
        return self.leaves == 0.0


@dataclass(frozen=True)
class Cut:
    """The cut of one board: the narrowest opening that a cutter must pass, with wood left on both lines (None where
    every opening is open to the side); the depth; the number of acute inside corners and the angle of the sharpest;
    whether the cutters are the maker's `own`; those that pass, thickest first; the width of the chisel for the corners,
    and whether relief of the corners is asked for."""

    board: str
    opening: float | None
    depth: float
    acute_corners: int
    corner_rad: float
    own: bool
    passing: tuple[CutterFit, ...]
    chisel: float
    relief_asked: bool

    @property
    def reaching(self) -> tuple[CutterFit, ...]:
        """The cutters that pass and are not too thin for the depth, thickest first."""
        return tuple(reach for reach in self.passing if reach.reaches)

    @property
    def best(self) -> CutterFit | None:
        """The thickest cutter that passes and is not too thin for the depth."""
        return next(iter(self.reaching), None)

    @property
    def finish(self) -> CutterFit | None:
        """The thinner cutter that goes round after the best one, where that leaves more in a corner than a chisel is
        wide: the thickest that leaves no more, else the one that leaves least. None where it is not needed, or where
        there is none."""
        best = self.best
        if best is None or not self.acute_corners or best.rest.along <= self.chisel:
            return None
        thinner = [reach for reach in self.reaching if reach.diameter < best.diameter]
        return next((reach for reach in thinner if reach.rest.along <= self.chisel), thinner[-1] if thinner else None)

    @property
    def runs(self) -> tuple[Run, ...]:
        """The cutters in the order of work; empty where none reaches."""
        best, finish = self.best, self.finish
        if best is None:
            return ()
        last = finish or best
        bites_little = relief_bite(last.diameter, self.corner_rad) <= DEEPEST_BITE
        last_round = Run(last, 0.0, self.relief_asked and bites_little)
        return (Run(best, ROUGHING_LEAVES, relief=False), last_round) if finish else (last_round,)

    @property
    def further_rounds(self) -> int:
        """How many rounds the last cutter takes inside its round along the walls, where a thicker one went before: a
        round cutter's edge is r (1 - sin(a/2)) from both walls where it is nearest the corner."""
        if not self.finish or not self.best:
            return 0
        nearest = self.best.diameter / 2 * (1.0 - math.sin(self.corner_rad / 2)) + ROUGHING_LEAVES
        return max(0, math.ceil((nearest - self.finish.diameter) / (STEP_OVER * self.finish.diameter)))

    @property
    def widest_passing(self) -> float:
        """The diameter that a cutter may have; infinite where every opening is open to the side."""
        return math.inf if self.opening is None else self.opening - 2 * ALLOWANCE

    @property
    def thinnest_reaching(self) -> float:
        """The diameter that a cutter must have for this depth."""
        return self.depth / LONGEST_REACH


def corner_remainder(diameter: float, corner_rad: float) -> CornerRemainder:
    """What a round cutter leaves in an inside corner of this angle."""
    radius = diameter / 2
    cotangent = 1.0 / math.tan(corner_rad / 2)
    return CornerRemainder(radius * cotangent, radius**2 * (cotangent - (math.pi - corner_rad) / 2))


def relief_bite(diameter: float, corner_rad: float) -> float:
    """How deep a cutter that runs into a corner until it touches it cuts into both walls: r - r sin(a/2)."""
    return diameter / 2 * (1.0 - math.sin(corner_rad / 2))


def tail_board_cut(layout: Layout) -> Cut:
    """The tail board lies flat and is cut through, from its inside face or the floor of its rebate. Between flanks that
    lean alike on both sides it is narrowest to pass at the raw end."""
    end, board = layout.as_cut.tail_end, layout.recipe.tail_board
    openings = [_apart(gap.span(0.0), gap.span(end), end) for gap in layout.gaps if layout.is_closed(gap)]
    return _cut(layout, "tail board", min(openings, default=None), board.thickness, _acute_corners(layout), board.wood)


def pin_board_cut(layout: Layout) -> Cut:
    """The pin board stands upright and is cut from its end. Between flanks that lean alike on both sides its sockets
    are narrowest at the inside face. That of a half tail is open to the side."""
    d, board = layout.depth, layout.recipe.pin_board
    closed = [
        (layout.socket_edges(tail, 0.0), layout.socket_edges(tail, d)) for tail in layout.tails if not tail.is_half
    ]
    opening = min((_apart(*edges, d) for edges in closed), default=None)
    corners = _acute_corners(layout) if layout.is_half_blind else 0
    return _cut(layout, "pin board", opening, layout.as_cut.pin_end - layout.rebate, corners, board.wood)


def _acute_corners(layout: Layout) -> int:
    """One for each flank that leans into its tail; at a square one the corner is square, and behind one that runs
    outward it is blunt."""
    return sum(flank.lean > 0 for flank in layout.flanks)


def _apart(one: Span, other: Span, height: float) -> float:
    """How far the two walls of an opening are from each other where they are nearest, from where it is open at two
    planes that are `height` apart."""
    (left, right), (left_end, right_end) = one, other
    return min(
        _from_wall((left, 0.0), right, right_end, height),
        _from_wall((left_end, height), right, right_end, height),
        _from_wall((right, 0.0), left, left_end, height),
        _from_wall((right_end, height), left, left_end, height),
    )


def _from_wall(point: PlanePoint, foot: float, end: float, height: float) -> float:
    """How far a point is from a wall that runs from (`foot`, 0) to (`end`, `height`)."""
    x, y = point[0] - foot, point[1]
    run = end - foot
    share = min(max((x * run + y * height) / (run**2 + height**2), 0.0), 1.0)
    return math.hypot(x - share * run, y - share * height)


def groove_cutter(cutters: Sequence[float], width: float, depth: float) -> float | None:
    """The diameter of the thickest cutter that goes into a groove and is not too thin for its depth; None where none
    does."""
    thin, thick = depth / LONGEST_REACH - tol.ROUNDING, width + tol.ROUNDING
    return max((each for each in cutters if thin <= each <= thick), default=None)


def cuts(layout: Layout) -> tuple[Cut, Cut]:
    """The cut of the tail board and that of the pin board."""
    return tail_board_cut(layout), pin_board_cut(layout)


def _cut(layout: Layout, board: str, opening: float | None, depth: float, corners: int, wood: Wood) -> Cut:
    angle = math.pi / 2 - math.atan(1.0 / layout.ratios[0])
    kit, units = layout.recipe.kit, layout.recipe.units
    passing = tuple(
        CutterFit(
            size=size,
            diameter=diameter,
            ratio=depth / diameter,
            passes=math.ceil(depth / (PASS_SHARE * diameter) - 1e-9),
            rest=corner_remainder(diameter, angle),
            chip_loads=_chip_loads(wood, diameter),
        )
        for size, diameter in _cutters(layout)
        if opening is None or diameter + 2 * ALLOWANCE <= opening + tol.ROUNDING
    )
    chisel = min(kit.chisels, default=USUAL_CHISEL[units])
    relief = layout.recipe.paper.corner_relief
    return Cut(board, opening, depth, corners, angle, bool(kit.cutters), passing, chisel, relief)


def _cutters(layout: Layout) -> list[tuple[str, float]]:
    """Sizes and diameters of the maker's cutters, else of the usual ones; thickest first."""
    units = layout.recipe.units
    own = [(format_length(diameter, units, FINEST), diameter) for diameter in set(layout.recipe.kit.cutters)]
    return sorted(own or CUTTERS.items(), key=lambda item: -item[1])


def _chip_loads(wood: Wood, diameter: float) -> tuple[float, float]:
    slow, usual = CHIPS_SOFT if wood.is_soft else CHIPS_HARD
    share = min(1.0, diameter / REFERENCE_DIAMETER)
    return slow * share, usual * share


def why_none(cut: Cut, units: Units) -> tuple[str, str]:
    """Why no cutter is told for a board, without a full stop, and what would do."""
    least, most = cut.thinnest_reaching, min(cut.widest_passing, tol.THICKEST_CUTTER)
    whose = "of your cutters" if cut.own else "of the usual cutters"
    if cut.passing:
        deep = format_length(cut.depth, units, CALIPER)
        what = f"Those {whose} that pass the {cut.board}'s openings are too thin for a cut {deep} deep"
    else:
        what = f"None {whose} passes the {cut.board}'s openings with wood left on both lines"
    if least > most + tol.ROUNDING or most < tol.THINNEST_CUTTER - tol.ROUNDING:
        wider = "widen joint.pin" if cut.board == "tail board" else "take fewer tails"
        return what, f"none can, so saw it by hand or {wider}"
    thin, thick = format_limits(least, most, units)
    if cut.passing:
        return what, f"one of {thin} or more, and no more than {thick}, would do"
    return what, f"one of {thick} or less, and no less than {thin}, would do"
