"""What a CAM program takes: the outline of each board as it lies in the machine, the areas to clear, and the paths of
the maker's own cutters, each on a layer that names its depth and cutter. In mm; zero is that of `layout.setups`."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from solids.base import tolerances as tol
from solids.base.fonts import width_of
from solids.base.geometry import PlanePoint
from solids.base.lengths import CALIPER, format_length
from solids.base.messages import Units
from solids.base.polygons import area_of
from solids.bench.milling import (
    ALLOWANCE,
    ROUGHING_LEAVES,
    RUN_OUT,
    STEP_OVER,
    Cut,
    groove_cutter,
    pin_board_cut,
    tail_board_cut,
)
from solids.layout.box.fitted.dividers import DIVIDER
from solids.layout.joint.shape.mitre import mitred_edges
from solids.layout.setups import GOOD_FACE_UP, Area, Channel, JointHere, MachineBoard, Setup
from solids.model.manifold import nested
from solids.write.drafting.layers import WORDS, ZERO, Part, machine_layer
from solids.write.drafting.pockets import (
    Pocket,
    channel,
    cutter_ring,
    pin_board_sockets,
    rebate,
    reliefs,
    tail_board_end,
    tail_board_sockets,
)
from solids.write.drafting.sheet import Label, Sheet, Stroke, bounds, line, placed

LETTERS = 3.0
"""Height of the words beside the outlines."""

MARGIN = 10.0
"""Room round a picture at full size."""

LASER = (
    "Full size: 1 is 1 mm. Lines are the edges of the wood as it is to be.",
    "A laser takes a kerf: move each line by half of yours into the waste. It leaves the walls charred and not square.",
    "It sets wood on fire. Keep its guards shut and its fumes out, stand by it, and keep to its manual.",
)

MILLED = ("Clear the middle first; let no loose piece fly. Read the cautions in the note for CNC.",)

TWICE_FLAT = ("mitre by hand", "dovetail by hand", "rebate", "sockets")
"""The areas of a flat board that share lines with its outline."""

ARM = 6.0
"""Half the length of the cross that marks the zero."""

Items = list[Stroke | Label]


def outlines(board: MachineBoard) -> Items:
    """The outline and the areas to clear of every setup of a board, and the cross at its zero."""
    cross: Items = [line(ZERO, (-ARM, 0.0), (ARM, 0.0)), line(ZERO, (0.0, -ARM), (0.0, ARM))]
    return [*(stroke for setup in board.setups for stroke in _areas(board, setup)), *cross]


def paths(board: MachineBoard) -> Items:
    """The paths of the maker's own cutters; none for a cutter that the maker may not have. Rings run clockwise, so that
    inside a socket the cutter turns against its feed and does not pull itself along (common practice)."""
    return [stroke for setup in board.setups for stroke in _cuts_of(board, setup)]


def words(board: MachineBoard, drawn: Items, milled: Sequence[str] = ()) -> Items:
    """What is what, beside each setup in its quarter of the plane, clear of what is `drawn` of it; and what is to be
    told where something is `milled`."""
    found: Items = []
    for setup in board.setups:
        right = setup.x[0] < 0
        told = [*setup_words(board, setup), *(milled if setup.joints or setup.grooves or setup.notches else ())]
        told += [f"not drawn: {', '.join(board.by_hand)}"] if board.by_hand and setup is board.lies else []
        (_, low), (_, high) = bounds(item for item in drawn if item.layer.startswith(f"{setup.name} "))
        foot = low - 3 * LETTERS if setup.is_flat else high + 2 * LETTERS * (len(told) + 1)
        for row, text in enumerate(told):
            at = (-LETTERS if right else LETTERS, foot - 2 * LETTERS * row)
            found.append(Label(text, at, LETTERS, "right" if right else "left", layer=WORDS))
    return found


def machine_items(board: MachineBoard) -> Items:
    """All that a DXF file of a board holds."""
    drawn = [*outlines(board), *paths(board)]
    return [*drawn, *words(board, drawn, MILLED)]


def picture_at_full_size(board: MachineBoard, title: str) -> Sheet:
    """The outline of a board and the areas to clear, at 1:1, with what a laser does to them."""
    # The outline of a flat board runs round its sockets and dovetails: a laser would cut each of those lines twice.
    twice = tuple(
        f"{setup.name} {part}"
        for setup in board.setups
        for part in (TWICE_FLAT if setup.is_flat else ("mitre by hand",))
    )
    drawn = outlines(board)
    items: Items = [item for item in (*drawn, *words(board, drawn)) if not item.layer.startswith(twice or "-")]
    (left, foot), _ = bounds(items)
    for row, text in enumerate(LASER, start=1):
        items.append(Label(text, (left, foot - 2 * LETTERS * (row + 1)), LETTERS, "left", layer=WORDS))
    low, high = _extents(items)
    width, height = (high[axis] - low[axis] + 2 * MARGIN for axis in (0, 1))
    return Sheet(title, width, height, 1.0, tuple(placed(items, 1.0, (MARGIN - low[0], MARGIN - low[1]))))


def _extents(items: Items) -> tuple[PlanePoint, PlanePoint]:
    """As `bounds`, with the words as long as they are."""
    ends: Items = []
    for item in items:
        if isinstance(item, Label):
            along = width_of(item.text, item.height) * (-1 if item.align == "right" else 1)
            ends.append(line(WORDS, item.at, (item.at[0] + along, item.at[1] + item.height)))
    return bounds([*items, *ends])


def setup_words(board: MachineBoard, setup: Setup) -> Iterator[str]:
    """One setup in words: how the board lies, and where its zero is."""
    if setup.is_flat:
        yield f"{setup.name}: {_lies(board)}; zero is the cross, on the upper face"
        yield from _by_hand(board, setup)
        if setup.dovetails:
            yield "the dovetails on both ends are cut by hand: leave the whole thickness there"
        yield from _shaped(board, setup)
        return
    yield f"{setup.name}: upright, the inside face toward you"
    yield f"reference edge on the {setup.joints[0].side}; zero is the cross, on the raw end"
    yield from _by_hand(board, setup)


def _lies(board: MachineBoard) -> str:
    """Which face of a flat board is up, and which edge is where."""
    if board.name.startswith(DIVIDER):
        return "marked face up, upper edge toward you"
    if board.name in GOOD_FACE_UP:
        return "good face up, back edge away from you"
    return "inside face up, reference edge away from you"


def _shaped(board: MachineBoard, setup: Setup) -> Iterator[str]:
    """The lines of a bottom's shaped edge."""
    if setup.shaping is None:
        return
    deep = format_length(setup.shaping.depth, board.recipe.units, CALIPER)
    face = "upper face" if setup.shaping.is_on_top else "underside: turn the board over to cut it"
    if len(setup.shaping.lines) == 1:
        yield f"shoulder: the edge is {deep} lower from this line outward, on the {face}"
    else:
        yield f"field and tongue: bevel from the one line down to the other, {deep} deep, on the {face}"


