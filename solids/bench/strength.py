"""A screening of what a joint holds, to compare layouts with: never a design value.

Strengths are averages of small clear pieces (Wood Handbook, FPL-GTR-282, 2021), without any factor of safety. Lengths
are in mm, strengths in MPa, which is N/mm2. With the depth d, the tails' thickness t (the tail board's less a rebate),
and 1:N the slope of each flank, s = sqrt(1 + 1/N^2):

A pull, in newtons, draws the tail board out of the pin board along its own length (-Y).

- glue lines: the area of all flanks, the sum of s t d, times the shear strength of what gives first. The pull runs
  along the tail board's grain and across the pin board's, whose fibres roll: rolling shear, 0.18 to 1/3 of the shear
  along the grain. It is told with both ends of that range, the lower first. Glue is taken to be as strong as the wood.
- necks: their area times the bending strength, which stands for tension along the grain: a low estimate where no
  tension data are printed (Wood Handbook chapter 5, from memory).
- corners: each flared corner is a wedge that its flank pushes along the grain. Every layer of it, of a height u across
  the grain and a length N u along it, shears with p, its flank's pull over t d, and is bent open with 3 p / N, while
  the flank's sideways push k p presses it shut, k = (cos - mu sin)/(sin + mu cos). Shear, and what tension across the
  grain is left, add up: P is the sum of t d / (1/f_v + max(0, 3/N - k)/f_t). At 1:3 and flatter k is the larger, and
  nothing opens.
- crushing: the sum of each flank's area times sin + mu cos, times the compression across the grain of the softer wood.
- half pins: each is a beam that its flank pushes outward; it splits along the grain when its shear reaches 3 F/(2 d h).
  With m flanks that carry a pull alike, P = m F / k, least for the first half pin that splits. Beside a half tail there
  is none.

Racking, in newton metres, turns one board about the corner's edge (X) against the other, which is how boxes fail.

- glue lines: each flank is a patch of L = d s by t that is turned on the other about its middle; the stress is greatest
  at its corners, T = f L t sqrt(L^2 + t^2) / 6, and all flanks add up. Its direction goes round, so somewhere it rolls
  the fibres of either board: f is the rolling shear of the weaker wood.
- necks, and pins at half their depth, bend as beams of the height t and d: sum of b t^2 / 6 times the bending strength.

Nothing is told of racking without glue: flanks then slide on each other, and how much play they have decides.

Without glue the flanks carry a pull by bearing, those that lean into their tails; square and outward ones are counted
with nothing, though they may help by friction. With glue the flanks shear before they bear. Where glue lines let go,
the joint still holds what it holds without glue.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.layout import Layout
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.volumes import flank_area, glue_area
from solids.wood import Strength

FRICTION = 0.4
"""Dry, smooth wood on wood. From memory: the Wood Handbook, chapter 4, gives 0.3 to 0.5."""

N_MM_PER_N_M = 1000.0

ROLLING_LEAST, ROLLING_MOST = 0.18, 1 / 3
"""Rolling shear, across the grain, as a share of the shear along it: 18 to 28 % (Wood Handbook, chapter 5, from
memory); a third (A. McLeod and others, Forest Products Laboratory Report 1522, 1945)."""

CROSS_TENSION_SHARE = 0.25
"""Tension across the grain as a share of the shear along it: of 28 rows of the Wood Handbook, FPL-GTR-282, Table 5-3b,
that print both, 27 have more (redwood, the next, 240 of 940 lbf/in2); western redcedar has 220 of 990."""

ASSUMPTIONS = (
    "Averages of small clear pieces, no factor of safety, straight grain, a pull along the tail board or one board "
    "turned against the other, sizes as cut. Compare layouts with these figures. Do not design with them."
)


OF_THE_TAILS = " of the tails"


@dataclass(frozen=True)
class WeakPart:
    """One way to fail, and the load at which this screening expects it: a pull in newtons, or a moment in newton
    metres. `least` is the safe end where the source gives a range, and `most` the other; else both are alike. `part` is
    what gives, in a word or two, and `more` what else is said of it."""

    part: str
    least: float
    most: float
    more: str = ""

    @property
    def name(self) -> str:
        """ "necks of the tails"."""
        return f"{self.part}{self.more}"


@dataclass(frozen=True)
class Screening:
    """What a joint holds with glue and without. `glue_area` (mm2) is long grain to long grain. `glued` and `dry` hold
    the ways to fail when it is pulled apart (N), `racked` those of a glued corner that is racked (N m), weakest first;
    all are empty where a wood's strength is not known. `half_pin_push_n` is the outward push that splits a half pin,
    the weakest; None where no strength is known, and where there is no half pin."""

    glue_area: float
    glued: tuple[WeakPart, ...]
    dry: tuple[WeakPart, ...]
    racked: tuple[WeakPart, ...]
    half_pin_push_n: float | None


def screening(layout: Layout) -> Screening:
    """The ways a joint may fail, as far as the strength of its woods is known."""
    tails, pins = layout.recipe.tail_board.wood.strength, layout.recipe.pin_board.wood.strength
    area = glue_area(layout)
    if tails is None or pins is None:
        return Screening(area, (), (), (), None)
    rolling = (ROLLING_LEAST, ROLLING_MOST)
    least, most = (area * min(tails.shear_mpa, share * pins.shear_mpa) for share in rolling)
    glue = WeakPart("glue lines", least, most)
    necks = _one("necks", _neck_area(layout) * tails.bending_mpa, OF_THE_TAILS)
    dry = [necks, _one("corners", _corners(layout, tails), OF_THE_TAILS)]
    pushes = _half_pin_pushes(layout, pins)
    splits = [push * len(_holding(layout)) / _outward_share(flank) for flank, push in pushes if flank.lean > 0]
    dry += [_one("half pins", min(splits))] if splits else []
    if tails.compression_mpa is not None and pins.compression_mpa is not None:
        crush = _bearing_area(layout) * min(tails.compression_mpa, pins.compression_mpa)
        dry.append(_one("flanks", crush, ", which crush"))
    weaker, turned = min(tails.shear_mpa, pins.shear_mpa), _turned_flanks(layout)
    bent = [
        _one("necks", _neck_bending(layout) * tails.bending_mpa / N_MM_PER_N_M, OF_THE_TAILS),
        _one("pins", _pin_bending(layout) * pins.bending_mpa / N_MM_PER_N_M),
    ]
    gives, holds = (share * weaker * turned / N_MM_PER_N_M for share in rolling)
    twist = WeakPart("glue lines", gives, holds)
    return Screening(
        glue_area=area,
        glued=_weakest_first([glue, necks]),
        dry=_weakest_first(dry),
        racked=_weakest_first([twist, *bent]),
        half_pin_push_n=min((push for _, push in pushes), default=None),
    )


def _one(part: str, load: float, more: str = "") -> WeakPart:
    """A way to fail whose strength is one figure."""
    return WeakPart(part, load, load, more)


def _weakest_first(parts: list[WeakPart]) -> tuple[WeakPart, ...]:
    return tuple(sorted(parts, key=lambda part: part.least))


def _holding(layout: Layout) -> list[Flank]:
    """The flanks that carry a pull by bearing: those that lean into their tails."""
    return [flank for flank in layout.flanks if flank.lean > 0]


def _glued_share(layout: Layout) -> float:
    """The share of the flanks' area that the entry chamfer leaves."""
    return glue_area(layout) / flank_area(layout)


