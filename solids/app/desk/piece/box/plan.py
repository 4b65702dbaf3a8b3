"""A box from above, and beside each of its edges that side from outside, as a drawing in third-angle projection has
them (ISO 5456-2): the top of each side lies toward the plan. Pure arithmetic, lengths in mm.

The origin is the front left corner of the finished box: X to the right along the front, Y from front to back. A side is
drawn by how far along the box a point is, and how high.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from solids.app.desk.piece.box.lid import kerf_on_side, top_from_above
from solids.app.desk.piece.drawings import PIN_BOARD, TAIL_BOARD, Shape, View, area, pins_on_face, rounded, tails_on_end
from solids.base.geometry import PlanePoint, Span
from solids.base.lengths import CALIPER, format_length
from solids.layout.box.fitted.bottom import BOTTOM
from solids.layout.box.fitted.dividers import faces_at, name_of
from solids.layout.box.model import BoxCorner, BoxLayout
from solids.recipe.tables.box_resolved import SIDES, Side
from solids.recipe.tables.dividers import ENDS_IN, Divider, numbered

APART_SHARE = 0.1
"""How far the sides lie from the plan, as a share of the longer edge of the box: room for the dimensions."""

NUMBERS = 0.12
"""Where the number of a divider stands, as a share of its length from its front or left end."""

ACROSS, UP = 0.28, 0.72
"""Where the inside sizes stand, as shares of the width and the length inside."""


def plan_view(box: BoxLayout) -> View:
    """The drawing of a finished box."""
    (long, wide), high, gap = box.outside, box.recipe.height, apart(box)
    around = high + gap
    shapes = (*_sides(box), *_boards(box), *_lip(box), *_hidden(box), *_dividers(box), *_words(box), *_sizes(box))
    return View("plan", long + 2 * around, wide + 2 * around, (around, around), shapes)


def corner_places(box: BoxLayout, view: View) -> list[dict[str, Any]]:
    """Each corner by its name: the joint in the plan, and the free room beside it, as two points each."""
    (long, wide), around = box.outside, box.recipe.height + apart(box)
    found = []
    for name in box.corners:
        end, hand = name.split()
        x, deep_x = (0.0, _thick(box, "left")) if hand == "left" else (long, -_thick(box, "right"))
        y, deep_y = (0.0, _thick(box, "front")) if end == "front" else (wide, -_thick(box, "back"))
        out_x, out_y = (-around if hand == "left" else long + around), (-around if end == "front" else wide + around)
        joint = [rounded(view.at(x, y)), rounded(view.at(x + deep_x, y + deep_y))]
        found.append({"name": name, "joint": joint, "room": [rounded(view.at(x, y)), rounded(view.at(out_x, out_y))]})
    return found


def apart(box: BoxLayout) -> float:
    """How far the sides lie from the plan."""
    return APART_SHARE * max(box.outside)


def on_side(box: BoxLayout, side: Side, along: float, high: float) -> PlanePoint:
    """Where a point of a side's outside is on the drawing: so far along the box, so high above the reference edges."""
    (long, wide), down = box.outside, apart(box) + box.recipe.height - high
    return {
        "front": (along, -down),
        "back": (along, wide + down),
        "left": (-down, along),
        "right": (long + down, along),
    }[side]


def _thick(box: BoxLayout, side: Side) -> float:
    return box.board_of(side).thickness - box.planing


def _colour(box: BoxLayout, side: Side) -> str:
    return TAIL_BOARD if box.kind_of(side) == "tail board" else PIN_BOARD


def _ends(box: BoxLayout, side: Side) -> Iterator[tuple[BoxCorner, float, int]]:
    """The corners at both ends of a side, each with the inside face of its mate there and the way out of the box."""
    axis = 0 if side in ("front", "back") else 1
    for name, corner in box.corners.items():
        if side in name:
            is_far = name.endswith("right") if axis == 0 else name.startswith("back")
            yield corner, box.inside[axis][1 if is_far else 0], 1 if is_far else -1


# --- the sides, from outside -----------------------------------------------------------------------


def _sides(box: BoxLayout) -> Iterator[Shape]:
    for side in SIDES:
        long = box.outside[0 if side in ("front", "back") else 1]
        low = box.boards[side].low
        for kind, points, words in (
            ("wood", area((0.0, low), (long, low + box.boards[side].width)), _colour(box, side)),
            *((shape.kind, points, shape.words) for shape, points in _joints_on(box, side)),
            *(("wood", points, _colour(box, "front")) for points in _lip_on(box, side)),
            *((shape.kind, points, shape.words) for shape, points in kerf_on_side(box, long)),
        ):
            yield Shape(kind, tuple(on_side(box, side, *point) for point in points), words)


