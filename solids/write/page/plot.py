"""What charts are drawn with: scales of round numbers, words and outlines. Pure arithmetic; places are in the units of
the drawing, X to the right, Y down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Points = Sequence[tuple[float, float]]

WIDTH, LETTERS, LETTER_WIDTH = 340.0, 14.0, 0.6
"""The drawing's width; the height of its letters, which is 12 px on a phone 360 px wide, where 294 are left for the
drawing; and how wide a letter of a word or a number is on average, and hardly wider, as a share of its height."""

ROW = 20.0
"""From one line of words to the next."""

ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)
"""Steps that an eye counts in."""

INTERVALS = (4, 5, 3)
"""How many steps a scale may have, the best first."""


@dataclass(frozen=True)
class Scale:
    """Numbers along a line, in order: the first stands at `start`, the last at `end`."""

    ticks: tuple[float, ...]
    start: float
    end: float

    def at(self, number: float) -> float:
        """Where a number stands."""
        low, high = self.ticks[0], self.ticks[-1]
        return round(self.start + (number - low) / (high - low) * (self.end - self.start), 2)

    @property
    def told(self) -> list[str]:
        """The numbers as they are written."""
        return [f"{tick:g}" for tick in self.ticks]

    @property
    def marks(self) -> list[tuple[float, str]]:
        """Each number with how it is written."""
        return list(zip(self.ticks, self.told, strict=True))


def round_step(least: float) -> float:
    """The next round step that is no smaller: 0.03 gives 0.05, 22 gives 25."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in ROUND if step * power >= least * (1 - 1e-9))


def scale_over(low: float, high: float, start: float, end: float) -> Scale:
    """A scale in about four round steps, 0 among them, that holds both numbers."""
    step = round_step((high - low) / INTERVALS[0])
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return Scale(_multiples(step, first, last), start, end)


def scales_from_zero(tops: Sequence[float], start: float, end: float) -> list[Scale]:
    """Scales from 0 that hold these numbers, with equally many round steps, so that they share their lines: as many as
    leave the least room above."""

    def spare(intervals: int) -> float:
        return sum(intervals * round_step(top / intervals) / top for top in tops)

    count = min(INTERVALS, key=spare)
    return [Scale(_multiples(round_step(top / count), 0, count), start, end) for top in tops]


def _multiples(step: float, first: int, last: int) -> tuple[float, ...]:
    """Without the hair that arithmetic leaves."""
    return tuple(float(f"{number * step:.10g}") for number in range(first, last + 1))


# --- words and outlines --------------------------------------------------------------------------


@dataclass(frozen=True)
class Label:
    """Words beside a place: `anchor` says which part of them stands there, half-way up. `tone` is their style."""

    x: float
    y: float
    anchor: Literal["start", "middle", "end"]
    words: str
    tone: str = ""

    @property
    def span(self) -> tuple[float, float]:
        """From where to where they reach, at most."""
        wide = width_of(self.words)
        left = self.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        return left, left + wide


@dataclass(frozen=True)
class Chart:
    """One chart: its title, a sentence below it, and what it shows in words; its height, the styles and outlines of its
    shapes as SVG's paths, and its labels."""

    title: str
    caption: str
    said: str
    height: float
    shapes: tuple[tuple[str, str], ...]
    labels: tuple[Label, ...]
    width: float = WIDTH
    letters: float = LETTERS


def width_of(words: str) -> float:
    """How wide words are, at most."""
    return LETTER_WIDTH * LETTERS * len(words)


def path(points: Points, *, closed: bool = False) -> str:
    """Points as an SVG path; one point alone is a dot."""
    line = " L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    return f"M{line}{'Z' if closed else 'h0' if len(points) == 1 else ''}"


def within(x: float, y: float, words: str, tone: str = "") -> Label:
    """Words in the middle of a place, or as near as the drawing lets them."""
    half = width_of(words) / 2
    return Label(min(max(x, half), WIDTH - half), y, "middle", words, tone)