def _by_hand(board: MachineBoard, setup: Setup) -> Iterator[str]:
    """What comes before the sockets, and what is left to the saw, with the ends that have it where there are two."""
    ends: dict[tuple[str, str], list[str]] = {}
    for here in setup.joints:
        for words in _besides(here, board.recipe.units):
            ends.setdefault(words, []).append(here.side)
    for (what, how), sides in ends.items():
        where = " at both ends" if len(sides) > 1 else f" at the {sides[0]} end"
        yield f"{what}{where if len(setup.joints) > 1 else ''}{how}"


def _besides(here: JointHere, units: Units) -> Iterator[tuple[str, str]]:
    """The same at one end: the words before its name and behind it."""
    if _is_rebated(here):
        deep = format_length(here.layout.rebate, units, CALIPER)
        yield "first a rebate", f", {deep} deep, from baseline to end; all depths are from the upper face"
    for span in mitred_edges(here.layout):
        edge = "reference" if (span[0] == 0.0) != here.layout.mirrored else "other"
        wide = format_length(span[1] - span[0], units)
        yield f"leave {wide} along the {edge} edge", " to the saw: it is mitred by hand"


# --- areas ---------------------------------------------------------------------------------------


def _areas(board: MachineBoard, setup: Setup) -> Iterator[Stroke]:
    """What a setup shows from above: the board, every area that is cut, and what is left to the saw."""
    yield _stroke(board, setup, "outline", None, _outline(setup))
    for here in setup.joints:
        depth = _cut_of(here).depth
        for left in _mitred(here):
            yield _stroke(board, setup, "mitre by hand", None, map(here.seen, left.points))
        if _is_rebated(here):
            yield _stroke(board, setup, "rebate", here.layout.rebate, map(here.seen, rebate(here.layout).points))
        for pocket in _sockets(here, 0.0):
            yield _stroke(board, setup, "sockets", depth, [here.seen(point) for point in pocket.points])
    for dovetail in setup.dovetails:
        yield _stroke(board, setup, "dovetail by hand", None, channel(*dovetail).points)
    for groove in setup.grooves:
        yield _stroke(board, setup, "groove", groove.depth, channel(groove.x, groove.y).points)
    if setup.shaping:
        for what, ring in setup.shaping.lines:
            yield _stroke(board, setup, what, None if what == "field" else setup.shaping.depth, ring)


