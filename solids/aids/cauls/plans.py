"""What each caul presses on: the plan of its bar and pads over the seated joint, or why there is none. In mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.aids.cauls.keys import LEAST_PART, RIM, TKey
from solids.aids.making.aid import Refusal
from solids.base import tolerances as tol
from solids.base.amounts import at_least, in_mm, least_in_mm, most_in_mm
from solids.base.geometry import MINUS_X, MINUS_Y, MINUS_Z, PlanePoint, Polygon, Vector, X, Z
from solids.base.messages import Key, Words, joined, message
from solids.layout import Layout, Tail
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.shape.slopes import all_slopes
from solids.recipe.tables.resolved import Printing

BAR = 12.0
"""Height of a bar, and its least depth: stiff between clamps a hand apart. Common practice."""

ABOVE = 1.0
"""How far a bar stays above the ends that stand proud beside its pads."""

FLANK = 0.5
"""How far a tail's pad stays off its flanks, normal to them; a tight flank's share comes on top."""

PIN_SIDE = 0.3
"""How far a pin's pad stays off its sides and off the tails that widen beside it."""

ENDS = 1.0
"""How far a bar stays off both edges of the boards, and a pad off the baseline and the far end."""

BETWEEN = 0.5
"""How far the bars for tails and pins stay apart where both press at once."""

CLEAR, BESIDE_TAIL, BESIDE_PIN = 0.8, 0.4, 0.2
"""What the proof asks of these distances: above the proud ends, and beside the pads along X."""


@dataclass(frozen=True)
class Press:
    """What one caul is made from. The plan has U along X and V along `across`, V = 0 lying at `v_start` of it. It
    presses `toward` the plane `face` of `board`. `rise` is the height of its pads, `above` what
    of it is left over the proud ends; without pads the bar itself presses."""

    name: str
    title: str
    purpose: str
    words: str
    board: str
    across: Vector
    toward: Vector
    face: float
    span: PlanePoint
    depth: float
    v_start: float
    pads: tuple[Polygon, ...]
    rise: float
    above: float
    texts: tuple[str, ...]
    slope: str
    clears: tuple[tuple[str, Vector, float], ...]
    how_to: Words


# --- shared ----------------------------------------------------------------------------------------------


def off_ends(length: float) -> float:
    """How far a pad stays off both ends of a length: less where the board is thin."""
    return min(ENDS, length / 4)


def bar_depth(length: float, key: TKey) -> float:
    """How deep the bar over a length of joint is."""
    return max(BAR, length, key.least_depth)


def slope_of(layout: Layout) -> str:
    """The slope as it is engraved, or the slopes from the steepest to the flattest."""
    return all_slopes(layout)


def too_short(name: str, what: str, length: float) -> Refusal:
    """A pad that keeps off both ends of a length would be thinner than two nozzles."""
    nozzle = most_in_mm((length - 2 * off_ends(length)) / 2)
    remedy = message("Set {} to {} or less.", Key("print.nozzle"), nozzle)
    return Refusal(name, message("{} only {}: no pad fits.", what, in_mm(length)), remedy)


def _span(layout: Layout, pads: Sequence[Polygon]) -> PlanePoint:
    """A bar from edge to edge less 1 mm, or a little less only where a pad needs it."""
    ends = [u for pad in pads for u, _ in pad]
    off = min([ENDS, *(u - RIM for u in ends), *(layout.width - u - RIM for u in ends)])
    return off, layout.width - off


# --- the tails --------------------------------------------------------------------------------------------


def plan_for_tails(layout: Layout, printing: Printing, key: TKey) -> Press | Refusal:
    """On the tail board's show face, V along -Y: each pad a tail less a strip along its sides."""
    if layout.depth - 2 * off_ends(layout.depth) < 2 * printing.nozzle - tol.ROUNDING:
        return too_short("caul-tails", "The tails reach past the baseline by", layout.depth)
    depth = bar_depth(layout.depth, key)
    pads = _tail_pads(layout, printing, depth)
    if not pads:
        return _no_tail(layout, printing)
    if layout.width < LEAST_PART:
        return _too_narrow("caul-tails")
    count, slope = len(layout.tails), slope_of(layout)
    left_out = "" if len(pads) == count else " Tails that are too narrow for a pad have none."
    state = layout.as_cut
    return Press(
        name="caul-tails",
        title=f"Caul for the tails, {count} x {slope}",
        purpose="It presses on the tails alone, so that clamps close the joint while tails or pins stand proud.",
        words="On the tails",
        board="tail board",
        across=MINUS_Y,
        toward=MINUS_Z,
        face=state.show_z,
        span=_span(layout, pads),
        depth=depth,
        v_start=-(layout.depth + depth) / 2,
        pads=tuple(pads),
        rise=state.pin_end - state.show_z + ABOVE,
        above=ABOVE,
        texts=(f"tails {count} x {slope}", f"{count} x {slope}", slope),
        slope=slope,
        clears=(
            ("pin board", MINUS_Z, CLEAR),
            ("pin board", X, BESIDE_TAIL),
            ("pin board", MINUS_X, BESIDE_TAIL),
        ),
        how_to=message(
            "Set it on the tail board's show face, one pad on each tail, wide ends to the tails' ends.{} The bar stays "
            "{} above the pins, so they can stand proud.",
            *(left_out, in_mm(ABOVE)),
        ),
    )