def _lip_on(box: BoxLayout, side: Side) -> Iterator[tuple[PlanePoint, ...]]:
    """What is seen of the front's lip beyond a side: all round the front, and from its end at the sides."""
    lip, (long, _), high = box.recipe.lip, box.outside, box.recipe.height
    heights = [(-lip.bottom, 0.0), (high, high + lip.top)]
    spans = {"front": (-lip.left, long + lip.right), "left": (0.0, lip.thickness), "right": (0.0, lip.thickness)}
    if side == "front":
        yield from (area((x, 0.0), (end, high)) for x, end in ((-lip.left, 0.0), (long, long + lip.right)) if end > x)
    if side in spans:
        start, end = spans[side]
        yield from (area((start, low), (end, top)) for low, top in heights if top > low)


def _joints_on(box: BoxLayout, side: Side) -> Iterator[tuple[Shape, tuple[PlanePoint, ...]]]:
    """What is seen of the mates at both ends of a side, by how far along the box and how high."""
    for corner, baseline, out in _ends(box, side):
        layout, state = corner.layout, corner.layout.as_finished
        low = corner.below
        if box.kind_of(side) == "tail board":
            for pin in pins_on_face(layout, state):
                yield Shape("wood", (), PIN_BOARD), tuple((baseline + out * y, low + x) for x, y in pin)
            continue
        for shape in tails_on_end(layout, state):
            yield shape, tuple((baseline - out * z, low + x) for x, z in shape.points)
        top = low + layout.width
        for foot, head in ((0.0, low), (top, top + corner.above)):
            if head > foot:
                yield Shape("wood", (), TAIL_BOARD), area((baseline, foot), (baseline + out * state.show_z, head))


# --- from above --------------------------------------------------------------------------------------


def _boards(box: BoxLayout) -> Iterator[Shape]:
    """The upper edges of the boards, and how they meet there."""
    for side in SIDES:
        axis = 0 if side in ("front", "back") else 1
        face, out = box.inside[1 - axis][side in ("back", "right")], 1 if side in ("back", "right") else -1
        (first, low, back), (last, high, on) = sorted(_ends(box, side), key=lambda end: end[1])
        ends = [(low + back * u, v) for u, v in _edge_at(box, side, first)]
        ends += [(high + on * u, v) for u, v in reversed(_edge_at(box, side, last))]
        points = [(along, face + out * v) for along, v in ends]
        yield Shape("wood", tuple(point if axis == 0 else point[::-1] for point in points), _colour(box, side))


def _edge_at(box: BoxLayout, side: Side, corner: BoxCorner) -> list[PlanePoint]:
    """The end of a board at its upper edge, from its inside face to its show face: how far past the corner's inside
    edge, and how far from the board's inside face."""
    layout, state, rebate = corner.layout, corner.layout.as_finished, corner.layout.rebate
    is_mitred, is_half_tail = layout.mitred[1] > 0, layout.recipe.listed.edges[1] == "half tail"
    if box.kind_of(side) == "tail board":
        if is_mitred:
            return [(0.0, 0.0), (0.0, rebate), (state.show_y, state.show_z)]
        if is_half_tail:
            return [(0.0, 0.0), (0.0, rebate), (state.tail_end, rebate), (state.tail_end, state.show_z)]
        return [(0.0, 0.0), (0.0, state.show_z)]
    if is_mitred:
        return [(rebate, 0.0), (state.show_z, state.show_y)]
    if is_half_tail and layout.is_half_blind:
        end = layout.depth
        return [(rebate, 0.0), (rebate, end), (state.pin_end, end), (state.pin_end, state.show_y)]
    end = rebate if is_half_tail else state.pin_end
    return [(end, 0.0), (end, state.show_y)]


def _hidden(box: BoxLayout) -> Iterator[Shape]:
    """What lies under the upper edges: the groove, the bottom, and the ends of tails behind a lap."""
    for side in SIDES:
        axis, far = (0 if side in ("front", "back") else 1), side in ("back", "right")
        floor = box.inside[1 - axis][far] + (1 if far else -1) * box.recipe.groove.depth
        ends = sorted(
            at + out * box.groove_reach(box.boards[side], corner, corner.layout.as_finished)
            for corner, at, out in _ends(box, side)
        )
        if box.is_grooved(side):
            yield Shape("hidden", tuple((along, floor) if axis == 0 else (floor, along) for along in ends), "groove")
    if box.panel:
        (left, right), (front, back) = box.panel.x, box.panel.y
        yield Shape("hidden", (*area((left, front), (right, back)), (left, front)), BOTTOM)
        yield from _fields_and_slips(box)
    yield from top_from_above(box)
    yield from _opening(box)
    for corner in box.corners.values():
        if corner.layout.is_half_blind:
            yield Shape("hidden", tuple(_behind_the_lap(box, corner)), "tails")


def _lip(box: BoxLayout) -> Iterator[Shape]:
    """What of the front's lip reaches past the box, seen from above, at each hand."""
    lip, (long, _) = box.recipe.lip, box.outside
    for start, end in ((-lip.left, 0.0), (long, long + lip.right)):
        if end > start:
            yield Shape("wood", area((start, 0.0), (end, lip.thickness)), _colour(box, "front"))


