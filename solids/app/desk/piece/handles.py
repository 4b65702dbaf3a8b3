"""What can be moved on the drawings of a joint, and which keys of its recipe a move changes. Lengths in mm.

A joint whose tails follow a rule keeps it: a pin, a half pin or the slope is one key. Where a flank is moved by itself,
every flank gets a place of its own, `joint.flanks`, and the keys that it takes the place of are left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from solids.app.desk.piece.drawings import View, ViewName, rounded
from solids.app.desk.piece.typing_in import FINE_STEPS, STEPS, in_words, listed, slope_text, snapped, typed
from solids.app.desk.piece.values import typed_value
from solids.base import tolerances as tol
from solids.base.errors import InputError
from solids.base.lengths import RULE, format_length
from solids.layout import Layout, Tail
from solids.layout.assembly import JointKind, assembly_of
from solids.layout.box.model import BoxLayout
from solids.layout.joint.shape.flanks import Flank, Gap
from solids.layout.joint.shape.slopes import slope_words
from solids.recipe.tables.keys import value_at

BETWEEN = ": "
"""What stands between the corner of a box and the name of a handle there: "front left: pin 2"."""

Changes = dict[str, str | None]
"""Values by key, as a maker types them; None gives a choice back to its rule."""

REPLACED = ("tails", "pin", "half_pin", "spacing", "grading", "look", "seed")
"""The keys of [joint] that `joint.flanks` stands in place of."""

TAILS, BASELINE, SLOPE, FLANK, PIN, HALF_PIN = "tails", "baseline", "slope", "flank", "pin", "half pin"


@dataclass(frozen=True)
class Handle:
    """One thing to move: where it is on its drawing, along which axis it moves, its value in mm (of tails, how many),
    as it is shown, and the key of the recipe that holds it. `step` is how far an arrow moves it, `fine` with Shift."""

    name: str
    words: str
    drawing: ViewName
    at: tuple[float, float]
    along: str
    value: float
    shown: str
    step: float
    fine: float
    key: str

    def as_json(self) -> dict[str, Any]:
        """The handle as the page reads it."""
        return {
            "name": self.name,
            "words": self.words,
            "drawing": self.drawing,
            "at": rounded(self.at),
            "along": self.along,
            "value_mm": round(self.value, 6),
            "shown": self.shown,
            "step_mm": self.step,
            "fine_mm": self.fine,
            "key": self.key,
        }


def handles_of(kind: JointKind, tables: Mapping[str, Any], face: View, end: View) -> list[Handle]:
    """All handles of a joint on its two drawings. `tables` is the recipe as written. In a box each name begins with
    the first of its corners."""
    prefix = f"{kind.names[0]}{BETWEEN}" if kind.names else ""
    return [replace(handle, name=prefix + handle.name) for handle in _Handles(kind.layout, tables, face, end).all()]


class _Handles:
    def __init__(self, layout: Layout, tables: Mapping[str, Any], face: View, end: View) -> None:
        self.layout, self.tables, self.face, self.end = layout, tables, face, end
        self.units = layout.recipe.units

    def all(self) -> Iterator[Handle]:
        layout = self.layout
        for number, flank in enumerate(layout.counted(layout.flanks), start=1):
            yield self._flank(number, flank)
        yield from self._slopes()
        for kind, gaps in ((PIN, _full_pins(layout)), (HALF_PIN, _half_pins(layout))):
            for number, gap in gaps.items():
                yield self._pin(kind, number, gap)
        if not layout.standing.corners:
            thickness = layout.recipe.pin_board.thickness
            at = self.face.at(layout.width / 2, 0.0)
            yield self._handle(BASELINE, "thickness of the pin board, which sets the baseline", at, thickness, "y")
        at = self.face.at(layout.width / 2, -self.face.origin[1] / 2)
        tails = len(layout.tails)
        key = self._key("joint.flanks" if is_by_flanks(layout) else "joint.tails")
        yield Handle(TAILS, "how many tails", "face", at, "x", tails, str(tails), 1.0, 1.0, key)

    def _key(self, key: str) -> str:
        return key_here(self.layout, key) or key

    def _handle(self, name: str, words: str, at: tuple[float, float], value: float, along: str = "x") -> Handle:
        """A handle of a length."""
        view: ViewName = "end" if name.startswith((PIN, HALF_PIN)) else "face"
        keys = {BASELINE: "pin_board.thickness", FLANK: "joint.flanks", PIN: "joint.pin", HALF_PIN: "joint.half_pin"}
        kind = name.rstrip("0123456789 ")
        key = "joint.flanks" if kind in (PIN, HALF_PIN) and is_by_flanks(self.layout) else keys[kind]
        shown = format_length(value, self.units, RULE)
        return Handle(
            name, words, view, at, along, value, shown, STEPS[self.units], FINE_STEPS[self.units], self._key(key)
        )

    def _flank(self, number: int, flank: Flank) -> Handle:
        (value,) = self.layout.measured(flank.face)
        at = self.face.at(flank.face, self.layout.depth)
        return self._handle(f"{FLANK} {number}", f"{flank.hand} flank of tail {flank.tail}", at, value)

    def _slopes(self) -> Iterator[Handle]:
        """One for all flanks where they are alike, else one for each."""
        layout, counted = self.layout, self.layout.counted(self.layout.flanks)
        alone = len(layout.ratios) == 1 and not has_feet(layout, self.tables)
        key = self._key("joint.flanks" if has_feet(layout, self.tables) else "joint.slope")
        for number, flank in enumerate(counted[: 1 if alone else None], start=1):
            name, of = (SLOPE, "of the tails") if alone else (f"{SLOPE} {number}", f"of the {flank.name}")
            at, run = self.face.at(flank.foot, 0.0), layout.depth * flank.lean
            step, fine = STEPS[self.units], FINE_STEPS[self.units]
            yield Handle(name, f"slope {of}", "face", at, "x", run, slope_words(flank.ratio), step, fine, key)

    def _pin(self, kind: str, number: int, gap: Gap) -> Handle:
        """At the side of the pin that moves: its right one, or its only one."""
        layout = self.layout
        low, high = gap.span(layout.depth)
        x = high if gap.right else low
        middle = (layout.rebate + layout.as_finished.show_z) / 2
        words = f"width of {kind} {number}" if kind == PIN else f"width of the half pin at {EDGES[number]}"
        return self._handle(f"{kind} {number}", words, self.end.at(x, -middle), high - low)


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


def has_feet(layout: Layout, tables: Mapping[str, Any]) -> bool:
    """Whether the maker gave the places of flanks at the baseline too."""
    given = value_at(tables, key_here(layout, "joint.flanks") or "joint.flanks")
    return isinstance(given, list) and any(isinstance(item, list) and len(item) > 1 for item in given)


def key_here(layout: Layout, key: str) -> str | None:
    """The key of the maker's recipe that stands for a key of this joint; None where that takes more than one."""
    found = dict(layout.keys).get(key, key)
    return found if isinstance(found, str) and " and " not in found else None


