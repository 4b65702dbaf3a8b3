"""A sketch of each board of a piece, as it lies on the bench with its reference edge down and its show face up: both
ends with the lines to cut, the groove behind it, its marks, and the length to saw it to. Long boards are broken off in
the middle. Pure arithmetic, on paper in mm."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import singledispatch

from solids.base.fonts import fitted, width_of
from solids.base.geometry import PlanePoint, Span
from solids.base.lengths import CALIPER, format_dimension, format_length, format_sizes
from solids.base.messages import Units, capital
from solids.base.tolerances import ROUNDING
from solids.layout.boards import boards_of
from solids.layout.box.cut_list import TRIANGLES, CutListRow
from solids.layout.box.model import BoardKind, BoxCorner, BoxLayout
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.layout.joint.shape.model import Layout
from solids.recipe.tables.box_resolved import SIDES, Side
from solids.write.drafting.dimensions import TICK, words_width
from solids.write.drafting.sheet import Distance, Item, Label, Stroke, box, break_line, line, placed

HEAD, FOOT, RIGHT = 15.0, 14.5, 9.0
"""Room above a board for its name and what is said of it, below it for its reference edge and its length, and on its
right for its width."""

NAME, WORDS, SMALL = 3.0, 2.2, 1.8
"""Heights of capitals."""

NUMBERED = 2.5
"""The narrowest tail that is given a number, on paper."""

STUB = 2.2
"""The least that is drawn of each half of a board, as a multiple of its joint."""

SHORTEST = 0.6
"""The same, as a multiple of the board's width."""

MARK, MARKED = 2.6, 14.0
"""Half the width of this board's share of the cabinetmaker's triangle, and how high a board is that has room for it."""

LEAST = 1.2
"""The smallest letters."""

CLEAR = 0.5
"""How far a number stays from a groove's lines."""

BREAK = 4.0
"""Half the room that the lines of a break take."""


@dataclass(frozen=True)
class WorkedEnd:
    """One end of a board: its joint, with X from the reference edge, and how far above the board's own reference edge
    that joint begins. `reach` is how far the groove runs past the baseline; None where there is none."""

    kind: BoardKind
    layout: Layout
    below: float = 0.0
    reach: float | None = None

    @property
    def depth(self) -> float:
        """From the raw end to the baseline."""
        cut = self.layout.as_cut
        return cut.tail_end if self.kind == "tail board" else cut.pin_end - self.layout.rebate


@dataclass(frozen=True)
class SketchedBoard:
    """One board, seen on its show face with the reference edge down: its row of the cut list, its ends (None where one
    is only sawn), the heights of its groove, and the mark on its face. `length` is drawn across, `width` up."""

    row: CutListRow
    length: float
    width: float
    left: WorkedEnd | None
    right: WorkedEnd | None
    groove: Span | None = None
    mark: tuple[str, str] | None = None


@singledispatch
def sketched(plan: Layout | BoxLayout) -> tuple[SketchedBoard, ...]:
    """Every board of a piece, in the order of the cut list. A bottom has no ends."""
    raise TypeError(plan)


@sketched.register
def _(plan: Layout) -> tuple[SketchedBoard, ...]:
    tails, pins = boards_of(plan)
    return (
        SketchedBoard(tails, *tails.saw_to[:2], WorkedEnd("tail board", plan, plan.below), None),
        SketchedBoard(pins, *pins.saw_to[:2], None, WorkedEnd("pin board", plan)),
    )


@sketched.register
def _(plan: BoxLayout) -> tuple[SketchedBoard, ...]:
    rows = {row.name: row for row in boards_of(plan)}
    boards = [_side(plan, side, rows[side]) for side in SIDES]
    if plan.panel:
        boards.append(SketchedBoard(rows["bottom"], *plan.panel.size[:2], None, None))
    return tuple(boards)


