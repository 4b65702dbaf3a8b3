"""The two boards of a joint as they are printed: each lies on a face, so that all flanks stand on the bed, and its
lower edges are chamfered. Undercut, rebate, mitre and entry chamfer are left out: what is printed tries the flanks
alone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from solids.aids.making.aid import Plane, Refusal, Rest, Use
from solids.aids.making.engraving import DEPTH
from solids.aids.making.modelling import FOOT, foot_chamfered
from solids.aids.making.terraces import eased, terraced
from solids.base.amounts import in_mm, least_in_mm
from solids.base.geometry import MINUS_Y, MINUS_Z, Frame, Polygon, Vector, X, Y, Z, scaled
from solids.base.messages import Words, capital, message
from solids.base.polygons import inset
from solids.layout import Layout, Tail
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.volumes import tail_area
from solids.model.boards import pin_board, tail_board
from solids.model.kernel import Solid
from solids.model.kernel.shaping import placed
from solids.recipe.tables.resolved import EdgeName, EntryChamfer, Listed, Printing, Recipe, Undercut

LEAST_STEP = 0.05
"""Less between two clearances cannot be told apart by hand. Common practice."""

LEAST_HALF_PIN = 2.0
"""A half pin thinner than this would break off."""

LEAST_WALL = 1.0
"""A neck or a lap thinner than this (mm) would break."""

BEARING = 0.9
"""The share of a face, less its chamfered edges, that must bear or lie in its plane."""


def clearances(printing: Printing) -> tuple[float, float, float]:
    """Half, once and one and a half times the printer's clearance, and never closer together than can be felt. Whole
    thousandths of a millimetre, so that what a coupon shows is what it has."""
    step = round(max(printing.clearance / 2, LEAST_STEP), 3)
    return step, round(2 * step, 3), round(3 * step, 3)


def trial_recipe(
    layout: Layout,
    tails: Sequence[Tail],
    printing: Printing,
    gap: float,
    length: float,
    short: float,
    *,
    mirrored: bool,
) -> Recipe:
    """The recipe of neighbouring tails of a joint, from the reference edge, with a gap at each flank, on boards of a
    length behind the baseline. Half pins are thick enough to print. A half-blind tail is cut `short`, so that its end
    does not keep the flanks from seating. Tails have the thickness that a rebate leaves them, and shoulders at the
    edges are square."""
    recipe, near = layout.recipe, 1 if mirrored else -1
    first, last = tails[0].flank(near), tails[-1].flank(-near)
    pins = [_between(a, b) for a, b in pairwise(tails)]
    half_pins = tuple(_half_pin(layout, printing, gap, flank) for flank in (first, last))
    ratios = [flank.ratio if flank else math.inf for tail in tails for flank in (tail.flank(near), tail.flank(-near))]
    edges: tuple[EdgeName, EdgeName] = ("half pin" if first else "half tail", "half pin" if last else "half tail")
    return replace(
        recipe,
        width=half_pins[0] + half_pins[1] + sum(tail.width for tail in tails) + sum(pins),
        tail_shares=tuple(tail.width for tail in tails),
        listed=Listed(tuple(pins), (half_pins[0], half_pins[1]), tuple(ratios), edges=edges),
        mitre=(0.0, 0.0),
        rebate=0.0,
        flank_gap=gap,
        tail_board=replace(
            recipe.tail_board,
            thickness=layout.tail_thickness,
            length=length,
            proud=-short if layout.is_half_blind else recipe.tail_board.proud,
        ),
        pin_board=replace(recipe.pin_board, length=length),
        entry_chamfer=EntryChamfer(0.0, 0.0),
        undercut=Undercut(0.0, 0.0),
    )


SIZES = 9
"""Digits after the point of a size (mm) that is worked out from places, so that it is the one that was asked for."""


def _between(tail: Tail, following: Tail) -> float:
    """The width of the pin between two tails at the finished face."""
    return round(max(tail.left, following.left) - min(tail.right, following.right), SIZES)


def _half_pin(layout: Layout, printing: Printing, gap: float, flank: Flank | None) -> float:
    """How wide the half pin beside a flank is at the finished face: as wide as the joint has it there, or as its widest
    where none lies there, and thick enough to print where the flank comes nearest to the edge; 0 beside a half
    tail."""
    if flank is None:
        return 0.0
    spans = zip(layout.gaps, layout.gap_spans(layout.depth), strict=True)
    rooms = {gap.flanks[0]: right - left for gap, (left, right) in spans if gap.is_half}
    own = round(rooms.get(flank, max(rooms.values(), default=0.0)), SIZES)
    nearer = max(-flank.lean, 0.0) * layout.depth
    return max(own, LEAST_HALF_PIN + nearer, 2 * printing.nozzle + gap * flank.stretch + nearer)


def left_out(layout: Layout) -> str:
    """What trial boards leave out, with a capital."""
    more = [name for name, there in (("rebate", layout.rebate), ("mitre", any(layout.mitred))) if there]
    things = ["undercut", *more, "entry chamfer"]
    return capital(f"{', '.join(things[:-1])} and {things[-1]} are left out")


def too_thin(name: str, joint: Layout, printing: Printing) -> Refusal | None:
    """Why the boards cannot be printed; None where they can."""
    recipe, wall = joint.recipe, 2 * printing.nozzle
    thickness, needed = min(recipe.tail_board.thickness, recipe.pin_board.thickness), wall + DEPTH
    neck = min(joint.tail_width(tail, 0.0) for tail in joint.tails)
    at_show, at_inside = (min(joint.pin_widths(y)) for y in (joint.depth, 0.0))
    pin, face = min((at_show, "show face"), (at_inside, "inside face"))
    firm = max(wall, LEAST_WALL)
    if thickness < needed:
        why = message("A board of {} is too thin to print with letters in it.", in_mm(thickness))
        return Refusal(name, why, message("Boards of {} and more work.", least_in_mm(needed)))
    if neck < firm:
        why = message("The {} is {} wide at its neck, too thin to print.", _narrowest(joint), in_mm(neck))
        remedy = message("A neck of {} works: take fewer tails or a gentler slope.", least_in_mm(firm))
        return Refusal(name, why, remedy)
    if pin < wall:
        why = message("The narrowest pin is {} wide at the {}, too thin to print.", in_mm(pin), face)
        least = least_in_mm(wall + 2 * max(map(joint.shift, joint.flanks)))
        return Refusal(name, why, message("A pin of {} works: take fewer tails or wider pins.", least))
    if joint.is_half_blind and recipe.lap < firm:
        why = message("The lap of {} is too thin to print.", in_mm(recipe.lap))
        return Refusal(name, why, message("A lap of {} works.", least_in_mm(firm)))
    return None


def _narrowest(joint: Layout) -> str:
    """The tail with the thinnest neck."""
    number = joint.narrowest.number
    return "first tail" if number == 1 else f"tail {number} from the reference edge"


def along(joint: Layout) -> float:
    """How long the longer board is on the bed."""
    return joint.recipe.tail_board.length + max(joint.as_cut.tail_end, joint.as_cut.pin_end)


# --- the tail board ------------------------------------------------------------------------------


def tail_body(joint: Layout) -> Solid:
    """The tail board on the bed, on its show face, the tails toward you."""
    end, low = joint.as_cut.tail_end, joint.as_cut.tail_end + joint.recipe.tail_board.length
    outline: Polygon = []
    for tail in joint.tails:
        foot, tip = joint.tail_edges(tail, 0.0), joint.tail_edges(tail, end)
        outline += [(foot[0], end), (tip[0], 0.0), (tip[1], 0.0), (foot[1], end)]
    # Beside a half tail the edge goes on straight to the tail's end; else a shoulder lies there.
    outline = [(0.0, end), *outline] if joint.tails[0].flank(-1) else outline[1:]
    outline = [*outline, (joint.width, end)] if joint.tails[-1].flank(1) else outline[:-1]
    outline += [(joint.width, low), (0.0, low)]
    return terraced(eased(outline, 0.0, joint.as_cut.show_z, foot=FOOT))


def tail_place(joint: Layout) -> Frame:
    """From the bed into the joint."""
    return Frame.of(X, MINUS_Y, MINUS_Z, (0.0, joint.as_cut.tail_end, joint.as_cut.show_z))


def tail_use(words: Words, joint: Layout, pins: Layout, least: tuple[float, float], name: str) -> Use:
    """The tail board in its seat in a pin board, called by a name; `least` as `contacts` has them."""
    floor, shoulders = least
    end, top = joint.as_cut.tail_end, joint.as_cut.show_z
    return Use(
        words,
        tail_place(joint),
        ((name, pin_board(pins, pins.as_cut)),),
        (Rest(name, MINUS_Z, floor), Rest(name, Y, shoulders)),
        (),
        _flank(joint),
        BEARING * (end * _tried(joint).stretch - FOOT) * (top - FOOT),
    )


# --- the pin board -------------------------------------------------------------------------------


def pin_body(joint: Layout) -> Solid:
    """The pin board on the bed, the pins toward you if it is a through one."""
    if joint.is_half_blind:
        return foot_chamfered(placed(pin_board(joint, joint.as_cut), pin_place(joint).inverse()))
    end, low = joint.as_cut.pin_end, joint.as_cut.pin_end + joint.recipe.pin_board.length

    def outline(y: float) -> Polygon:
        sockets: Polygon = []
        for tail in joint.tails:
            left, right = joint.socket_edges(tail, y)
            sockets += [(left, 0.0), (left, end), (right, end), (right, 0.0)]
        # The socket of a half tail is open at the edge of the board.
        loop = [(0.0, 0.0), *sockets] if joint.tails[0].flank(-1) else sockets[1:]
        loop = [*loop, (joint.width, 0.0)] if joint.tails[-1].flank(1) else loop[:-1]
        return [*loop, (joint.width, low), (0.0, low)]

    back = joint.as_cut.show_y
    return terraced([([*inset(outline(FOOT), FOOT)], 0.0), (outline(FOOT), FOOT), (outline(back), back)])


def pin_place(joint: Layout) -> Frame:
    """From the bed into the joint. A half-blind board lies on its show face, so that no lap hangs over a socket; a
    through one on its inside face, where its pins are widest."""
    if joint.is_half_blind:
        return Frame.of(X, Z, MINUS_Y, (0.0, joint.as_cut.show_y, -joint.recipe.pin_board.length))
    return Frame.of(X, MINUS_Z, Y, (0.0, 0.0, joint.as_cut.pin_end))


def pin_middle(joint: Layout) -> float:
    """How far back on the bed the middle of the wood behind the baseline lies, where words find room."""
    half = joint.recipe.pin_board.length / 2
    return half if joint.is_half_blind else joint.as_cut.pin_end + half


def pin_use(words: Words, joint: Layout, name: str) -> Use:
    """The pin board with the tail board, called by a name, in its seat."""
    floor, shoulders = contacts(joint)
    flank = (joint.depth * _tried(joint).stretch - FOOT) * joint.as_cut.pin_end
    return Use(
        words,
        pin_place(joint),
        ((name, tail_board(joint, joint.as_cut)),),
        (Rest(name, Z, floor), Rest(name, MINUS_Y, shoulders)),
        ((name, _across(joint), joint.recipe.flank_gap),),
        _flank(joint),
        BEARING * flank,
    )


# --- both ----------------------------------------------------------------------------------------


def contacts(joint: Layout) -> tuple[float, float]:
    """Least areas on which the boards bear on each other: the floors of the sockets, and the shoulders."""
    deep = min(joint.as_cut.tail_end, joint.depth)
    floor = sum(tail_area(joint, tail, deep) - FOOT * joint.tail_width(tail, 0.0) for tail in joint.tails)
    shoulders = sum(joint.pin_widths(0.0)) - 2 * len(joint.gaps) * FOOT
    return BEARING * floor, BEARING * shoulders * (joint.as_cut.show_z - FOOT)


def _tried(joint: Layout) -> Flank:
    """The flank on which the fit is tried: the first of those that lean most."""
    return max(joint.flanks, key=lambda flank: flank.lean)


def _flank(joint: Layout) -> Plane:
    """The plane of that flank."""
    return Plane((_tried(joint).foot, 0.0, 0.0), _across(joint))


def _across(joint: Layout) -> Vector:
    """Normal to that flank, into the tail."""
    return scaled(_tried(joint).normal, -1.0)