def _outline(setup: Setup) -> list[PlanePoint]:
    """The board as cut, from above."""
    (left, right), (low, high) = setup.lip or (setup.x, setup.y)
    if not (setup.is_flat and setup.joints):
        lower, upper = (
            [point for notch in sorted(setup.notches) if edge in notch[1] for point in _round(notch, edge)]
            for edge in (low, high)
        )
        return [(left, low), *lower, (right, low), (right, high), *reversed(upper), (left, high)]
    points: list[PlanePoint] = []
    ends = {here.side: [here.seen(point) for point in tail_board_end(here.layout)] for here in setup.joints}
    points += ends["left"]
    points += ends.get("right", [(right, high), (right, low)])
    return points


def _round(notch: Area, edge: float) -> tuple[PlanePoint, ...]:
    """The outline round a notch that is open at an edge, from left to right."""
    (left, right), (low, high) = notch
    floor = high if edge == low else low
    return (left, edge), (left, floor), (right, floor), (right, edge)


def _sockets(here: JointHere, past: float) -> Iterator[Pocket]:
    make = tail_board_sockets if here.kind == "tail board" else pin_board_sockets
    return make(here.layout, past)


def _is_rebated(here: JointHere) -> bool:
    return here.kind == "tail board" and here.layout.rebate > 0.0


def _mitred(here: JointHere) -> Iterator[Pocket]:
    """What the saw is to mitre of a board, on its face or on its end."""
    layout, is_tail_board = here.layout, here.kind == "tail board"
    far = layout.as_cut.tail_end if is_tail_board else layout.recipe.pin_board.thickness
    return (channel(span, (0.0, far)) for span in mitred_edges(layout))


def _cut_of(here: JointHere) -> Cut:
    return (tail_board_cut if here.kind == "tail board" else pin_board_cut)(here.layout)


def _stroke(
    board: MachineBoard,
    setup: Setup,
    part: Part,
    depth: float | None,
    points: Iterable[PlanePoint],
    diameter: float | None = None,
) -> Stroke:
    """A closed ring on its layer: areas run counter-clockwise, paths clockwise."""
    ring = list(points)
    if (area_of(ring) < 0) == (diameter is None):
        ring.reverse()
    return Stroke(
        machine_layer(setup.name, part, depth, board.recipe.paper.dxf_units, diameter), tuple(ring), closed=True
    )