def _side(plan: BoxLayout, side: Side, row: CutListRow) -> SketchedBoard:
    """Seen from outside, the joint whose X runs up is on the right of a pin board and on the left of a tail board."""
    board, groove = plan.boards[side], plan.recipe.groove

    def end(corner: BoxCorner) -> WorkedEnd:
        reach = plan.groove_reach(board, corner, corner.layout.as_cut) if plan.is_grooved(side) else None
        return WorkedEnd(board.kind, corner.layout, corner.below if board.kind == "tail board" else 0.0, reach)

    up, down = end(board.up), end(board.down)
    left, right = (down, up) if board.kind == "pin board" else (up, down)
    heights = (groove.up - board.low, groove.top - board.low) if plan.is_grooved(side) else None
    return SketchedBoard(row, *row.saw_to[:2], left, right, heights, TRIANGLES[side])


def scale_of(board: SketchedBoard, room: tuple[float, float]) -> float:
    """The largest scale at which a board fits a place on paper; a long one may be broken off in the middle."""
    joints = [end.depth for end in (board.left, board.right) if end]
    least = min(board.length, 2 * max(SHORTEST * board.width, STUB * max(joints))) if joints else board.length
    return min(1.0, (room[1] - HEAD - FOOT) / board.width, (room[0] - RIGHT) / least)


def sketch(board: SketchedBoard, units: Units, low: PlanePoint, room: tuple[float, float]) -> list[Item]:
    """A board, as large as fits a place on paper: `low` is its lower left corner."""
    length, width, scale = board.length, board.width, scale_of(board, room)
    across, up = room[0] - RIGHT, room[1] - HEAD - FOOT
    shown = min(length, across / scale)
    at = low[0] + (across - shown * scale) / 2, low[1] + FOOT + (up - width * scale) / 2
    items = [*_outline(board, shown, scale), *_ends(board, shown, scale), *_groove(board, shown)]
    return [
        *placed(items, scale, at),
        *_marks(board, at, (shown * scale, width * scale), broken=shown < length - ROUNDING),
        *_sizes(board, units, at, scale, shown),
        *_words(board, units, (low[0], at[1] + width * scale), room[0]),
    ]


def _outline(board: SketchedBoard, shown: float, scale: float) -> Iterator[Item]:
    length, width = board.length, board.width
    if shown >= length - ROUNDING:
        yield box("visible edges", (0.0, 0.0), (shown, width))
        return
    gap = 1.5 / scale
    for x, middle in ((0.0, shown / 2 - gap), (shown, shown / 2 + gap)):
        yield Stroke("visible edges", ((middle, 0.0), (x, 0.0), (x, width), (middle, width)))
        yield break_line((0.0, width), middle, 0, scale)


def _ends(board: SketchedBoard, shown: float, scale: float) -> Iterator[Item]:
    """What is drawn at each end, its place along the board measured from the raw end."""
    for end, put in ((board.left, _from_left(shown)), (board.right, _from_right(shown))):
        if end:
            yield from (_tails if end.kind == "tail board" else _sockets)(end, put, board.width)
            yield from _numbers(end, put, scale, board.groove)


Put = Callable[[float, float], PlanePoint]


def _from_left(_: float) -> Put:
    return lambda along, up: (along, up)


def _from_right(shown: float) -> Put:
    return lambda along, up: (shown - along, up)


def _tails(end: WorkedEnd, put: Put, width: float) -> Iterator[Item]:
    layout, depth, low = end.layout, end.depth, end.below
    for flank in layout.flanks:
        yield line("kept edges", put(0.0, low + flank.x(depth)), put(depth, low + flank.foot))
    first, last = layout.gaps[0], layout.gaps[-1]
    for beside, stays in ((first.left, low + first.low), (last.right, low + last.high)):
        if beside is None and ROUNDING < stays < width - ROUNDING:
            yield line("kept edges", put(0.0, stays), put(depth, stays))
    for raw, root in zip(layout.gap_spans(depth), layout.gap_spans(0.0), strict=True):
        yield line("gauge lines", put(depth, low + root[0]), put(depth, low + root[1]))
        yield line("waste", put(0.0, low + raw[0]), put(depth, low + root[1]))
        yield line("waste", put(0.0, low + raw[1]), put(depth, low + root[0]))
    yield from _mitred(end, put, mitre_of(layout).y(layout.as_cut.show_z))


