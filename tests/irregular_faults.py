"""Faults of a thousandth of a millimetre and more, planted in irregular joints, each by what is wrong: a flank, a tail,
a slope, a mitred shoulder, a rebate, or the flush edge of a half tail."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

from solids.base.geometry import PlanePoint, Span
from solids.layout import Layout, Tail
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.model.boards import pin_board, tail_board
from solids.model.corner import Corner, make_corner
from solids.model.kernel import Solid, shaping
from solids.proof.joint.corner import prove
from tests.properties import meant_to_fail

Boards = tuple[Solid, Solid]
Plant = Callable[[Layout, random.Random, float], Boards]


def boards_of(layout: Layout, tails: Layout | None = None, pins: Layout | None = None) -> Boards:
    """Both boards as cut; either as another layout has it."""
    return tail_board(tails or layout, layout.as_cut), pin_board(pins or layout, layout.as_cut)


def with_flank(layout: Layout, flank: Flank, face: float, foot: float) -> Layout:
    """The layout with one flank moved by so much at the finished face and at the baseline."""
    inward = -flank.side * (flank.face + face - flank.foot - foot)
    moved = replace(flank, face=flank.face + face, ratio=-layout.depth / inward if inward else float("inf"))
    return replace(layout, tails=tuple(_with(tail, flank, moved) for tail in layout.tails))


def _with(tail: Tail, flank: Flank, moved: Flank) -> Tail:
    if flank not in tail.flanks:
        return tail
    flanks = tuple(moved if each == flank else each for each in tail.flanks)
    return replace(tail, flanks=flanks, **{"left" if flank.side < 0 else "right": moved.face})


def along_x(outline: list[PlanePoint], span: Span) -> Solid:
    """A prism over an outline in (Y, Z), counter-clockwise, from one X to another."""
    return shaping.placed(shaping.prism(outline, *span), ((0, 0, 1, 0), (1, 0, 0, 0), (0, 1, 0, 0)))


def changed(layout: Layout, board: int, outline: list[PlanePoint], span: Span, *, more: bool) -> Boards:
    """Both boards as cut, one of them (0 for the tail board) with so much wood more or less."""
    boards = list(boards_of(layout))
    tool = along_x(outline, span)
    boards[board] = shaping.fuse([boards[board], tool]) if more else shaping.cut(boards[board], [tool])
    return boards[0], boards[1]


# --- what may be wrong -----------------------------------------------------------------------------


def flank_moved(layout: Layout, dice: random.Random, by: float) -> Boards:
    wrong = with_flank(layout, dice.choice(layout.flanks), by, by)
    return boards_of(layout, tails=wrong) if dice.random() < 0.5 else boards_of(layout, pins=wrong)


def slope_off(layout: Layout, dice: random.Random, by: float) -> Boards:
    """At one end of the flank alone."""
    face, foot = dice.choice(((by, 0.0), (0.0, by)))
    wrong = with_flank(layout, dice.choice(layout.flanks), face, foot)
    return boards_of(layout, tails=wrong) if dice.random() < 0.5 else boards_of(layout, pins=wrong)


def tail_shifted(layout: Layout, dice: random.Random, by: float) -> Boards:
    """In one board; its volume stays."""
    wrong = layout
    for number in range(len((tail := dice.choice([tail for tail in layout.tails if tail.flanks])).flanks)):
        flank = next(each for each in wrong.tails if each.number == tail.number).flanks[number]
        wrong = with_flank(wrong, flank, by, by)
    return boards_of(layout, tails=wrong) if dice.random() < 0.5 else boards_of(layout, pins=wrong)


def mitre_shifted(layout: Layout, dice: random.Random, by: float) -> Boards:
    """The plane of one board's mitre, along Y."""
    return _mitre(layout, dice, (by, by))


def mitre_turned(layout: Layout, dice: random.Random, by: float) -> Boards:
    """The plane of one board's mitre, about its inner or its outer end."""
    return _mitre(layout, dice, dice.choice(((by, 0.0), (0.0, by))))


def _mitre(layout: Layout, dice: random.Random, by: Span) -> Boards:
    """Moved along Y by so much at its foot and at its end."""
    mitre, state = mitre_of(layout), layout.as_cut
    board, span = dice.randrange(2), dice.choice(mitred_edges(layout))
    run = min(mitre.y(state.show_z), state.show_y)
    ends = [(0.0, mitre.foot), (run, mitre.z(run))]
    far = [(y + move, z) for (y, z), move in zip(ends, by, strict=True)]
    # The tail board lies on the side of less Y, the pin board beyond.
    more = (max(by) > 0) == (board == 0)
    outline = [ends[0], far[0], far[1], ends[1]] if max(by) > 0 else [far[0], ends[0], ends[1], far[1]]
    return changed(layout, board, [p for i, p in enumerate(outline) if p not in outline[:i]], span, more=more)


def rebate_shoulder_off(layout: Layout, _: random.Random, by: float) -> Boards:
    """Nearer the end, so that the boards overlap, or further back, so that it does not bear."""
    (low, high), deep = sorted((0.0, by)), layout.rebate
    outline = [(low, 0.0), (high, 0.0), (high, deep), (low, deep)]
    return changed(layout, 0, outline, (0.0, layout.width), more=by > 0)


def rebate_depth_off(layout: Layout, _: random.Random, by: float) -> Boards:
    return boards_of(layout, tails=replace(layout, recipe=replace(layout.recipe, rebate=layout.rebate + by)))


def flush_edge_off(layout: Layout, dice: random.Random, by: float) -> Boards:
    """The edge of a half tail past that of the board, or short of it."""
    tail = dice.choice([tail for tail in layout.tails if tail.is_half and tail.flanks])
    x, side = (0.0, -1) if tail.flank(-1) is None else (layout.width, 1)
    span, state = sorted((x, x + side * by)), layout.as_cut
    outline = [
        (0.0, layout.rebate),
        (state.tail_end, layout.rebate),
        (state.tail_end, state.show_z),
        (0.0, state.show_z),
    ]
    return changed(layout, 0, outline, (span[0], span[1]), more=by > 0)


PLANTS: dict[str, tuple[Plant, Callable[[Layout], bool]]] = {
    "flank moved": (flank_moved, lambda layout: bool(layout.flanks)),
    "slope off": (slope_off, lambda layout: bool(layout.flanks)),
    "tail shifted": (tail_shifted, lambda layout: bool(layout.flanks)),
    "mitre shifted": (mitre_shifted, lambda layout: any(layout.mitred)),
    "mitre turned": (mitre_turned, lambda layout: any(layout.mitred)),
    "shoulder of the rebate off": (rebate_shoulder_off, lambda layout: layout.rebate > 0),
    "depth of the rebate off": (rebate_depth_off, lambda layout: layout.rebate > 0),
    "flush edge off": (flush_edge_off, lambda layout: any(tail.is_half for tail in layout.tails)),
}
"""How each fault is planted, and which joints can have it."""


def codes_with(layout: Layout, boards: Boards) -> set[str]:
    """The codes of what fails with boards that are not those of the layout. An overlap does not count, nor what the
    recipe itself makes fail."""
    faulty = Corner(layout, layout.as_cut, *boards)
    proof = prove(faulty, make_corner(layout, layout.as_finished))
    failing = {finding.code for finding in proof.findings if finding.severity == "fail"}
    return failing - {"overlap", *meant_to_fail(layout)}
