"""A screening of what a joint holds, to compare layouts with: never a design value.

The load is one that pulls the tail board out of the pin board along its own length (-Y), in newtons. Strengths are
averages of small clear pieces (Wood Handbook, FPL-GTR-282, 2021), without any factor of safety. Lengths are in mm,
strengths in MPa, which is N/mm2. With n tails, slope 1:N, depth d and the tail board's thickness t:

- glue: the flanks' area times the shear strength of the weaker wood. Glue is taken to be as strong as the wood.
- necks: their area times the bending strength, which stands for tension along the grain: a low estimate where no
  tension data are printed (Wood Handbook chapter 5, from memory).
- corners: each flared corner is a wedge that its flank pushes along the grain. Every layer of it, of a height u across
  the grain and a length N u along it, shears with p = P / (2 n t d) and is bent open with 3 p / N. Both add up against
  the shear strength and the tension across the grain: P = 2 n t d / (1/f_v + 3/(N f_t)). Steeper is weaker.
- crushing: the flanks' area times the compression across the grain of the softer wood, times sin + mu cos.
- half pins: each is a beam that its flank pushes outward; it splits along the grain when its shear reaches 3 F/(2 d h).

Without glue the flanks carry the load by bearing; with glue the flanks shear before they bear.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.layout import Layout
from solids.wood import Strength

FRICTION = 0.4
"""Dry, smooth wood on wood. From memory: the Wood Handbook, chapter 4, gives 0.3 to 0.5."""

CROSS_TENSION_SHARE = 0.25
"""Tension across the grain as a share of the shear along it: of 28 rows of the Wood Handbook, FPL-GTR-282, Table 5-3b,
that print both, 27 have more (redwood, the next, 240 of 940 lbf/in2); western redcedar has 220 of 990."""

ASSUMPTIONS = (
    "Averages of small clear pieces, no factor of safety, straight grain, a pull along the tail board, sizes as cut. "
    "Compare layouts with these figures. Do not design with them."
)


@dataclass(frozen=True)
class WeakPart:
    """One way to fail, and the pull in newtons at which this screening expects it."""

    name: str
    pull_n: float


@dataclass(frozen=True)
class Screening:
    """What a joint holds with glue and without. `glue_area` (mm2) is long grain to long grain. `glued` and `dry` hold
    the ways to fail, weakest first; both are empty, and `half_pin_push_n` None, where a wood's strength is not known.
    `half_pin_push_n` is the outward push that splits a half pin."""

    glue_area: float
    glued: tuple[WeakPart, ...]
    dry: tuple[WeakPart, ...]
    half_pin_push_n: float | None


def glue_area(layout: Layout) -> float:
    """The flanks that touch, long grain to long grain, less what the entry chamfer takes (mm2)."""
    lost = 2 * len(layout.tails) * layout.chamfer_reach * layout.recipe.entry_chamfer.width * layout.flank_stretch
    return layout.flank_area - lost


def screening(layout: Layout) -> Screening:
    """The ways a joint may fail, as far as the strength of its woods is known."""
    tails, pins = layout.recipe.tail_board.wood.strength, layout.recipe.pin_board.wood.strength
    area = glue_area(layout)
    if tails is None or pins is None:
        return Screening(area, (), (), None)
    glue = WeakPart("glue lines", area * min(tails.shear_mpa, pins.shear_mpa))
    necks = WeakPart("necks of the tails", _neck_area(layout) * tails.bending_mpa)
    push = _half_pin_push(layout, pins)
    dry = [necks, WeakPart("corners of the tails", _corners(layout, tails))]
    dry.append(WeakPart("half pins", push * 2 * len(layout.tails) / _outward_share(layout)))
    if tails.compression_mpa is not None and pins.compression_mpa is not None:
        dry.append(
            WeakPart("flanks, which crush", area * min(tails.compression_mpa, pins.compression_mpa) * _hold(layout))
        )
    return Screening(area, _weakest_first([glue, necks]), _weakest_first(dry), push)


def _weakest_first(parts: list[WeakPart]) -> tuple[WeakPart, ...]:
    return tuple(sorted(parts, key=lambda part: part.pull_n))


def _neck_area(layout: Layout) -> float:
    """All necks together, at the baseline (mm2)."""
    return sum(layout.tail_width(tail, 0.0) for tail in layout.tails) * layout.recipe.tail_board.thickness


def _corners(layout: Layout, wood: Strength) -> float:
    grain_area = 2 * len(layout.tails) * layout.recipe.tail_board.thickness * layout.depth
    cross_tension = CROSS_TENSION_SHARE * wood.shear_mpa
    return grain_area / (1 / wood.shear_mpa + 3 / (layout.ratio * cross_tension))


def _half_pin_push(layout: Layout, wood: Strength) -> float:
    middle = layout.pin_widths(layout.depth / 2)
    return 2 / 3 * wood.shear_mpa * layout.depth * min(middle[0], middle[-1])


def _outward_share(layout: Layout) -> float:
    """How hard a flank pushes sideways for the pull that it carries: (cos - mu sin) / (sin + mu cos)."""
    sine, cosine = math.sin(layout.slope_rad), math.cos(layout.slope_rad)
    return (cosine - FRICTION * sine) / (sine + FRICTION * cosine)


def _hold(layout: Layout) -> float:
    """The pull that a flank gives for the force normal to it: sin + mu cos."""
    return math.sin(layout.slope_rad) + FRICTION * math.cos(layout.slope_rad)