def _sockets(end: WorkedEnd, put: Put, _: float) -> Iterator[Item]:
    """On the show face of a pin board; behind a lap they are hidden."""
    layout, depth = end.layout, end.depth
    for tail in layout.tails:
        low, high = layout.socket_edges(tail, layout.depth)
        if layout.is_half_blind:
            yield Stroke("hidden edges", (put(0.0, low), put(depth, low), put(depth, high), put(0.0, high)))
            continue
        for flank in tail.flanks:
            x = layout.socket_x(flank, layout.depth)
            yield line("kept edges", put(0.0, x), put(depth, x))
        yield line("gauge lines", put(depth, low), put(depth, high))
        yield line("waste", put(0.0, low), put(depth, high))
        yield line("waste", put(0.0, high), put(depth, low))
    yield from _mitred(end, put, mitre_of(layout).z(layout.as_cut.show_y) - layout.rebate)


def _mitred(end: WorkedEnd, put: Put, outside: float) -> Iterator[Item]:
    """What a saw takes of the show face where the shoulder is mitred: all that is more than `outside` of the
    baseline."""
    far = end.depth - outside
    for span in mitred_edges(end.layout) if far > ROUNDING else ():
        low, high = (end.below + x for x in span)
        inner = high if span[0] == 0.0 else low
        yield Stroke("kept edges", (put(0.0, inner), put(far, inner), put(far, low + high - inner)))
        yield line("waste", put(0.0, low), put(far, high))
        yield line("waste", put(0.0, high), put(far, low))


def _numbers(end: WorkedEnd, put: Put, scale: float, groove: Span | None) -> Iterator[Item]:
    """Of the tails: on each, or beside its socket; above a groove whose lines would run through it. None where tails
    are too small."""
    deep = scale * end.depth if end.kind == "tail board" else 2 * WORDS
    for tail in end.layout.tails:
        height = min(WORDS, 0.6 * scale * tail.width, 0.6 * deep)
        along = end.depth / 2 if end.kind == "tail board" else end.depth + 0.9 * WORDS / scale
        low, rise = end.below + tail.middle - height / 2 / scale, (height + CLEAR) / scale
        if groove and groove[0] - rise < low < groove[1] + CLEAR / scale:
            low = groove[1] + CLEAR / scale
        fits = low + height / scale < end.below + tail.right
        if scale * tail.width >= NUMBERED and height >= LEAST and fits:
            yield Label(str(tail.number), put(along, low), height)


def _groove(board: SketchedBoard, shown: float) -> Iterator[Item]:
    """Behind the show face, on the inside face: hidden lines, from where it begins to where it ends."""
    ends = board.left, board.right
    if board.groove is None or not all(end and end.reach is not None for end in ends):
        return
    stops = [end.depth - end.reach for end in ends if end and end.reach is not None]
    start, stop = stops[0], shown - stops[1]
    for height in board.groove:
        yield line("groove", (start, height), (stop, height))
    for x in (start, stop):
        yield line("groove", (x, board.groove[0]), (x, board.groove[1]))


def _marks(board: SketchedBoard, at: PlanePoint, size: tuple[float, float], *, broken: bool) -> Iterator[Item]:
    """The words on the face, the triangle on the reference edge, and the board's own mark; as much as has room."""
    ends = [end for end in (board.left, board.right) if end]
    joints = [end.depth * size[1] / board.width + 2 * NUMBERED if end else 0.0 for end in (board.left, board.right)]
    # Left of the break, where there is one.
    low, high = joints[0], size[0] / 2 - BREAK if broken else size[0] - joints[1]
    middle, centre, free = at[0] + (low + high) / 2, at[1] + size[1] / 2, high - low
    if not ends:
        yield from _words_on_face("good face up", (middle, centre), free, size[1])
        yield from _to_the_front((middle, at[1] + 1.5), size)
        return
    marked = size[1] >= MARKED and board.mark is not None
    yield from _words_on_face("show face", (middle, centre + (2.6 if marked else 0.0)), free, size[1])
    if marked and free > 6 * MARK:
        yield from _triangle(board.mark, (middle, centre - 2.4))
    tip = at[0] + min(6.0, size[0] / 4)
    yield Stroke("kept edges", ((tip, at[1]), (tip + 1.4, at[1] - 2.6), (tip - 1.4, at[1] - 2.6)), closed=True)
    yield Label("reference edge", (tip + 2.4, at[1] - 2.7), SMALL, "left")