# --- paths ---------------------------------------------------------------------------------------


def _cuts_of(board: MachineBoard, setup: Setup) -> Iterator[Stroke]:
    for here in setup.joints:
        cut = _cut_of(here)
        if cut.own and _is_rebated(here):
            yield from _rebate_paths(board, setup, here)
        if cut.own:
            yield from _socket_paths(board, setup, here, cut)
    for groove in setup.grooves if board.recipe.kit.cutters else ():
        yield from _groove_paths(board, setup, groove)


def _socket_paths(board: MachineBoard, setup: Setup, here: JointHere, cut: Cut) -> Iterator[Stroke]:
    """For each socket: rounds that clear it, with a little wood left on the walls, and the last round along them."""
    for number, run in enumerate(cut.runs):
        thick = run.cutter.diameter
        step = STEP_OVER * thick
        for pocket in _sockets(here, thick + RUN_OUT):
            inside = nested(pocket.points, thick / 2 + ROUGHING_LEAVES, step)
            if number:  # where a thicker cutter has been
                inside = nested(pocket.points, thick / 2 + step, step, cut.further_rounds)
            for ring in reversed(inside):  # from the middle outward, so that no piece comes loose inside a round
                yield _stroke(board, setup, "clear", cut.depth, map(here.seen, ring), thick)
            if run.is_last:
                last = cutter_ring(pocket, thick)
                yield _stroke(board, setup, "last", cut.depth, map(here.seen, last), thick)
            if run.relief:
                layer = machine_layer(setup.name, "relief", cut.depth, board.recipe.paper.dxf_units, thick)
                yield from (line(layer, here.seen(a), here.seen(b)) for a, b in reliefs(pocket, thick))


def _rebate_paths(board: MachineBoard, setup: Setup, here: JointHere) -> Iterator[Stroke]:
    """Out over the raw end and both edges, with the thickest cutter that is not too thin for the depth."""
    depth = here.layout.rebate
    thick = groove_cutter(board.recipe.kit.cutters, math.inf, depth)
    if thick is None:
        return
    pocket = rebate(here.layout, thick + RUN_OUT)
    for ring in reversed(nested(pocket.points, thick / 2 + ROUGHING_LEAVES, STEP_OVER * thick)):
        yield _stroke(board, setup, "clear", depth, map(here.seen, ring), thick)
    yield _stroke(board, setup, "last", depth, map(here.seen, cutter_ring(pocket, thick)), thick)


def _groove_paths(board: MachineBoard, setup: Setup, groove: Channel) -> Iterator[Stroke]:
    """Along the groove, out of the wood where it does not stop. A cutter as thick as the groove is wide runs down the
    middle once."""
    wide = groove.y[1] - groove.y[0]
    thick = groove_cutter(board.recipe.kit.cutters, wide, groove.depth)
    if thick is None:
        return
    past = thick + RUN_OUT
    left, right = (0.0 if stop else past for stop in groove.stops)
    pocket = channel((groove.x[0] - left, groove.x[1] + right), groove.y)
    if wide - thick < tol.ROUNDING:
        middle, units = sum(groove.y) / 2, board.recipe.paper.dxf_units
        ends = (pocket.points[0][0] + thick / 2, middle), (pocket.points[1][0] - thick / 2, middle)
        yield line(machine_layer(setup.name, "last", groove.depth, units, thick), *ends)
        return
    if wide - thick > 2 * ALLOWANCE:
        for ring in reversed(nested(pocket.points, thick / 2 + ROUGHING_LEAVES, STEP_OVER * thick)):
            yield _stroke(board, setup, "clear", groove.depth, ring, thick)
    yield _stroke(board, setup, "last", groove.depth, cutter_ring(pocket, thick), thick)
