"""What a router needs to know about a joint: which cutters pass, what they leave in the corners, feeds and passes.

Pure arithmetic on a layout, lengths in mm. A round cutter of radius r in a corner of inside angle a touches both sides
r cot(a/2) from the corner and leaves an area of r^2 (cot(a/2) - (pi - a)/2). Both follow from the tangent triangle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

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
"""Wood left on the lines for the last round, on each side of the cutter. Common practice."""

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

CHIP_LOAD = {"hardwood": 0.001 * 25.4, "softwood": 0.002 * 25.4}
"""Chip load in mm a tooth: the low ends for a light router, of hardwood 0.001 to 0.003 in and softwood 0.002 to
0.004 in. Tables for industrial machines give three to five times as much. Thinner cutters take less, in proportion to
their diameter below 1/4 in: 1/8 in takes about half. Common practice."""


@dataclass(frozen=True)
class CornerRest:
    """What a round cutter leaves in one inside corner: how far it reaches along each side, and its area in mm2."""

    along: float
    area: float


@dataclass(frozen=True)
class Reach:
    """One cutter in one cut: `size` as it is sold, `ratio` the depth as a multiple of the diameter."""

    size: str
    diameter: float
    ratio: float
    passes: int
    rest: CornerRest
    chip_load: float

    @property
    def is_easy(self) -> bool:
        """Reaches without a long cutter."""
        return self.ratio <= EASY_REACH

    @property
    def feed_mm_min(self) -> float:
        """feed = rpm x flutes x chip load, in mm a minute."""
        return SPINDLE_RPM * FLUTES * self.chip_load


@dataclass(frozen=True)
class Cut:
    """The cut of one board: the narrowest opening that a cutter must pass, with wood left on both lines (None where
    every opening is open to the side); the depth; the number of acute inside corners and their angle; and the cutters
    that pass, thickest first."""

    opening: float | None
    depth: float
    acute_corners: int
    corner_rad: float
    passing: tuple[Reach, ...]

    @property
    def best(self) -> Reach | None:
        """The thickest cutter that passes and is not too thin for the depth."""
        return next((reach for reach in self.passing if reach.ratio <= LONGEST_REACH), None)


def corner_rest(diameter: float, corner_rad: float) -> CornerRest:
    """What a round cutter leaves in an inside corner of this angle."""
    radius = diameter / 2
    cotangent = 1.0 / math.tan(corner_rad / 2)
    return CornerRest(radius * cotangent, radius**2 * (cotangent - (math.pi - corner_rad) / 2))


def tail_board_cut(layout: Layout) -> Cut:
    """The tail board lies flat and is cut through. It is narrowest to pass at the raw end."""
    inner = layout.closed_gaps(layout.as_cut.tail_end)
    board = layout.recipe.tail_board
    return _cut(layout, min(inner, default=None), board.thickness, 2 * len(layout.tails), board.wood)


def pin_board_cut(layout: Layout) -> Cut:
    """The pin board stands upright and is cut from its end. Its sockets are narrowest at the inside face."""
    opening = min(right - left for left, right in (layout.socket_edges(tail, 0.0) for tail in layout.tails))
    corners = 2 * len(layout.tails) if layout.is_half_blind else 0
    return _cut(layout, opening, layout.as_cut.pin_end, corners, layout.recipe.pin_board.wood)


def _cut(layout: Layout, opening: float | None, depth: float, corners: int, wood: Wood) -> Cut:
    angle = math.pi / 2 - layout.slope_rad
    passing = tuple(
        Reach(
            size=size,
            diameter=diameter,
            ratio=depth / diameter,
            passes=math.ceil(depth / (PASS_SHARE * diameter) - 1e-9),
            rest=corner_rest(diameter, angle),
            chip_load=CHIP_LOAD[wood.kind] * min(1.0, diameter / REFERENCE_DIAMETER),
        )
        for size, diameter in sorted(CUTTERS.items(), key=lambda item: -item[1])
        if opening is None or diameter + 2 * ALLOWANCE <= opening
    )
    return Cut(opening, depth, corners, angle, passing)