def _turned_flanks(layout: Layout) -> float:
    """What all flanks resist for each MPa at their corners when they are turned on each other (mm3)."""
    thick, lengths = layout.tail_thickness, [layout.depth * flank.stretch for flank in layout.flanks]
    return _glued_share(layout) * math.fsum(long * thick * math.hypot(long, thick) / 6 for long in lengths)


def _neck_bending(layout: Layout) -> float:
    """Section modulus of all necks, bent across the tails' thickness (mm3)."""
    return _neck_area(layout) * layout.tail_thickness / 6


def _pin_bending(layout: Layout) -> float:
    """Section modulus of all pins, bent across the depth of the joint (mm3)."""
    return sum(layout.pin_widths(layout.depth / 2)) * layout.depth**2 / 6


def _neck_area(layout: Layout) -> float:
    """All necks together, at the baseline (mm2)."""
    return sum(layout.tail_width(tail, 0.0) for tail in layout.tails) * layout.tail_thickness


def _corners(layout: Layout, wood: Strength) -> float:
    """What the corners of all tails hold together (N)."""
    cross_tension = CROSS_TENSION_SHARE * wood.shear_mpa
    opens = [max(0.0, 3 * flank.lean - _outward_share(flank)) for flank in _holding(layout)]
    grain_area = layout.tail_thickness * layout.depth
    return math.fsum(grain_area / (1 / wood.shear_mpa + share / cross_tension) for share in opens)


def _half_pin_pushes(layout: Layout, wood: Strength) -> list[tuple[Flank, float]]:
    """The flank beside each half pin, and the outward push that splits that (N)."""
    widths = layout.pin_widths(layout.depth / 2)
    halves = zip(layout.of_half_pins(layout.gaps), layout.of_half_pins(widths), strict=True)
    return [(gap.flanks[0], 2 / 3 * wood.shear_mpa * layout.depth * width) for gap, width in halves]


def _bearing_area(layout: Layout) -> float:
    """The flanks that carry a pull, each by the pull that it gives for the force normal to it: sin + mu cos (mm2)."""
    shares = (flank.stretch * _pull_share(flank) for flank in _holding(layout))
    return _glued_share(layout) * layout.tail_thickness * layout.depth * math.fsum(shares)


def _outward_share(flank: Flank) -> float:
    """How hard a flank pushes sideways for the pull that it carries: (cos - mu sin) / (sin + mu cos)."""
    sine, cosine = math.sin(flank.slope_rad), math.cos(flank.slope_rad)
    return (cosine - FRICTION * sine) / _pull_share(flank)


def _pull_share(flank: Flank) -> float:
    """The pull that a flank gives for the force normal to it: sin + mu cos."""
    return math.sin(flank.slope_rad) + FRICTION * math.cos(flank.slope_rad)