def _opening(box: BoxLayout) -> Iterator[Shape]:
    """The opening round a drawer, its front flush or its lip on the face of the carcase; not one that would run into
    the drawing of the back."""
    opening, (long, wide), front = box.recipe.opening, box.outside, box.recipe.lip.thickness
    if opening and front + opening.depth - wide < apart(box):
        aside = (opening.width - long) / 2
        corners = area((-aside, front), (long + aside, front + opening.depth))
        yield Shape("hidden", (*corners, corners[0]), "opening")


def _fields_and_slips(box: BoxLayout) -> Iterator[Shape]:
    """The line of the shoulder or of the field, and the inner edges of slips."""
    assert box.panel is not None
    panel, (left, right), (front, back) = box.recipe.panel, box.panel.x, box.panel.y
    if panel.edge != "plain":
        by = panel.border
        low, high = (left + by, front + by), (right - by, back - (0.0 if panel.under_back else by))
        yield Shape("hidden", (*area(low, high), low), "shoulder" if panel.edge == "rebated" else "field")
    if box.has_slips:
        start, end = box.inside[1][0], box.outside[1]
        for at in box.holding[0]:
            yield Shape("hidden", ((at, start), (at, end)), "slip")


def _dividers(box: BoxLayout) -> Iterator[Shape]:
    """The upper edges of the dividers between the boards, what goes on in the housings, and their numbers."""
    for number, divider in numbered(box.recipe.dividers):
        near, far = faces_at(box, divider)
        start, end = box.inside[1 - divider.axis]
        deep, name = divider.depth, name_of(number)
        for low, high in ((start - deep, start), (end, end + deep)):
            yield Shape("hidden", _rectangle(divider, (near, far), (low, high)), name)
        yield Shape("wood", _rectangle(divider, (near, far), (start, end))[:4], name)
        # Off the middle, where the inside sizes and the bottom's name stand.
        middle, along = (near + far) / 2, start + NUMBERS * (end - start)
        yield Shape("number", ((middle, along) if divider.axis == 0 else (along, middle),), str(number))


def _rectangle(divider: Divider, across: Span, along: Span) -> tuple[PlanePoint, ...]:
    """A closed outline by its spans over a divider's thickness and along it."""
    x, y = (across, along) if divider.axis == 0 else (along, across)
    points = area((x[0], y[0]), (x[1], y[1]))
    return (*points, points[0])


def _behind_the_lap(box: BoxLayout, corner: BoxCorner) -> Iterator[PlanePoint]:
    """The ends of the tails, as far as they go into the pin board."""
    end, hand = corner.name.split()
    x, out_x = box.inside[0][hand == "right"], 1 if hand == "right" else -1
    y, out_y = box.inside[1][end == "back"], 1 if end == "back" else -1
    layout = corner.layout
    for far, aside in ((0.0, layout.rebate), (layout.depth, layout.rebate), (layout.depth, layout.as_finished.show_z)):
        along, across = (aside, far) if box.recipe.tails_on_sides else (far, aside)
        yield x + out_x * along, y + out_y * across


# --- words -------------------------------------------------------------------------------------------


def _words(box: BoxLayout) -> Iterator[Shape]:
    for side in SIDES:
        middle = box.outside[0 if side in ("front", "back") else 1] / 2
        half = box.boards[side].low + box.boards[side].width / 2
        yield Shape("number", (on_side(box, side, middle, half),), side)
    if box.panel:
        yield Shape("number", (_place_of_bottom(box),), BOTTOM)


def _place_of_bottom(box: BoxLayout) -> PlanePoint:
    """Where the bottom is named: left of the middle, and between dividers at the back on the left."""
    (left, right), (front, back) = box.inside
    faces = {way: [faces_at(box, each) for each in box.recipe.dividers if each.runs == way] for way in ENDS_IN}
    x = (left + min(near for near, _ in faces["across"])) / 2 if faces["across"] else left + (right - left) / 3
    y = (max(far for _, far in faces["along"]) + back) / 2 if faces["along"] else (front + back) / 2
    return x, y


def _sizes(box: BoxLayout) -> Iterator[Shape]:
    """The outside sizes between the plan and its sides, the inside sizes within."""
    (long, wide), gap = box.outside, apart(box) / 2
    (left, right), (front, back) = box.inside
    across, up = front + ACROSS * (back - front), left + UP * (right - left)
    for from_to in (
        ((0.0, -gap), (long, -gap)),
        ((long + gap, 0.0), (long + gap, wide)),
        ((left, across), (right, across)),
        ((up, front), (up, back)),
    ):
        (x0, y0), (x1, y1) = from_to
        yield Shape("dimension", from_to, format_length(abs(x1 - x0) + abs(y1 - y0), box.recipe.units, CALIPER))
