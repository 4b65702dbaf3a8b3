"""A sketch of each board of a piece, as it lies on the bench with its reference edge down and its show face up: both
ends with the lines to cut, the groove behind it, its marks, and the length to saw it to. Long boards are broken off in
the middle. Pure arithmetic, on paper in mm."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import singledispatch

from solids.base.fonts import fitted, width_of
from solids.base.geometry import PlanePoint, Span
from solids.base.lengths import CALIPER, format_dimension, format_length, format_sizes
from solids.base.messages import Units, capital
from solids.base.tolerances import ROUNDING
from solids.layout.boards import boards_of
from solids.layout.box.cut_list import TRIANGLES
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.model import BoardKind, BoxLayout
from solids.layout.box.rows import CutListRow
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.layout.joint.shape.model import Layout
from solids.layout.setups import GOOD_FACE_UP
from solids.recipe.tables.box_resolved import SIDES, Side
from solids.recipe.tables.lip_resolved import NO_LIP, Lip
from solids.write.drafting.dimensions import TICK, words_width
from solids.write.drafting.grooves import SketchedGroove, sketched_grooves, sketched_lines
from solids.write.drafting.housings import SketchedCut, drawn_cuts, free_of, housing_words, housings_on, notches_on
from solids.write.drafting.marks import MARK, SMALL, reference_edge, triangle
from solids.write.drafting.sheet import Distance, Item, Label, Stroke, box, break_line, line, placed

HEAD, FOOT, RIGHT = 15.0, 14.5, 9.0
"""Room above a board for its name and what is said of it, below it for its reference edge and its length, and on its
right for its width."""

NAME, WORDS = 3.0, 2.2
"""Heights of capitals."""

NUMBERED = 2.5
"""The narrowest tail that is given a number, on paper."""

STUB = 2.2
"""The least that is drawn of each half of a board, as a multiple of its joint."""

SHORTEST = 0.6
"""The same, as a multiple of the board's width."""

MARKED = 14.0
"""How high a board is that has room for its share of the cabinetmaker's triangle."""

LEAST = 1.2
"""The smallest letters."""

CLEAR = 0.5
"""How far a number stays from a groove's lines."""

BREAK = 4.0
"""Half the room that the lines of a break take."""


@dataclass(frozen=True)
class WorkedEnd:
    """One end of a board: its joint, with X from the reference edge, and how far above the board's own reference edge
    that joint begins."""

    kind: BoardKind
    layout: Layout
    below: float = 0.0

    @property
    def depth(self) -> float:
        """From the raw end to the baseline."""
        cut = self.layout.as_cut
        return cut.tail_end if self.kind == "tail board" else cut.pin_end - self.layout.rebate


@dataclass(frozen=True)
class SketchedBoard:
    """One board, seen on its show face with the reference edge down: its row of the cut list, its ends (None where one
    is only sawn), its grooves, and the mark on its face. `length` is drawn across, `width` up. `cuts` are what it has
    for dividers, and `told` is where, in words. `sawn` are the heights between which a lid is parted from it. What it
    has beyond its joints is its `lip`."""

    row: CutListRow
    length: float
    width: float
    left: WorkedEnd | None
    right: WorkedEnd | None
    grooves: tuple[SketchedGroove, ...] = ()
    mark: tuple[str, str] | None = None
    cuts: tuple[SketchedCut, ...] = ()
    told: str = ""
    lip: Lip = NO_LIP
    sawn: Span | None = None

    @property
    def is_good_face_up(self) -> bool:
        """Whether it lies so, seen from above: a bottom, a top or a lid."""
        return self.row.name in GOOD_FACE_UP


@singledispatch
def sketched(plan: Layout | BoxLayout) -> tuple[SketchedBoard, ...]:
    """Every board of a piece, in the order of the cut list. What is fitted into a box has no ends."""
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
    for part in fitting_of(plan).parts:
        cuts = notches_on(plan, part.name)
        boards.append(SketchedBoard(part.row, *part.row.saw_to[:2], None, None, cuts=cuts))
    return tuple(boards)


def _side(plan: BoxLayout, side: Side, row: CutListRow) -> SketchedBoard:
    """Seen from outside, the joint whose X runs up is on the right of a pin board and on the left of a tail board."""
    board, lid = plan.boards[side], plan.recipe.lid
    corners = (board.down, board.up) if board.kind == "pin board" else (board.up, board.down)
    left, right = (
        WorkedEnd(board.kind, corner.layout, corner.below if board.kind == "tail board" else 0.0) for corner in corners
    )
    grooves = sketched_grooves(plan, side)
    cuts, told = housings_on(plan, side), housing_words(plan, side)
    lip = plan.recipe.lip if side == "front" else NO_LIP
    sawn = (lid.low - board.low, lid.high - board.low) if lid else None
    return SketchedBoard(row, *row.saw_to[:2], left, right, grooves, TRIANGLES[side], cuts, told, lip, sawn)


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
    lip = board.lip
    behind, bare = replace(board, width=width - lip.high), shown - lip.long
    worked = [*_ends(behind, bare, scale), *sketched_lines(board.grooves, board.sawn, bare)]
    items = [*_outline(board, shown, scale), *placed(worked, 1.0, (lip.left, lip.bottom)), *_rebate(board, shown)]
    items += drawn_cuts(board.cuts, length, shown, scale)
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
            yield from _numbers(end, put, scale, board.grooves)


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


