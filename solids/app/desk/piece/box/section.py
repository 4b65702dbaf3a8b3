"""A cut through one side of a box, its groove, rebate or slip, and the bottom in it. Pure arithmetic, lengths in mm.

The origin lies at the reference edge on the side's show face: X runs into the box, Y up. The cut is made across the
direction in which the bottom moves most, where its room matters, or through a slip.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from solids.app.desk.piece.box.lid import groove_in_section, in_section
from solids.app.desk.piece.drawings import PIN_BOARD, TAIL_BOARD, Shape, View
from solids.base.geometry import PlanePoint, Span
from solids.base.lengths import CALIPER, format_length
from solids.layout.box.fitted.bottom import BOTTOM
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.box_resolved import Side

ABOVE, INTO = 1.2, 1.6
"""How much is drawn above the groove and inside the box, in thicknesses of the side."""

LEAST_ABOVE, BESIDE, LEAST_FIELD = 14.0, 12.0, 12.0
"""The least that is drawn above the groove, the room on the left where dimensions stand, and the least of a field that
is drawn past its border (mm)."""


def cut_side(box: BoxLayout) -> Side:
    """The side that the cut goes through."""
    return "left" if box.has_slips or box.recipe.panel.across(box.recipe.inside) == 0 else "front"


def section_view(box: BoxLayout) -> View | None:
    """The drawing; None where there is no bottom."""
    if box.panel is None:
        return None
    thick, groove, panel = thickness(box), box.recipe.groove, box.recipe.panel
    top = min(max(groove.top, box.panel.z[1]) + max(ABOVE * thick, LEAST_ABOVE), box.recipe.height)
    top = box.recipe.height if box.recipe.lid or box.recipe.lid_board else top
    shaped = panel.border + LEAST_FIELD if panel.edge != "plain" else 0.0
    into = thick + panel.slip + max(INTO * max(thick, groove.depth), shaped)
    lid = in_section(box, 0 if cut_side(box) == "left" else 1, (0.0, into), -0.9 * BESIDE)
    shapes = (*_shapes(box, thick, top, into), *lid, *_dimensions(box))
    board = box.recipe.lid_board
    rises, beside = board.rises if board else 0.0, BESIDE + (board.overhang if board else 0.0)
    below, above = beyond(box, top)
    return View("section", beside + into, below + top + rises + above, (beside, below), shapes)


def beyond(box: BoxLayout, top: float) -> Span:
    """How far the lip of a front that is cut reaches past what is drawn of the box: below it, and above `top`, where
    the drawing ends."""
    lip = box.recipe.lip
    if cut_side(box) != "front":
        return 0.0, 0.0
    return lip.bottom, lip.top if top == box.recipe.height else 0.0


def thickness(box: BoxLayout) -> float:
    """How thick the side that is cut is, finished."""
    return box.board_of(cut_side(box)).thickness - box.planing


def holding_face(box: BoxLayout) -> float:
    """How far into the drawing the face is from which the bottom goes into its groove: that of the side or a slip."""
    return thickness(box) + (box.recipe.panel.slip if cut_side(box) == "left" else 0.0)


def edge_of_bottom(box: BoxLayout) -> float:
    """How far the bottom's edge stands from the floor of its groove, as made."""
    assert box.panel is not None
    axis = 0 if cut_side(box) == "left" else 1
    floor = box.holding[axis][0] - box.recipe.groove.depth
    return (box.panel.x, box.panel.y)[axis][0] - floor


def _shapes(box: BoxLayout, thick: float, top: float, into: float) -> Iterator[Shape]:
    side, groove, face = cut_side(box), box.recipe.groove, holding_face(box)
    words = TAIL_BOARD if box.kind_of(side) == "tail board" else PIN_BOARD
    floor, for_top = face - groove.depth, tuple(groove_in_section(box, thick))
    if face > thick:
        yield Shape("wood", ((0.0, 0.0), (thick, 0.0), *for_top, (thick, top), (0.0, top)), words)
        top_of_slip = box.recipe.slip_top
        yield Shape("wood", tuple(_grooved(thick, face, floor, (groove.up, groove.top), top_of_slip)), "slip")
    else:
        outline = _grooved(0.0, thick, floor, (groove.up, groove.top), top, for_top)
        yield Shape("wood", _with_lip(box, tuple(outline), top), words)
    edge = floor + edge_of_bottom(box)
    yield Shape("wood", tuple(_bottom(box, edge, into)), BOTTOM)
    grows, shrinks = box.panel_moves
    low, high = box.tongue_z
    if not box.recipe.panel.free and grows + shrinks > 0:
        for at, when in ((edge - grows / 2, "bottom at the dampest"), (edge + shrinks / 2, "bottom at the driest")):
            yield Shape("hidden", ((at, low), (at, high)), when)
    yield Shape("number", (((edge + 3 * into) / 4, (low + high) / 2),), BOTTOM)
    yield Shape("number", ((thick / 2, (groove.top + top) / 2),), side)


def _grooved(
    start: float, face: float, floor: float, groove: Span, top: float, above: Iterable[PlanePoint] = ()
) -> Iterator[PlanePoint]:
    """A side or a slip from `start` to its `face`, with its groove, and what its face has `above` that; a rebate begins
    at the lower edge."""
    low, high = groove
    yield start, 0.0
    yield from ((face, 0.0), (face, low), (floor, low)) if low else ((floor, 0.0),)
    yield from ((floor, high), (face, high), *above, (face, top), (start, top))


def _with_lip(box: BoxLayout, outline: Sequence[PlanePoint], top: float) -> tuple[PlanePoint, ...]:
    """The outline of a side from its reference edge round to its show face above, with the lip of a front in place of
    both ends there."""
    deep, (below, above) = box.recipe.lip.thickness, beyond(box, top)
    foot = ((0.0, -below), (deep, -below), (deep, 0.0)) if below else outline[:1]
    head = ((deep, top), (deep, top + above), (0.0, top + above)) if above else outline[-1:]
    return (*foot, *outline[1:-1], *head)


def _bottom(box: BoxLayout, edge: float, into: float) -> Iterator[PlanePoint]:
    """The bottom from its edge: its tongue, and what stands on one face of that."""
    assert box.panel is not None
    panel, (low, high), (foot, head) = box.recipe.panel, box.tongue_z, box.panel.z
    field = edge + panel.border
    start = edge + box.recipe.groove.depth if panel.edge == "fielded" else field
    yield edge, low
    yield from ((start, low), (field, foot), (into, foot)) if foot < low else ((into, low),)
    yield from ((into, head), (field, head), (start, high)) if head > high else ((into, high),)
    yield edge, high


def _dimensions(box: BoxLayout) -> Iterator[Shape]:
    """How high the groove lies and how wide it is, at the left; its depth below it, and above a rebate."""
    groove, face = box.recipe.groove, holding_face(box)
    floor, beside = face - groove.depth, -0.55 * BESIDE
    level = groove.up / 2 if groove.up else groove.top + LEAST_ABOVE / 4
    lines = (
        ((beside, 0.0), (beside, groove.up), groove.up),
        ((beside, groove.up), (beside, groove.top), groove.width),
        ((floor, level), (face, level), groove.depth),
    )
    for start, end, mm in lines:
        if mm:
            yield Shape("dimension", (start, end), format_length(mm, box.recipe.units, CALIPER))
