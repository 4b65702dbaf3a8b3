"""The slopes of a joint as a shop needs them: one tool for all that a hand cannot tell apart. Pure arithmetic.

A tool for slopes from a to b is made for the angle half-way between. It errs by (b - a)/2 at most: 0.125 degrees, which
is 0.04 mm at the end of a flank of 20 mm, half the width of a knife line.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from solids.aids.making.aid import Refusal
from solids.base import tolerances as tol
from solids.base.messages import Words, counted, message
from solids.layout import Layout
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.shape.slopes import slope_words

ALIKE = 0.25
"""Slopes from the flattest to the steepest within so many degrees have one tool. Common practice: a bevel is set within
about as much."""

MOST = 6
"""More tools of one kind are more than anyone keeps apart at the bench. Common practice."""

MOST_NAMED = 8
"""Of flanks told one by one."""


@dataclass(frozen=True)
class Slope:
    """What one tool serves: N of its slope 1:N, infinite where it is square and negative where it runs outward; the
    flanks that it is for, in order of X; and whether other flanks of the joint have another tool."""

    ratio: float
    flanks: tuple[Flank, ...]
    has_others: bool

    @property
    def lean(self) -> float:
        """1/N."""
        return 1.0 / self.ratio

    @property
    def words(self) -> str:
        """As it is engraved: "1:7", "square" or "1:9 outward"."""
        return slope_words(self.ratio)

    @property
    def suffix(self) -> str:
        """What the name of its tool ends with: "" where the joint has one tool for all, else as "-1-7"."""
        return f"-{slope_name(self.ratio)}" if self.has_others else ""

    def of_side(self, side: int) -> tuple[Flank, ...]:
        """Its left flanks (-1), or its right ones (1)."""
        return tuple(flank for flank in self.flanks if flank.side == side)

    def figures(self, of: str) -> tuple[tuple[str, Words], ...]:
        """Which flanks it is for, of what ("tail" or "socket"), and which slopes where they differ a little."""
        found: list[tuple[str, Words]] = []
        if self.has_others:
            found.append(("for", _flank_words(self.flanks, of)))
        steepest, *_, flattest = sorted((*self.flanks, *self.flanks), key=lambda flank: -abs(flank.lean))
        if abs(steepest.lean) - abs(flattest.lean) > tol.ROUNDING:
            ends = (slope_words(abs(flank.ratio)) for flank in (steepest, flattest))
            within = "{}, which are within {} degrees; it has the angle half-way between"
            found.append(("serves slopes from", message(within, " to ".join(ends), f"{ALIKE:g}")))
        return tuple(found)


def slope_name(ratio: float) -> str:
    """What a tool for a slope has in its name: "1-7", "1-6-5", "square", "1-9-outward"."""
    return slope_words(ratio).replace(":", "-").replace(".", "-").replace(" ", "-")


def slopes_of(layout: Layout) -> tuple[Slope, ...]:
    """The slopes of a joint that take a tool each, steepest first."""
    return _grouped(layout.flanks)


def marked_slopes(layout: Layout) -> tuple[Slope, ...]:
    """The slopes that take a marking template each, steepest first: one that runs outward is marked with the other edge
    of the same template, and a square flank with a try square."""
    found = _grouped(layout.flanks, outward_too=True)
    leaning = [slope for slope in found if not math.isinf(slope.ratio)]
    return tuple(Slope(slope.ratio, slope.flanks, len(leaning) > 1) for slope in leaning)


def _grouped(flanks: Iterable[Flank], *, outward_too: bool = False) -> tuple[Slope, ...]:
    def angle(flank: Flank) -> float:
        return math.degrees(abs(flank.slope_rad) if outward_too else flank.slope_rad)

    groups: list[list[Flank]] = []
    for flank in sorted(flanks, key=angle, reverse=True):
        if groups and angle(groups[-1][0]) - angle(flank) <= ALIKE:
            groups[-1].append(flank)
        else:
            groups.append([flank])
    found = []
    for group in groups:
        first, last = group[0], group[-1]
        ratio = abs(first.ratio) if outward_too else first.ratio
        if angle(first) - angle(last) > tol.ROUNDING:
            middle = (angle(first) + angle(last)) / 2
            ratio = 1.0 / math.tan(math.radians(middle)) if abs(middle) > ALIKE / 2 else math.inf
        in_order = tuple(sorted(group, key=lambda flank: flank.face))
        found.append(Slope(ratio, in_order, len(groups) > 1))
    return tuple(found)


def _flank_words(flanks: Sequence[Flank], of: str) -> Words:
    """ "tail 1, both flanks; tail 3, left flank"; a long list is cut short."""
    by_tail: dict[int, list[str]] = {}
    for flank in flanks:
        by_tail.setdefault(flank.tail, []).append(flank.hand)
    told = [
        f"{of} {tail}, {'both flanks' if len(hands) > 1 else f'{hands[0]} flank'}"
        for tail, hands in sorted(by_tail.items())
    ]
    more = [f"{len(told) - MOST_NAMED} more"] if len(told) > MOST_NAMED else []
    return "; ".join([*told[:MOST_NAMED], *more])


def too_many(name: str, slopes: Sequence[Slope]) -> Refusal | None:
    """A refusal where a joint has more slopes than anyone keeps apart; None where it has few."""
    if len(slopes) <= MOST:
        return None
    why = (
        f"Its flanks have {counted(len(slopes), 'slope')} that a hand tells apart, and {MOST} is the most that anyone "
    )
    return Refusal(
        name,
        f"{why}keeps apart at the bench.",
        f"Set a sliding bevel flank by flank, or give flanks that differ little one slope: {MOST} or fewer work.",
    )