def _numbers(end: WorkedEnd, put: Put, scale: float, grooves: Sequence[SketchedGroove]) -> Iterator[Item]:
    """Of the tails: on each, or beside its socket; above a groove whose lines would run through it. None where tails
    are too small."""
    deep = scale * end.depth if end.kind == "tail board" else 2 * WORDS
    for tail in end.layout.tails:
        height = min(WORDS, 0.6 * scale * tail.width, 0.6 * deep)
        along = end.depth / 2 if end.kind == "tail board" else end.depth + 0.9 * WORDS / scale
        low, rise = end.below + tail.middle - height / 2 / scale, (height + CLEAR) / scale
        for foot, head in (groove.heights for groove in grooves):
            if foot - rise < low < head + CLEAR / scale:
                low = head + CLEAR / scale
        fits = low + height / scale < end.below + tail.right
        if scale * tail.width >= NUMBERED and height >= LEAST and fits:
            yield Label(str(tail.number), put(along, low), height)


def _rebate(board: SketchedBoard, shown: float) -> Iterator[Item]:
    """Where the lip begins, behind the show face."""
    lip = board.lip
    if lip:
        yield box("hidden edges", (lip.left, lip.bottom), (shown - lip.right, board.width - lip.top))


def _marks(board: SketchedBoard, at: PlanePoint, size: tuple[float, float], *, broken: bool) -> Iterator[Item]:
    """The words on the face, the triangle on the reference edge, and the board's own mark; as much as has room."""
    ends = [end for end in (board.left, board.right) if end]
    joints = [end.depth * size[1] / board.width + 2 * NUMBERED if end else 0.0 for end in (board.left, board.right)]
    # Left of the break, where there is one.
    low, high = joints[0], size[0] / 2 - BREAK if broken else size[0] - joints[1]
    scale = size[1] / board.width
    low, high = (x * scale for x in free_of(board.cuts, (low / scale, high / scale)))
    middle, centre, free = at[0] + (low + high) / 2, at[1] + size[1] / 2, high - low
    if not ends:
        if board.is_good_face_up:
            yield from _words_on_face("good face up", (middle, centre), free, size[1])
            yield from _to_the_front((middle, at[1] + 1.5), size)
        return
    marked = size[1] >= MARKED and board.mark is not None
    yield from _words_on_face("show face", (middle, centre + (2.6 if marked else 0.0)), free, size[1])
    if marked and board.mark and free > 6 * MARK:
        yield from triangle(board.mark, (middle, centre - 2.4))
    if not board.lip.bottom:  # else it lies behind the lip
        yield from reference_edge((at[0] + min(6.0, size[0] / 4), at[1]))


def _words_on_face(text: str, at: PlanePoint, free: float, high: float) -> Iterator[Item]:
    height = min(WORDS, 0.4 * high)
    if height >= LEAST and width_of(text, height) < free:
        yield Label(text, (at[0], at[1] - height / 2), height)


def _to_the_front(tip: PlanePoint, size: tuple[float, float]) -> Iterator[Item]:
    """An arrow on what is seen from above."""
    x, y = tip
    if size[1] >= MARKED:
        yield line("dimensions", (x, y + 4.0), tip)
        yield Stroke("dimensions", ((x - 1.0, y + 1.6), tip, (x + 1.0, y + 1.6)))
        yield Label("front", (x + 2.0, y + 0.6), SMALL, "left")


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
    lip = f"; lip {format_length(board.lip.thickness, units, CALIPER)} thick" if board.lip else ""
    sizes = f"{row.stock}; saw to {format_sizes(row.saw_to, units)}{gauge}{rebated}{lip}"
    for text, rise, height, bold in (
        (capital(row.name), 10.4, NAME, True),
        (sizes, 6.4, WORDS, False),
        (f"Mark: {row.mark}.", 3.0, SMALL, False),
    ):
        lines, fits = fitted(text, wide, height, bold=bold)
        yield Label(lines[0], (low[0], low[1] + rise), fits, "left", bold=bold)
    if board.told:
        lines, fits = fitted(board.told, wide - width_of(capital(row.name), NAME, bold=True) - NAME, WORDS)
        yield Label(lines[0], (low[0] + wide, low[1] + 10.4), fits, "right")


def _gauge(end: WorkedEnd, units: Units) -> str:
    return format_length(end.depth, units, end.layout.recipe.rule)