# --- a move --------------------------------------------------------------------------------------


def moved(tables: Mapping[str, Any], plan: Layout | BoxLayout, handle: str, by_mm: float) -> Changes:
    """What a move of a handle changes, in a recipe as it is written and laid out. `by_mm` is how far it moves on its
    drawing, to the right or up, from where it is drawn; tails are added or taken away by 1 or -1. InputError where
    there is no such handle, or where it cannot be moved."""
    joint, _, handle = handle.rpartition(BETWEEN)
    layouts = {name: kind.layout for kind in assembly_of(plan).kinds for name in kind.names or ("",)}
    if joint not in layouts:
        raise InputError(f"{handle} is nothing that can be moved here")
    layout = layouts[joint]
    kind, number = handle.rstrip("0123456789 "), int(handle.rpartition(" ")[2] if handle[-1:].isdigit() else 0)
    if not math.isfinite(by_mm) or abs(by_mm) > tol.LARGEST_LENGTH:
        raise InputError(f"{handle} cannot be moved by {by_mm:g} mm")
    others = [other for other in layouts.values() if other is not layout]
    return _Move(tables, layout, others).of(kind, number, by_mm)


class _Move:
    """A move at one joint; `others` are the other kinds of joint in its box."""

    def __init__(self, tables: Mapping[str, Any], layout: Layout, others: Sequence[Layout]) -> None:
        self.tables, self.layout, self.others, self.units = tables, layout, others, layout.recipe.units

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
        if kind == TAILS and abs(by_mm) == 1:
            return self._tails(int(by_mm))
        raise InputError(f"{f'{kind} {number or str()}'.strip()} is nothing that can be moved here")

    def _at(self, key: str) -> str:
        found = key_here(self.layout, key)
        if found is None:
            raise InputError(f"{key} stands in several places here; change it where it is written")
        return found

    @property
    def has_listed_slopes(self) -> bool:
        """Whether the maker gave the slope of each flank."""
        return isinstance(value_at(self.tables, self._at("joint.slope")), list)

    def _flank(self, flank: Flank, by_mm: float) -> Changes:
        (before,) = self.layout.measured(flank.face)
        wanted = snapped(before + (-by_mm if self.layout.mirrored else by_mm), self.units)
        (face,) = self.layout.measured(wanted)
        return self._by_flanks([replace(one, face=face) if one is flank else one for one in self.layout.flanks])

    def _slope(self, flank: Flank, number: int, by_mm: float) -> Changes:
        """The foot of a flank moves; its place at the finished face stays."""
        layout, depth = self.layout, self.layout.depth
        run = depth * flank.lean - flank.side * by_mm
        if number and has_feet(layout, self.tables):
            (foot,) = layout.measured(flank.face - flank.side * run)
            (foot,) = layout.measured(snapped(foot, self.units))
            run = flank.side * (flank.face - foot)
            steeper = replace(flank, ratio=depth / run if run else math.inf)
            return self._by_flanks([steeper if one is flank else one for one in layout.flanks])
        ratio = max(depth / run, tol.STEEPEST_RATIO) if run > depth / tol.FLATTEST_RATIO else tol.FLATTEST_RATIO
        ratio = _as_told(ratio, flank.ratio)
        if not number:
            return {self._at("joint.slope"): slope_text(ratio)}
        counted = layout.counted(layout.flanks)
        return {self._at("joint.slope"): listed([slope_text(ratio if one is flank else one.ratio) for one in counted])}

    def _pin(self, kind: str, number: int, gap: Gap, by_mm: float) -> Changes:
        """A pin is made wider on both sides, a half pin on its one."""
        layout, recipe = self.layout, self.layout.recipe
        low, high = gap.span(layout.depth)
        width = max(snapped(high - low + (by_mm if gap.right else -by_mm), self.units), FINE_STEPS[self.units])
        if is_by_flanks(layout):
            more = (width - high + low) / len(gap.flanks)
            aside = {id(flank): -flank.side * more for flank in gap.flanks}
            return self._by_flanks([replace(one, face=one.face + aside.get(id(one), 0.0)) for one in layout.flanks])
        given = recipe.listed.pins if kind == PIN else recipe.listed.half_pins
        key = self._at("joint.pin" if kind == PIN else "joint.half_pin")
        if not given:
            return {key: typed(width, self.units)}
        widths = [width if place == number else each for place, each in enumerate(given, start=1)]
        return {key: listed([in_words(each, self.units) for each in widths])}

    def _baseline(self, by_mm: float) -> Changes:
        """The baseline follows the pin board: to move it is to take a board of another thickness."""
        board = self.layout.recipe.pin_board
        thick = max(snapped(board.thickness - by_mm, self.units), FINE_STEPS[self.units])
        thin = [in_words(max(thick - board.uneven, FINE_STEPS[self.units]), self.units)] if board.uneven else []
        value = listed([in_words(thick, self.units), *thin]) if thin else typed(thick, self.units)
        return {"pin_board.thickness": value}

    # --- tails that come and go --------------------------------------------------------------------

    def _tails(self, more: int) -> Changes:
        layout = self.layout
        tails = len(layout.tails) + more
        if not 1 <= tails <= tol.MOST_TAILS:
            raise InputError(f"a joint has from 1 to {tol.MOST_TAILS} tails")
        if not (is_by_flanks(layout) or layout.recipe.listed.pins or self.has_listed_slopes):
            return {self._at("joint.tails"): str(tails)}
        return self._by_flanks(self._parted() if more > 0 else self._merged())

    def _parted(self) -> list[Flank]:
        """The flanks with a pin sawn into the middle of the widest tail, as wide as the others are on average."""
        layout = self.layout
        widest = max(layout.tails, key=lambda tail: tail.width)
        pins = layout.of_full_pins(layout.tail_board_gaps(layout.depth)) or [layout.recipe.pin]
        half = max(sum(pins) / len(pins), FINE_STEPS[self.units]) / 2
        pin = (
            Flank(widest.number, 1, widest.middle - half, _ratio(widest, 1), layout.depth),
            Flank(widest.number, -1, widest.middle + half, _ratio(widest, -1), layout.depth),
        )
        return sorted((*layout.flanks, *pin), key=lambda flank: flank.face)

    def _merged(self) -> list[Flank]:
        """The flanks without the pin between those two tails that are the narrowest together."""
        pairs = pairwise(self.layout.tails)
        left, right = min(pairs, key=lambda pair: pair[1].right - pair[0].left)
        gone = (left.flank(1), right.flank(-1))
        return [flank for flank in self.layout.flanks if not any(flank is other for other in gone)]

    # --- flanks one by one ---------------------------------------------------------------------------

    def _by_flanks(self, flanks: Sequence[Flank]) -> Changes:
        """The keys of a joint given flank by flank: places at the finished face, and at the baseline too where the
        maker gave those."""
        layout, feet = self.layout, has_feet(self.layout, self.tables)
        counted = layout.counted(flanks)
        places = [self._place(flank, feet=feet) for flank in counted]
        found: Changes = {self._at("joint.flanks"): listed(places)}
        edges, at_edges = layout.recipe.listed.edges, self._at("joint.edges")
        if "half tail" in edges and value_at(self.tables, at_edges) is None:
            found[at_edges] = listed(edges)
        if self.has_listed_slopes and not feet:
            found[self._at("joint.slope")] = listed([slope_text(flank.ratio) for flank in counted])
        for name in REPLACED:
            found |= self._without(f"joint.{name}")
        return found

    def _without(self, key: str) -> Changes:
        """Takes a key of this joint out. Where it was written for all corners of a box, the others keep their value."""
        own = self._at(key)
        gone: Changes = {each: None for each in (own, key) if value_at(self.tables, each) is not None}
        if own == key or key not in gone:
            return gone
        theirs = (dict(other.keys)[key] for other in self.others)
        places = (place for found in theirs if isinstance(found, str) for place in found.split(" and "))
        value = typed_value(value_at(self.tables, key))
        return gone | {place: value for place in places if value_at(self.tables, place) is None}

    def _place(self, flank: Flank, *, feet: bool) -> Any:
        face, foot = (in_words(self.layout.measured(x)[0], self.units) for x in (flank.face, flank.foot))
        return [face, foot] if feet else face


def _as_told(ratio: float, before: float) -> float:
    """N of a slope 1:N in as few decimals as tell it from what it was."""
    return next((told for decimals in (1, 2) if (told := round(ratio, decimals)) != before), round(ratio, 3))


def _ratio(tail: Tail, side: int) -> float:
    """N of the slope on a side of a tail, or of its only one."""
    return (tail.flank(side) or tail.flanks[0]).ratio
