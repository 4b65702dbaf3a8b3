"""The layout of a joint: where every tail and pin falls. Every later number comes from here. Lengths in mm.

The frame (right-handed): X runs across both boards from the reference edge X = 0 to X = W. Y is the outward normal of
the pin board's show face, inside face Y = 0. Z is the outward normal of the tail board's show face, inside face Z = 0.
The tail board lies along -Y from the baseline Y = 0; the pin board hangs along -Z from the baseline Z = 0.

Tail i is [a_i, b_i] at Y = d, the plane of the finished face. Each flank has a slope 1:N of its own and runs into its
tail toward the baseline, a_i(y) = a_i + (d - y)/N and b_i(y) = b_i - (d - y)/N', so that between the baseline and Y = D
the tail covers

    A_i(D) = D w_i - (2 d D - D^2)/2 (1/N + 1/N'),   w_i = b_i - a_i.

A flank gap g, measured normal to the flank, moves each pin flank by g s in X, with s = sqrt(1 + 1/N^2).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, TypeVar

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.base.keeping import Keeping
from solids.base.messages import Words
from solids.layout.joint.shape.flanks import Flank, Gap, Tail
from solids.layout.joint.shape.states import GrooveHere, Standing, State
from solids.recipe.tables.resolved import Recipe

Item = TypeVar("Item")


@dataclass(frozen=True)
class Layout(Keeping):
    """The layout of one joint: its recipe, and its tails in order of X.

    A maker measures from the reference edge. That is X = 0, or X = W if the joint is `mirrored`, as at two corners of
    every box. `below` and `above` are how far the tail board runs past the joint at its reference edge and at the
    other, where its mate is narrower. `groove` is the groove for the bottom, if any, and `top_groove` that
    for the top of a lid. `standing` is the joint's place in
    a piece. `keys` are the keys of a box that stand for keys of the joint.
    """

    recipe: Recipe
    tails: tuple[Tail, ...]
    mirrored: bool = False
    below: float = 0.0
    above: float = 0.0
    groove: GrooveHere | None = None
    top_groove: GrooveHere | None = None
    standing: Standing = field(default_factory=Standing)
    keys: tuple[tuple[str, Words], ...] = ()

    @property
    def grooves(self) -> tuple[GrooveHere, ...]:
        """All that are ploughed into its boards, from below."""
        return tuple(groove for groove in (self.groove, self.top_groove) if groove)

    @property
    def lid_cuts(self) -> tuple[float, ...]:
        """The X of the lines between which the saw and the plane part a lid from the box; none without one."""
        return tuple(x for span in self.standing.sawn_spans for x in span)

    # --- as a maker measures -------------------------------------------------------------------

    @property
    def edge_side(self) -> Literal["left", "right"]:
        """The side of the reference edge, seen on the tail board's show face with the raw end away from you."""
        return "right" if self.mirrored else "left"

    @property
    def strips(self) -> Span:
        """How far the tail board extends beyond the joint, past X = 0 and past X = W."""
        return (self.above, self.below) if self.mirrored else (self.below, self.above)

    def measured(self, *xs: float) -> tuple[float, ...]:
        """Places in X as distances from the reference edge of the pin board, nearest first."""
        return tuple(sorted(self.width - x for x in xs)) if self.mirrored else xs

    def counted(self, by_x: Sequence[Item]) -> Sequence[Item]:
        """Tails, pins or gaps in the order a maker counts them, from the reference edge."""
        return by_x[::-1] if self.mirrored else by_x

    # --- sizes ---------------------------------------------------------------------------------

    @property
    def width(self) -> float:
        """W, the width of both boards."""
        return self.recipe.width

    @property
    def depth(self) -> float:
        """d, from the baseline to the plane of the finished face, where the look is judged."""
        return self.recipe.depth

    @cached_property
    def flanks(self) -> tuple[Flank, ...]:
        """All flanks in order of X."""
        return tuple(flank for tail in self.tails for flank in tail.flanks)

    @cached_property
    def gaps(self) -> tuple[Gap, ...]:
        """The room between the tails, where the pins stand, in order of X. There is none beside a half tail's edge."""
        low, high = self.mitred
        sides = [None, *self.flanks, None]
        first, last = self.tails[0].flank(-1) is not None, self.tails[-1].flank(1) is not None
        bounds = sides[0 if first else 1 : len(sides) if last else -1]
        return tuple(
            Gap(left, right, low, self.width - high) for left, right in zip(bounds[::2], bounds[1::2], strict=True)
        )

    @cached_property
    def ratios(self) -> tuple[float, ...]:
        """N of every slope 1:N that occurs, steepest first. Flanks that differ by rounding alone have one slope."""
        found = sorted(self.flanks, key=lambda flank: -flank.lean)
        return tuple(
            flank.ratio
            for before, flank in zip([None, *found], found, strict=False)
            if before is None or before.lean - flank.lean > tol.ROUNDING
        )

    @property
    def mitred(self) -> tuple[float, float]:
        """How wide the mitred shoulder is at X = 0 and at X = W; 0 where there is none."""
        reference, other = self.recipe.mitre
        return (other, reference) if self.mirrored else (reference, other)

    def shift(self, flank: Flank) -> float:
        """g s: how far the flank gap moves the pin's flank that meets this one away from it, in X."""
        return self.recipe.flank_gap * flank.stretch

    def socket_x(self, flank: Flank, y: float) -> float:
        """Where the pin's flank that meets this one lies at Y = y."""
        return flank.x(y) + flank.side * self.shift(flank)

    @property
    def rebate(self) -> float:
        """r: how deep the rebate across the tail board's inside face is, and so the Z of the pin board's baseline."""
        return self.recipe.rebate

    @property
    def tail_thickness(self) -> float:
        """How thick the tails are as cut: the tail board's thickness less the rebate."""
        return self.recipe.tail_board.thickness - self.rebate

    @property
    def is_half_blind(self) -> bool:
        """Whether a lap hides the ends of the tails."""
        return self.recipe.kind == "half-blind"

    @cached_property
    def as_cut(self) -> State:
        """The state that saw and chisel leave, with the ends standing proud."""
        tails, pins = self.recipe.tail_board, self.recipe.pin_board
        return State(
            name="as cut",
            tail_end=self.depth + tails.proud,
            pin_end=tails.thickness + pins.proud,
            show_y=pins.thickness,
            show_z=tails.thickness,
            chamfer=0.0,
        )

    @cached_property
    def as_finished(self) -> State:
        """The finished state: faces planed and ends planed flush with them, or ends left proud with chamfered edges."""
        cut, finish = self.as_cut, self.recipe.finish
        if finish.ends == "proud":
            return State("finished", cut.tail_end, cut.pin_end, cut.show_y, cut.show_z, finish.chamfer)
        show_y, show_z = cut.show_y - finish.planing, cut.show_z - finish.planing
        return State("finished", min(self.depth, show_y), show_z, show_y, show_z, 0.0)

    def state(self, *, finished: bool) -> State:
        """The state finished or as cut."""
        return self.as_finished if finished else self.as_cut

    @property
    def chamfer_reach(self) -> float:
        """The Y where the entry chamfer ends; 0 if there is none."""
        chamfer = self.recipe.entry_chamfer
        return self.depth - chamfer.back if chamfer.width else 0.0

    @property
    def chamfer_stop(self) -> float:
        """The distance from the tails' raw ends to the end of the entry chamfer. Papers give only this: the finished
        face, from which the recipe measures, does not exist yet when the chamfer is cut."""
        return self.as_cut.tail_end - self.chamfer_reach

    @property
    def land(self) -> float | None:
        """The length of the flat at each end of a hollowed socket floor; None if the floors are flat."""
        return self.recipe.undercut.land if self.recipe.undercut.depth else None

    @property
    def narrowest(self) -> Tail:
        """The tail with the thinnest neck, the first if several are equal."""
        return min(self.tails, key=lambda tail: (round(self.tail_width(tail, 0.0), 9), tail.number))

    # --- widths at a plane y -----------------------------------------------------------------------

    def tail_edges(self, tail: Tail, y: float) -> Span:
        """The X of both sides of a tail at the plane Y = y."""
        left, right = tail.flank(-1), tail.flank(1)
        return left.x(y) if left else tail.left, right.x(y) if right else tail.right

    def socket_edges(self, tail: Tail, y: float) -> Span:
        """The X of both sides of the pin board's socket for a tail at Y = y: the tail's flanks plus the flank gap. That
        of a half tail is open at the edge of the board."""
        left, right = tail.flank(-1), tail.flank(1)
        return (
            self.socket_x(left, y) if left else tail.left,
            self.socket_x(right, y) if right else tail.right,
        )

    def tail_width(self, tail: Tail, y: float) -> float:
        """The width of a tail at the plane Y = y."""
        left, right = self.tail_edges(tail, y)
        return right - left

    def pin_span(self, gap: Gap, y: float) -> Span:
        """From where to where the pin in a gap stands at Y = y, as cut."""
        left, right = gap.left, gap.right
        return (
            self.socket_x(left, y) if left else gap.low,
            self.socket_x(right, y) if right else gap.high,
        )

    def gap_spans(self, y: float) -> tuple[Span, ...]:
        """The spans in X of the gaps at Y = y."""
        return tuple(gap.span(y) for gap in self.gaps)

    def pin_spans(self, y: float) -> tuple[Span, ...]:
        """The spans in X of the pins as cut at Y = y, in the order of `gaps`."""
        return tuple(self.pin_span(gap, y) for gap in self.gaps)

    def tail_board_gaps(self, y: float) -> tuple[float, ...]:
        """The widths of the gaps at Y = y."""
        return tuple(right - left for left, right in self.gap_spans(y))

    def is_closed(self, gap: Gap) -> bool:
        """Whether a gap has wood on both sides: between tails, and beside a strip beyond the joint or a mitred
        shoulder."""
        below, above = (bool(strip or mitre) for strip, mitre in zip(self.strips, self.mitred, strict=True))
        return bool((gap.left or below) and (gap.right or above))

    def closed_gaps(self, y: float) -> tuple[float, ...]:
        """The widths of the gaps that have wood on both sides."""
        widths = zip(self.gaps, self.tail_board_gaps(y), strict=True)
        return tuple(width for gap, width in widths if self.is_closed(gap))

    def pin_widths(self, y: float) -> tuple[float, ...]:
        """The widths of the pins as cut at Y = y, in the order of `gaps`."""
        return tuple(right - left for left, right in self.pin_spans(y))

    def of_full_pins(self, widths: Sequence[Item]) -> list[Item]:
        """Those of the widths, in the order of `gaps`, that are a full pin's."""
        return [width for gap, width in zip(self.gaps, widths, strict=True) if not gap.is_half]

    def of_half_pins(self, widths: Sequence[Item]) -> list[Item]:
        """Those of the widths, in the order of `gaps`, that are a half pin's."""
        return [width for gap, width in zip(self.gaps, widths, strict=True) if gap.is_half]

    @property
    def planing_left(self) -> float:
        """How much may be planed off a show face over a hollowed floor, with a little of the land left."""
        return self.recipe.undercut.land - tol.LEAST_FEATURE

    @property
    def floors_at_show_faces(self) -> tuple[float, ...]:
        """The lengths of the socket floors that end at a show face: the tail board's, and the pin board's unless a lap
        hides it."""
        thick = self.tail_thickness
        return (thick,) if self.is_half_blind else (thick, self.depth)

    def gap_after_planing(self, planing: float) -> float:
        """The gap that a hollowed socket floor shows at a show face after `planing` is taken off it. The larger of both
        boards', or the tail board's alone if a lap hides the pin board's."""
        land, depth = self.land, self.recipe.undercut.depth
        if land is None or planing <= land:
            return 0.0
        shares = (1.0 - abs(planing - floor / 2) / (floor / 2 - land) for floor in self.floors_at_show_faces)
        return depth * max(0.0, *shares)

    @property
    def walls(self) -> tuple[bool, bool]:
        """Whether the tail board has a square wall at the near and the far side of the joint in X, against which the
        pin board lies: that of a strip beside the joint, or of a mitred shoulder. None lies beside a half tail."""
        ends = (self.tails[0].flank(-1), self.tails[-1].flank(1))
        low, high = (
            end is not None and bool(strip or mitre)
            for end, strip, mitre in zip(ends, self.strips, self.mitred, strict=True)
        )
        return low, high

    @cached_property
    def stops(self) -> tuple[tuple[tuple[float, float], ...], tuple[tuple[float, float], ...]]:
        """What stops the tail board on its way out, toward X = 0 and toward X = W: how far it runs in X for each mm
        from the finished face to the baseline, and how far off it is in X; each that occurs once."""
        gap = max(self.recipe.flank_gap, 0.0)
        low, high = (((0.0, 0.0),) if wall else () for wall in self.walls)
        lefts, rights = (
            dict.fromkeys((flank.shift, gap * flank.stretch) for flank in self.flanks if flank.side == side)
            for side in (-1, 1)
        )
        return (*lefts, *high), (*rights, *low)

    @property
    def hold(self) -> float:
        """How much the joint holds the tail board as a whole: the largest shift in X of what stops it toward X = 0, for
        each mm from the finished face to the baseline, less the least of what stops it toward X = W. At 0 or under, the
        tail board is free to leave along a straight line, which may be oblique."""
        lefts, rights = self.stops
        return max((shift for shift, _ in lefts), default=-math.inf) - min(
            (shift for shift, _ in rights), default=math.inf
        )

    @property
    def easiest(self) -> float:
        """Along which line the joint holds least: how far the tail board moves in X for each mm out; 0 where left and
        right flanks are alike."""
        lefts, rights = ([shift for shift, _ in stops] for stops in self.stops)
        if lefts and rights:
            return (max(lefts) + min(rights)) / 2
        return max(lefts, default=min(rights, default=0.0))

    def free_play(self) -> float:
        """How far the tails move out, along the easiest straight line, before the joint locks: the least
        g (s + s') / (h - h') of a left and a right flank, h and h' their shifts; g sqrt(N^2 + 1) where all have one
        slope. 0 if the joint is not loose, infinite if it does not lock."""
        lefts, rights = self.stops
        pairs = ((h - k, off + away) for h, off in lefts for k, away in rights)
        return min((off / apart for apart, off in pairs if apart > tol.ROUNDING), default=math.inf)

    @property
    def lets_go(self) -> bool:
        """Whether the play is as long as the tails, apart from a last bit that holds nothing."""
        return self.free_play() >= tol.LETS_GO_SHARE * self.depth