def _inset(layout: Layout, flank: Flank | None) -> float:
    """How far in X a pad stays inside one side of its tail: off its flank, or off the edge of the board, where the bar
    itself ends before it."""
    if flank is None:
        return ENDS + RIM
    return (FLANK + max(0.0, -layout.recipe.flank_gap)) * flank.stretch


def _insets(layout: Layout, tail: Tail) -> tuple[float, float]:
    """Those of both its sides."""
    return _inset(layout, tail.flank(-1)), _inset(layout, tail.flank(1))


def _tail_pads(layout: Layout, printing: Printing, depth: float) -> list[Polygon]:
    off, middle = off_ends(layout.depth), (layout.depth + depth) / 2
    near, far = off, layout.depth - off
    pads: list[Polygon] = []
    for tail in layout.tails:
        inset, inset_right = _insets(layout, tail)
        (left, right), (wide_left, wide_right) = layout.tail_edges(tail, near), layout.tail_edges(tail, far)
        # Flanks that lean the same way, or outward, leave less between them than either end has.
        if min(right, wide_right) - max(left, wide_left) - inset - inset_right >= 2 * printing.nozzle - tol.ROUNDING:
            low, high = middle - far, middle - near
            pads.append(
                [
                    (wide_left + inset, low),
                    (wide_right - inset_right, low),
                    (right - inset_right, high),
                    (left + inset, high),
                ]
            )
    return pads


def _no_tail(layout: Layout, printing: Printing) -> Refusal:
    """No tail is wide enough: how wide the widest would have to be, and how many tails of one width would be."""
    recipe, tail = layout.recipe, max(layout.tails, key=lambda tail: tail.width)
    off = off_ends(layout.depth)
    lean = sum(max(flank.lean, 0.0) for flank in tail.flanks)
    needed = 2 * printing.nozzle + sum(_insets(layout, tail)) + (layout.depth - off) * lean
    count = 0
    if recipe.listed.is_empty:
        room = layout.width - sum(recipe.mitre) - 2 * recipe.half_pin + recipe.pin
        count = math.floor(room / (needed + recipe.pin) + tol.ROUNDING)
    remedy = message("Set {} to {} or less.", Key("joint.tails"), count)
    if not count:
        remedy = message("Make {} larger or {} gentler.", Key("joint.width"), Key("joint.slope"))
    why = message("No tail is wide enough for a pad: it takes {} at the wide end.", least_in_mm(needed))
    return Refusal("caul-tails", why, remedy)


def _too_narrow(name: str) -> Refusal:
    why = "The boards are so narrow that a caul with pads could not be held."
    remedy = message("Use a block of wood, or set {} to {} or more.", Key("joint.width"), at_least(LEAST_PART))
    return Refusal(name, why, remedy)


# --- the pins, or the lap in front of them ----------------------------------------------------------------


def plan_for_pins(layout: Layout, printing: Printing, key: TKey) -> Press | Refusal:
    """On the pin board's show face, V along Z: each pad a rectangle on a pin."""
    state, tall = layout.as_cut, layout.tail_thickness
    if tall - 2 * off_ends(tall) < 2 * printing.nozzle - tol.ROUNDING:
        return too_short("caul-pins", "The pins rise past the baseline by", tall)
    depth = bar_depth(tall, key)
    pads = _pin_pads(layout, printing, depth)
    held = [pad for pad in pads if pad]
    if not held:
        return _no_pin(layout, printing)
    if layout.width < LEAST_PART:
        return _too_narrow("caul-pins")
    count, slope = len(pads), slope_of(layout)
    # On thin boards the bar for the tails is deeper than the joint: both must find room at once.
    other = (bar_depth(layout.depth, key) - layout.depth) / 2
    above = max(ABOVE, other + BETWEEN - (state.tail_end - state.show_y))
    return Press(
        name="caul-pins",
        title=f"Caul for the pins, {count} x {slope}",
        purpose="It presses on the pins alone, so that clamps close the joint while tails or pins stand proud.",
        words="On the pins",
        board="pin board",
        across=Z,
        toward=MINUS_Y,
        face=state.show_y,
        span=_span(layout, held),
        depth=depth,
        v_start=layout.rebate + (tall - depth) / 2,
        pads=tuple(held),
        rise=above + state.tail_end - state.show_y,
        above=above,
        texts=(f"pins {count} x {slope}", f"{count} x {slope}", slope),
        slope=slope,
        clears=(
            ("tail board", MINUS_Y, CLEAR),
            ("tail board", X, BESIDE_PIN),
            ("tail board", MINUS_X, BESIDE_PIN),
        ),
        how_to=message(
            "{} The bar stays {} above the tails, so they can stand proud.",
            _which_pins(layout, pads, printing),
            in_mm(above),
        ),
    )