def _words_on_face(text: str, at: PlanePoint, free: float, high: float) -> Iterator[Item]:
    height = min(WORDS, 0.4 * high)
    if height >= LEAST and width_of(text, height) < free:
        yield Label(text, (at[0], at[1] - height / 2), height)


def _to_the_front(tip: PlanePoint, size: tuple[float, float]) -> Iterator[Item]:
    """An arrow on a bottom, seen from above."""
    x, y = tip
    if size[1] >= MARKED:
        yield line("dimensions", (x, y + 4.0), tip)
        yield Stroke("dimensions", ((x - 1.0, y + 1.6), tip, (x + 1.0, y + 1.6)))
        yield Label("front", (x + 2.0, y + 0.6), SMALL, "left")


def _triangle(mark: tuple[str, str] | None, foot: PlanePoint) -> Iterator[Item]:
    """This board's share of the cabinetmaker's triangle, and its letter."""
    if mark is None:
        return
    letter, part = mark
    x, y = foot
    wide, top = (MARK, 0.0) if part == "point" else (1.6 * MARK, 0.6 * MARK)
    points = ((x - wide, y - 1.2), (x + wide, y - 1.2), (x + top, y + 2.2), (x - top, y + 2.2))
    yield Stroke("dimensions", points if top else points[:3], closed=True)
    yield Label(letter, (x + wide + 1.6, y - 0.6), SMALL, bold=True)


def _sizes(board: SketchedBoard, units: Units, at: PlanePoint, scale: float, shown: float) -> Iterator[Item]:
    """The length to saw to, and the width where it has room."""
    length, width = board.length, board.width
    right, top = at[0] + shown * scale, at[1] + width * scale
    yield Distance(at, (right, at[1]), -9.5, format_dimension(length, units), more=" saw to")
    told = format_dimension(width, units, CALIPER)
    if words_width(told) + 3 * TICK <= width * scale:
        yield Distance((right, at[1]), (right, top), 6.0, told, "up", reading=CALIPER)


def _words(board: SketchedBoard, units: Units, low: PlanePoint, wide: float) -> Iterator[Item]:
    """Name, wood and sizes above the board, and below that how it is marked."""
    row = board.row
    rebates = dict.fromkeys(end.layout.rebate for end in (board.left, board.right) if end and end.kind == "tail board")
    rebated = "".join(f"; rebate {format_length(deep, units, CALIPER)} deep" for deep in rebates if deep)
    gauges = list(dict.fromkeys(_gauge(end, units) for end in (board.left, board.right) if end))
    where = ("left ", "right ") if len(gauges) > 1 else ("",)
    told = " and ".join(f"{side}{gauge}" for side, gauge in zip(where, gauges, strict=False))
    gauge = f"; gauge {told}" if told else ""
    sizes = f"{row.wood}; saw to {format_sizes(row.saw_to, units)}{gauge}{rebated}"
    for text, rise, height, bold in (
        (capital(row.name), 10.4, NAME, True),
        (sizes, 6.4, WORDS, False),
        (f"Mark: {row.mark}.", 3.0, SMALL, False),
    ):
        lines, fits = fitted(text, wide, height, bold=bold)
        yield Label(lines[0], (low[0], low[1] + rise), fits, "left", bold=bold)


def _gauge(end: WorkedEnd, units: Units) -> str:
    return format_length(end.depth, units, end.layout.recipe.rule)
