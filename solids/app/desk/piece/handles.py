"""What can be moved on the drawings of a joint, and which keys of its recipe a move changes. Lengths in mm.

A joint whose tails follow a rule keeps it: a pin, a half pin or the slope is one key. Where a flank is moved by itself,
every flank gets a place of its own, `joint.flanks`, and the keys that it takes the place of are left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

from solids.app.desk.piece.drawings import Handle, View, ViewName
from solids.app.desk.piece.joints import BETWEEN, PIN_BOARD, Joint
from solids.app.desk.piece.typing_in import (
    FINE_STEPS,
    STEPS,
    Changes,
    in_words,
    listed,
    slope_text,
    snapped,
    thickness_text,
    typed,
)
from solids.app.desk.piece.values import typed_value
from solids.base import tolerances as tol
from solids.base.errors import InputError
from solids.base.geometry import PlanePoint
from solids.base.lengths import RULE, format_length
from solids.layout import Layout, Tail
from solids.layout.joint.shape.flanks import Flank, Gap
from solids.layout.joint.shape.placing import tails_in_words
from solids.layout.joint.shape.slopes import slope_words
from solids.recipe.tables.keys import value_at

REPLACED = ("tails", "lid_tails", "pin", "half_pin", "spacing", "grading", "look", "seed")
"""The keys of [joint] that `joint.flanks` stands in place of."""

BASELINE_WORDS = "thickness of the board with the pins, which sets the baseline"
COUNT_AT = 0.75, 0.42
"""Where the grip for the number of tails lies in the body of the tail board, as shares of its width from the
reference edge, and of what is drawn of it behind the baseline: clear of the other grips, and of the dimension."""

TAILS, BASELINE, SLOPE, FLANK, PIN, HALF_PIN = "tails", "baseline", "slope", "flank", "pin", "half pin"


def handles_of(joint: Joint, tables: Mapping[str, Any], face: View, end: View) -> list[Handle]:
    """All handles of a joint on its two drawings. `tables` is the recipe as written."""
    return list(_Handles(joint, tables, face, end).all())


class _Handles:
    def __init__(self, joint: Joint, tables: Mapping[str, Any], face: View, end: View) -> None:
        self.joint, self.layout, self.tables, self.face, self.end = joint, joint.layout, tables, face, end
        self.units = self.layout.recipe.units
        self.by_flanks, self.has_feet = is_by_flanks(self.layout), has_feet(joint, tables)

    def all(self) -> Iterator[Handle]:
        layout = self.layout
        for number, flank in enumerate(layout.counted(layout.flanks), start=1):
            yield self._flank(number, flank)
        yield from self._slopes()
        for kind, gaps in ((PIN, _full_pins(layout)), (HALF_PIN, _half_pins(layout))):
            for number, gap in gaps.items():
                yield self._pin(kind, number, gap)
        thickness, at = layout.recipe.pin_board.thickness, self.face.at(layout.width / 2, 0.0)
        yield self._length(BASELINE, BASELINE_WORDS, PIN_BOARD, at, thickness, along="y", sense=-1)
        along, down = 1 - COUNT_AT[0] if layout.mirrored else COUNT_AT[0], COUNT_AT[1]
        at, tails = self.face.at(along * layout.width, -down * self.face.origin[1]), len(layout.tails)
        handle = self._handle(TAILS, "how many tails", "joint.flanks" if self.by_flanks else "joint.tails", at, tails)
        yield replace(handle, shown=tails_in_words(tails), step=1.0, fine=1.0)

    def _called(self, name: str) -> str:
        return f"{self.joint.called}{BETWEEN}{name}" if self.joint.called else name

    def _length(
        self, name: str, words: str, key: str, at: PlanePoint, value: float, *, along: str = "x", sense: int = 1
    ) -> Handle:
        """A handle whose value is a length."""
        handle = self._handle(name, words, key, at, value)
        return replace(handle, shown=format_length(value, self.units, RULE), along=along, sense=sense)

    def _handle(self, name: str, words: str, key: str, at: PlanePoint, value: float) -> Handle:
        view: ViewName = "end" if name.startswith((PIN, HALF_PIN)) else "face"
        step, fine = STEPS[self.units], FINE_STEPS[self.units]
        keys = self.joint.at(key)
        return Handle(self._called(name), words, view, at, "x", value, "", step, fine, keys, of=key)

    def _flank(self, number: int, flank: Flank) -> Handle:
        (value,) = self.layout.measured(flank.face)
        at, sense = self.face.at(flank.face, self.layout.depth), -1 if self.layout.mirrored else 1
        words = f"{flank.hand} flank of tail {flank.tail}"
        return self._length(f"{FLANK} {number}", words, "joint.flanks", at, value, sense=sense)

    def _slopes(self) -> Iterator[Handle]:
        """One for all flanks where they are alike, else one for each."""
        layout, counted = self.layout, self.layout.counted(self.layout.flanks)
        alone = len(layout.ratios) == 1 and not self.has_feet
        key = "joint.flanks" if self.has_feet else "joint.slope"
        for number, flank in enumerate(counted[: 1 if alone else None], start=1):
            name, of = (SLOPE, "of the tails") if alone else (f"{SLOPE} {number}", f"of the {flank.name}")
            at, run = self.face.at(flank.foot, 0.0), layout.depth * flank.lean
            handle = self._handle(name, f"slope {of}", key, at, run)
            yield replace(handle, shown=slope_words(flank.ratio), sense=-flank.side)

    def _pin(self, kind: str, number: int, gap: Gap) -> Handle:
        """At the side of the pin that moves: its right one, or its only one."""
        layout = self.layout
        low, high = gap.span(layout.depth)
        x, sense = (high, 1) if gap.right else (low, -1)
        middle = (layout.rebate + layout.as_finished.show_z) / 2
        words = f"width of {kind} {number}" if kind == PIN else f"width of the half pin at {EDGES[number]}"
        own = "joint.pin" if kind == PIN else "joint.half_pin"
        key, at = "joint.flanks" if self.by_flanks else own, self.end.at(x, -middle)
        return self._length(f"{kind} {number}", words, key, at, high - low, sense=sense)


EDGES = {1: "the reference edge", 2: "the other edge"}


def _full_pins(layout: Layout) -> dict[int, Gap]:
    """The gaps of full pins, by their numbers from the reference edge."""
    return dict(enumerate((gap for gap in layout.counted(layout.gaps) if not gap.is_half), start=1))


def _half_pins(layout: Layout) -> dict[int, Gap]:
    """The gaps of half pins: 1 at the reference edge, 2 at the other."""
    return {(1 if (gap.left is None) != layout.mirrored else 2): gap for gap in layout.gaps if gap.is_half}


def is_by_flanks(layout: Layout) -> bool:
    """Whether pins and half pins follow from places or widths of tails that the maker gave."""
    return bool(layout.recipe.listed.faces) or layout.recipe.spacing == "listed"


def has_feet(joint: Joint, tables: Mapping[str, Any]) -> bool:
    """Whether the maker gave the places of flanks at the baseline too."""
    given = joint.value(tables, "joint.flanks")
    return isinstance(given, list) and any(isinstance(item, list) and len(item) > 1 for item in given)


# --- a move --------------------------------------------------------------------------------------


def moved_at(
    joint: Joint, others: Sequence[Joint], tables: Mapping[str, Any], kind: str, number: int, by_mm: float
) -> Changes:
    """What a move of a handle of a joint changes, in a recipe as it is written and laid out; `others` are the other
    joints of its box. `kind` and `number` are those of the handle. InputError where there is no such handle, or where
    it cannot be moved."""
    return _Move(joint, others, tables).of(kind, number, by_mm)


class _Move:
    """A move at one joint; `others` are the other joints in its box."""

    def __init__(self, joint: Joint, others: Sequence[Joint], tables: Mapping[str, Any]) -> None:
        self.joint, self.others, self.tables = joint, others, tables
        self.layout, self.units = joint.layout, joint.layout.recipe.units

    def of(self, kind: str, number: int, by_mm: float) -> Changes:
        layout = self.layout
        flanks = dict(enumerate(layout.counted(layout.flanks), start=1))
        pins = _full_pins(layout) if kind == PIN else _half_pins(layout)
        if kind == FLANK and number in flanks:
            return self._flank(flanks[number], by_mm)
        if kind == SLOPE and (number in flanks or not number):
            return self._slope(flanks[number or 1], number, by_mm)
        if kind in (PIN, HALF_PIN) and number in pins:
            return self._pin(kind, number, pins[number], by_mm)
        if kind == BASELINE:
            return self._baseline(by_mm)
        if kind == TAILS and by_mm and by_mm == int(by_mm):
            return self._tails(int(by_mm))
        raise InputError(f"{f'{kind} {number or str()}'.strip()} is nothing that can be moved here")

    def _put(self, key: str, value: str) -> Changes:
        """A value for a key of this joint, wherever it is written."""
        return dict.fromkeys(self.joint.at(key), value)

    @property
    def has_listed_slopes(self) -> bool:
        """Whether the maker gave the slope of each flank."""
        return isinstance(self.joint.value(self.tables, "joint.slope"), list)

    @property
    def is_parted(self) -> bool:
        """Whether pins are unlike only because a lid is sawn off through one of them."""
        given = self.joint.value(self.tables, "joint.pin")
        return bool(self.layout.recipe.listed.pins) and not isinstance(given, list)

    def _flank(self, flank: Flank, by_mm: float) -> Changes:
        (before,) = self.layout.measured(flank.face)
        wanted = snapped(before + (-by_mm if self.layout.mirrored else by_mm), self.units)
        (face,) = self.layout.measured(wanted)
        return self._by_flanks([replace(one, face=face) if one is flank else one for one in self.layout.flanks])

    def _slope(self, flank: Flank, number: int, by_mm: float) -> Changes:
        """The foot of a flank moves; its place at the finished face stays."""
        layout, depth = self.layout, self.layout.depth
        run = depth * flank.lean - flank.side * by_mm
        if number and has_feet(self.joint, self.tables):
            (foot,) = layout.measured(flank.face - flank.side * run)
            (foot,) = layout.measured(snapped(foot, self.units))
            run = flank.side * (flank.face - foot)
            steeper = replace(flank, ratio=depth / run if run else math.inf)
            return self._by_flanks([steeper if one is flank else one for one in layout.flanks])
        ratio = max(depth / run, tol.STEEPEST_RATIO) if run > depth / tol.FLATTEST_RATIO else tol.FLATTEST_RATIO
        ratio = _as_told(ratio, flank.ratio)
        if not number:
            return self._put("joint.slope", slope_text(ratio))
        counted = layout.counted(layout.flanks)
        return self._put("joint.slope", listed([slope_text(ratio if one is flank else one.ratio) for one in counted]))

    def _pin(self, kind: str, number: int, gap: Gap, by_mm: float) -> Changes:
        """A pin is made wider on both sides, a half pin on its one."""
        layout, recipe = self.layout, self.layout.recipe
        low, high = gap.span(layout.depth)
        width = max(snapped(high - low + (by_mm if gap.right else -by_mm), self.units), FINE_STEPS[self.units])
        if is_by_flanks(layout) or (self.is_parted and kind == PIN and high - low > recipe.pin + tol.ROUNDING):
            more = (width - high + low) / len(gap.flanks)
            aside = {id(flank): -flank.side * more for flank in gap.flanks}
            return self._by_flanks([replace(one, face=one.face + aside.get(id(one), 0.0)) for one in layout.flanks])
        given = recipe.listed.pins if kind == PIN else recipe.listed.half_pins
        key = "joint.pin" if kind == PIN else "joint.half_pin"
        if not given or self.is_parted:
            return self._put(key, typed(width, self.units))
        widths = [width if place == number else each for place, each in enumerate(given, start=1)]
        return self._put(key, listed([in_words(each, self.units) for each in widths]))

    def _baseline(self, by_mm: float) -> Changes:
        """The baseline follows the pin board: to move it is to take a board of another thickness."""
        board = self.layout.recipe.pin_board
        return self._put(PIN_BOARD, thickness_text(board.thickness - by_mm, board.uneven, self.units))

    # --- tails that come and go --------------------------------------------------------------------

    def _tails(self, more: int) -> Changes:
        layout = self.layout
        tails = len(layout.tails) + more
        if not 1 <= tails <= tol.MOST_TAILS:
            raise InputError(f"a joint has from 1 to {tol.MOST_TAILS} tails")
        has_listed_pins = layout.recipe.listed.pins and not self.is_parted
        if not (is_by_flanks(layout) or has_listed_pins or self.has_listed_slopes):
            return self._put("joint.tails", str(tails))
        return self._by_flanks([flank for tail in self._parted_or_merged(more) for flank in tail.flanks])

    def _parted_or_merged(self, more: int) -> list[Tail]:
        """The tails, with so many more or, below 0, fewer."""
        tails = list(self.layout.tails)
        for _ in range(abs(more)):
            tails = self._parted(tails) if more > 0 else _merged(tails)
        return tails

    def _parted(self, tails: Sequence[Tail]) -> list[Tail]:
        """The tails with a pin sawn into the middle of the widest, as wide as the others are on average."""
        layout = self.layout
        widest = max(tails, key=lambda tail: tail.width)
        pins = layout.of_full_pins(layout.tail_board_gaps(layout.depth)) or [layout.recipe.pin]
        half = max(sum(pins) / len(pins), FINE_STEPS[self.units]) / 2
        low, high = (
            Flank(widest.number, side, widest.middle - side * half, _ratio(widest, side), layout.depth)
            for side in (1, -1)
        )
        left = Tail(widest.number, widest.left, low.face, (*_flanks(widest, -1), low))
        right = Tail(widest.number, high.face, widest.right, (high, *_flanks(widest, 1)))
        return [part for tail in tails for part in ((left, right) if tail is widest else (tail,))]

    # --- flanks one by one ---------------------------------------------------------------------------

    def _by_flanks(self, flanks: Sequence[Flank]) -> Changes:
        """The keys of a joint given flank by flank: places at the finished face, and at the baseline too where the
        maker gave those."""
        layout, feet = self.layout, has_feet(self.joint, self.tables)
        counted = layout.counted(flanks)
        places = [self._place(flank, feet=feet) for flank in counted]
        found = self._put("joint.flanks", listed(places))
        edges = layout.recipe.listed.edges
        if "half tail" in edges and self.joint.value(self.tables, "joint.edges") is None:
            found |= self._put("joint.edges", listed(edges))
        if self.has_listed_slopes and not feet:
            found |= self._put("joint.slope", listed([slope_text(flank.ratio) for flank in counted]))
        for name in REPLACED:
            found |= self._without(f"joint.{name}")
        return found

    def _without(self, key: str) -> Changes:
        """Takes a key of this joint out. Where it was written for all corners of a box, the others keep their value."""
        written = [place for place in self.joint.scopes(key) if value_at(self.tables, place) is not None]
        kept: Changes = {}
        for other in self.others:
            if other.source(self.tables, key) in written:
                kept |= dict.fromkeys(other.at(key), typed_value(other.value(self.tables, key)))
        return kept | dict.fromkeys(written)

    def _place(self, flank: Flank, *, feet: bool) -> Any:
        face, foot = (in_words(self.layout.measured(x)[0], self.units) for x in (flank.face, flank.foot))
        return [face, foot] if feet else face


def _as_told(ratio: float, before: float) -> float:
    """N of a slope 1:N in as few decimals as tell it from what it was."""
    return next((told for decimals in (1, 2) if (told := round(ratio, decimals)) != before), round(ratio, 3))


def _merged(tails: Sequence[Tail]) -> list[Tail]:
    """The tails without the pin between those two that are the narrowest together."""
    left, right = min(pairwise(tails), key=lambda pair: pair[1].right - pair[0].left)
    both = Tail(left.number, left.left, right.right, (*_flanks(left, -1), *_flanks(right, 1)))
    return [both if tail is left else tail for tail in tails if tail is not right]


def _flanks(tail: Tail, side: int) -> tuple[Flank, ...]:
    """The flank on a side of a tail; none at the edge of the board."""
    return tuple(flank for flank in tail.flanks if flank.side == side)


def _ratio(tail: Tail, side: int) -> float:
    """N of the slope on a side of a tail, or of its only one."""
    return (tail.flank(side) or tail.flanks[0]).ratio