def _pin_pads(layout: Layout, printing: Printing, depth: float) -> list[Polygon]:
    """A pad for each pin from the reference edge; an empty one where it would be too thin. A mitred shoulder beside a
    half pin takes none."""
    state, tall = layout.as_cut, layout.tail_thickness
    off = off_ends(tall)
    low, high = (depth - tall) / 2 + off, (depth + tall) / 2 - off
    pads: list[Polygon] = []
    # Tails that stand proud go on widening, so a pad keeps off the pin's side and off the tail's far end.
    for pin, gap in zip(layout.pin_spans(state.show_y), layout.gap_spans(state.tail_end), strict=True):
        left = max(pin[0], gap[0]) + PIN_SIDE if pin[0] > 0 else ENDS + RIM
        right = min(pin[1], gap[1]) - PIN_SIDE if pin[1] < layout.width else layout.width - ENDS - RIM
        wide = right - left >= 2 * printing.nozzle - tol.ROUNDING
        pads.append([(left, low), (right, low), (right, high), (left, high)] if wide else [])
    return pads


def _which_pins(layout: Layout, pads: Sequence[Polygon], printing: Printing) -> Words:
    face = "Set it on the pin board's show face"
    if all(pads):
        return f"{face}, one pad on each pin."
    if not any(layout.of_full_pins(pads)):
        return f"{face}. Only the half pins have a pad: the pins between are too narrow."
    words = f"{face}, pads on pins. A pin whose pad would be thinner than {{}} has none."
    return message(words, in_mm(2 * printing.nozzle))


def _no_pin(layout: Layout, printing: Printing) -> Refusal:
    """No pin is wide enough: what the nearest kind of pin would have to measure."""
    thin = 2 * printing.nozzle
    proud = layout.recipe.tail_board.proud
    lost = max(max(layout.shift(flank), proud * flank.lean) for flank in layout.flanks) + PIN_SIDE
    half, full = at_least(thin + lost + ENDS + RIM), at_least(thin + 2 * lost)
    why = message("No pin is wide enough for a pad of {}.", in_mm(thin))
    if layout.recipe.listed.faces:
        remedy = message("Leave {} at the finished face between two tails, or {} beside an edge.", full, half)
        return Refusal("caul-pins", why, remedy)
    ways = [message("{} to {}", Key("joint.half_pin"), half)]
    if len(layout.tails) > 1:
        ways.insert(0, message("{} to {}", Key("joint.pin"), full))
    return Refusal("caul-pins", why, message("Set {}.", joined(ways, ", or ")))


def plan_for_lap(layout: Layout, key: TKey) -> Press | Refusal:
    """On the show face of a half-blind pin board, V along -Z: nothing stands proud there, so the bar itself presses."""
    state = layout.as_cut
    if layout.width < LEAST_PART:
        return _too_narrow("caul-plain")
    depth = bar_depth(state.show_z, key)
    # In the middle of the joint, but never past the pins' ends, where it would tip.
    top = min((state.show_z + depth) / 2, state.pin_end)
    slope = slope_of(layout)
    return Press(
        name="caul-plain",
        title="Plain caul for the show face",
        purpose="It spreads the clamp over the lap, and leaves no dents in the show face.",
        words="On the lap",
        board="pin board",
        across=MINUS_Z,
        toward=MINUS_Y,
        face=state.show_y,
        span=_span(layout, ()),
        depth=depth,
        v_start=-top,
        pads=(),
        rise=0.0,
        above=0.0,
        texts=(f"lap {layout.recipe.lap:.4g} {slope}", slope),
        slope=slope,
        clears=(),
        how_to="Set its plain side, the one without words, on the show face in front of the tails. Its edges are "
        "eased, so they leave no mark.",
    )
