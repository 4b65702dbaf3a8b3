"""The sheets of the boards: each different one whole, as cut, seen on its face with the reference edge down, from its
upper edge and from its right end, with its sizes and marks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from solids.base.fonts import fitted
from solids.base.geometry import PlanePoint, Span
from solids.base.lengths import CALIPER, RULE, Reading, format_dimension
from solids.base.messages import capital, in_runs
from solids.layout.boards import boards_of
from solids.layout.box.cut_list import TRIANGLES
from solids.layout.box.kinds import and_so_on
from solids.layout.box.model import BoxLayout, with_top
from solids.layout.box.rows import CutListRow
from solids.model.kernel import bounds
from solids.model.parts import Part
from solids.proof.assembly import PieceProof
from solids.recipe.tables.box_resolved import SIDES, CornerName, Side
from solids.write.drafting.dimensions import room_of as room_of_size
from solids.write.drafting.dimensions import stacked
from solids.write.drafting.marks import SMALL, reference_edge, triangle
from solids.write.drafting.sheet import Distance, Item, Label, placed
from solids.write.drafting.whole.framed import Page, largest_scale, paper_of, room_of
from solids.write.drafting.whole.looks import Ends, Look, ends_of, face_look, strokes_of
from solids.write.drafting.whole.numbers import numbers_of

GAP, BESIDE, HEAD = 7.0, 1.0, 13.0
"""Room on paper between the views of a board, round it with all its sizes, and above it for its name and its words."""

FIRST, STEP, ROWS = 7.0, 5.5, 3
"""Dimensions below a board and beside it: how far off the first stands, the step to the next, and how many rows there
may be below it besides the whole length."""

NAME, WORDS = 3.0, 2.2
"""Heights of capitals."""

READ_AT = 0.8
"""A title that must be smaller than this share of its height is shortened."""

PER_SHEET = 2
"""So many different boards share a sheet at least, on the whole."""

WIDEST = 88.0
"""A block is at least so wide where its words need it."""

AT_ENDS: dict[Side, tuple[CornerName, CornerName]] = {
    "front": ("front left", "front right"),
    "right": ("front right", "back right"),
    "back": ("back right", "back left"),
    "left": ("back left", "front left"),
}
"""The corners at the left and at the right of each board, seen from outside."""


@dataclass(frozen=True)
class BoardViews:
    """Boards that are alike: their rows of the cut list, and one of them as it stands in the piece, where it reaches
    and how it is looked at."""

    rows: tuple[CutListRow, ...]
    part: Part
    ends: Ends
    look: Look

    @property
    def size(self) -> tuple[float, float, float]:
        """How wide, high and thick it is as its face is seen."""
        (left, right), (low, high) = self.look.spans(self.ends)
        (far, near), _ = self.look.from_right.spans(self.ends)
        return right - left, high - low, near - far

    @property
    def told_size(self) -> tuple[float, float, float]:
        """The same as the cut list has it, sawn: which of length and width lies across is seen."""
        length, width, thickness = self.rows[0].saw_to
        wide, _, _ = self.size
        across, up = (length, width) if abs(length - wide) <= abs(width - wide) else (width, length)
        return across, up, thickness


def board_pages(proof: PieceProof) -> list[Page]:
    """The sheets, at the largest scale at which they are no more than they need to be. InputError where none fits."""
    box, boards = proof.box, different_boards(proof)
    (left, foot), (right, head) = room_of(paper_of(box))
    room = right - left - 4.0, head - foot - 2.0
    most = -(-len(boards) // PER_SHEET)
    scale = largest_scale(box, lambda scale: 0 < len(_shelves(box, boards, scale, room)) <= most)
    pages = []
    for shelved in _shelves(box, boards, scale, room):
        corners = [(x + block.room[0], y) for block, (x, y) in shelved]
        # What stands in the upper left corner of the room goes to its middle.
        at = left + 2.0 + (room[0] - max(x for x, _ in corners)) / 2, foot + 1.0 - min(y for _, y in corners) / 2
        items = [item for block, (x, y) in shelved for item in _drawn(box, block, scale, (at[0] + x, at[1] + y))]
        pages.append(Page("boards as cut", scale, tuple(items), tuple(_rows())))
    return pages


def different_boards(proof: PieceProof) -> list[BoardViews]:
    """Every different board of a box, in the order of the cut list."""
    rows, piece = {row.name: row for row in boards_of(proof.box)}, ends_of(proof.cut)
    alike: dict[str, list[Part]] = {}
    for part in proof.cut:
        if part.name in rows:
            alike.setdefault(part.shape, []).append(part)
    found = []
    for parts in alike.values():
        ends = bounds(parts[0].in_place)
        found.append(BoardViews(tuple(rows[p.name] for p in parts), parts[0], ends, face_look(ends, piece)))
    return found


# --- places on the sheets ------------------------------------------------------------------------


@dataclass(frozen=True)
class Block:
    """A board with its sizes, on paper, from the lower left corner of its face; and the room that all of it takes."""

    board: BoardViews
    sizes: tuple[Distance, ...]
    low: PlanePoint
    high: PlanePoint

    @property
    def room(self) -> tuple[float, float]:
        """How wide and how high it is."""
        return self.high[0] - self.low[0], self.high[1] - self.low[1]


def _block_of(box: BoxLayout, board: BoardViews, scale: float) -> Block:
    wide, tall, thick = (mm * scale for mm in board.size)
    sizes = tuple(_sizes(box, board, scale))
    lows, highs = zip(*map(room_of_size, sizes), strict=True)
    left, right = min(x for x, _ in lows) - BESIDE, max(wide + GAP + thick, *(x for x, _ in highs)) + BESIDE
    foot, top = min(y for _, y in lows) - BESIDE, max(tall + GAP + thick, *(y for _, y in highs)) + HEAD
    return Block(board, sizes, (left, foot), (max(right, left + WIDEST), top))


Shelved = list[tuple[Block, PlanePoint]]


def _shelves(box: BoxLayout, boards: Sequence[BoardViews], scale: float, room: tuple[float, float]) -> list[Shelved]:
    """The boards in rows from left to right and from the top down, sheet by sheet, each with the lower left corner of
    its place. None where one is larger than a sheet."""
    pages: list[Shelved] = [[]]
    x, top, tallest = 0.0, room[1], 0.0
    for block in (_block_of(box, board, scale) for board in boards):
        wide, tall = block.room
        if wide > room[0] or tall > room[1]:
            return []
        if x + wide > room[0]:
            x, top, tallest = 0.0, top - tallest, 0.0
        if top - max(tall, tallest) < 0.0:
            pages.append([])
            x, top, tallest = 0.0, room[1], 0.0
        pages[-1].append((block, (x, top - tall)))
        x, tallest = x + wide, max(tall, tallest)
    return pages


# --- one board -----------------------------------------------------------------------------------


def _drawn(box: BoxLayout, block: Block, scale: float, low: PlanePoint) -> Iterator[Item]:
    """Three views of a board with sizes, marks and words; `low` is the lower left corner of its place."""
    board, (wide, tall) = block.board, (mm * scale for mm in block.board.size[:2])
    face = low[0] - block.low[0], low[1] - block.low[1]
    for look, at in (
        (board.look, face),
        (board.look.from_above, (face[0], face[1] + tall + GAP)),
        (board.look.from_right, (face[0] + wide + GAP, face[1])),
    ):
        (x, _), (y, _) = look.spans(board.ends)
        # From its end, both joints lie behind one another: what is hidden there would only confuse.
        strokes = strokes_of([board.part.in_place], look, hidden=look != board.look.from_right)
        yield from placed(strokes, scale, (at[0] - x * scale, at[1] - y * scale))
    yield from placed(block.sizes, 1.0, face)
    yield from _marks(box, board, face, (wide, tall))
    yield from _words(box, board, (low[0] + BESIDE, low[1] + block.room[1] - HEAD), block.room[0] - 2 * BESIDE)


def _sizes(box: BoxLayout, board: BoardViews, scale: float) -> Iterator[Distance]:
    """On paper, from the lower left corner of the face: its length, width and thickness as sawn, and of a side of the
    box the length between its shoulders and the place of the groove."""
    wide, tall, thick = board.told_size
    name = board.rows[0].name
    lengths, heights = (shoulders(box, name), groove_heights(box, name)) if name in SIDES else ((), [])
    whole, *between = (_size(box, scale, span, reading) for span, reading in [((0.0, wide), RULE), *_read(lengths)])
    for dim in stacked(whole, [[each] for each in between], FIRST, STEP, ROWS):
        yield replace(dim, offset=-dim.offset)
    # A side's width was asked for; that of a bottom comes of the groove, and is sawn as the cut list has it.
    columns = [(place % 2, span, CALIPER) for place, span in enumerate(heights)]  # one groove above the other
    columns.append((min(len(heights), 2), (0.0, tall), CALIPER if name in SIDES else RULE))
    for number, span, reading in columns:
        dim = _size(box, scale, span, reading)
        yield replace(dim, start=(0.0, dim.start[0]), end=(0.0, dim.end[0]), axis="up", offset=-(FIRST + STEP * number))
    seen_on = (wide * scale + GAP, tall * scale)
    (of_end,) = placed([_size(box, scale, (0.0, thick), CALIPER)], 1.0, seen_on)
    assert isinstance(of_end, Distance)
    yield replace(of_end, offset=STEP)


def _read(spans: Iterable[Span]) -> list[tuple[Span, Reading]]:
    return [(span, CALIPER) for span in spans]


def _size(box: BoxLayout, scale: float, span: Span, reading: Reading) -> Distance:
    """A dimension across, on paper, of a span in mm of the work."""
    told = format_dimension(span[1] - span[0], box.recipe.units, reading)
    return Distance((span[0] * scale, 0.0), (span[1] * scale, 0.0), 0.0, told, reading=reading)


def shoulders(box: BoxLayout, side: Side) -> tuple[Span, Span, Span]:
    """From the left end of a board as cut to its shoulder, on to the other shoulder, and to the right end."""
    board = box.boards[side]
    lips = (box.recipe.lip.left, box.recipe.lip.right) if side == "front" else (0.0, 0.0)
    left, right = (
        board.reach(box.corners[corner], finished=False) + lip for corner, lip in zip(AT_ENDS[side], lips, strict=True)
    )
    far = left + board.length
    return (0.0, left), (left, far), (far, far + right)


def groove_heights(box: BoxLayout, side: Side) -> list[Span]:
    """From a board's lower edge up to its groove, and over that; from its upper edge to the groove for a top, and over
    that. None where it has none."""
    board, found = box.boards[side], list[Span]()
    low = -box.recipe.lip.bottom if side == "front" else board.low
    for each in (box, with_top(box)):
        up, top = each.recipe.groove.up - low, each.recipe.groove.top - low
        found += [(0.0, up) if each is box else (top, board.width), (up, top)] if each.is_grooved(side) else []
    return found


def _marks(box: BoxLayout, board: BoardViews, face: PlanePoint, size: tuple[float, float]) -> Iterator[Item]:
    """The triangle of each board in the middle of its face, and the arrow to its reference edge, where they have
    room."""
    named = [(row.name, TRIANGLES[row.name]) for row in board.rows if row.name in SIDES]
    if not named:
        return
    x, y = face[0] + size[0] / 2, face[1] + size[1] / 2
    step = 15.0
    if size[1] >= 11.0 and size[0] >= step * len(named) + 12.0:
        for number, (name, mark) in enumerate(named):
            at = x + step * (number - (len(named) - 1) / 2)
            yield from triangle(mark, (at, y + 0.6))
            yield Label(name, (at, y - 3.6), SMALL)
    shoulder = shoulders(box, named[0][0])[1][0] * size[0] / board.size[0]
    # Behind a lip at the bottom, the reference edge is not the lower edge that is seen.
    lip = box.recipe.lip.bottom if named[0][0] == "front" else 0.0
    if not lip:
        yield from reference_edge((face[0] + shoulder + 2.0, face[1]))


def _words(box: BoxLayout, board: BoardViews, low: PlanePoint, wide: float) -> Iterator[Item]:
    """Numbers and names, the wood, and the marks."""
    names = [row.name for row in board.rows]
    numbers = in_runs([numbers_of(box)[name] for name in names])
    whole, short = (f"{numbers}  {capital(told)}" for told in (names_told(names), names_told(names, short=True)))
    title = whole if fitted(whole, wide, NAME, bold=True)[1] >= READ_AT * NAME else short
    wood = f"{board.rows[0].wood}, {len(names)} of this kind" if len(names) > 1 else board.rows[0].wood
    for text, rise, height, bold in (
        (title, 8.4, NAME, True),
        (wood, 4.8, WORDS, False),
        (_mark(board), 1.8, SMALL, False),
    ):
        lines, fits = fitted(text, wide, height, bold=bold)
        yield Label(lines[0], (low[0], low[1] + rise), fits, "left", bold=bold)


def names_told(names: Sequence[str], *, short: bool = False) -> str:
    """Names of boards that are alike, what they have in common once: "left and right slip", "divider 1, 2 and 3"; or,
    in `short`, "divider, 3 alike"."""
    words = [name.split() for name in names]
    least = min(map(len, words)) - 1
    shared = [{tuple(each[:count]) for each in words} for count in range(least + 1)]
    head = max(count for count, found in enumerate(shared) if len(found) == 1)
    shared = [{tuple(each[len(each) - count :]) for each in words} for count in range(least - head + 1)]
    tail = max(count for count, found in enumerate(shared) if len(found) == 1)
    first = words[0]
    before, after = first[:head], first[len(first) - tail :] if tail else []
    if len(names) == 1 or not (before or after):
        return and_so_on(names)
    if short:
        return f"{' '.join((*before, *after))}, {len(names)} alike"
    between = and_so_on([" ".join(each[head : len(each) - tail]) for each in words])
    return " ".join((*before, between, *after))


def _mark(board: BoardViews) -> str:
    marks = list(dict.fromkeys(row.mark for row in board.rows))
    if len(marks) == 1:
        return f"Mark: {marks[0]}."
    return "Mark: " + "; ".join(f"{row.name}, {row.mark.partition(';')[0]}" for row in board.rows) + "."


def _rows() -> Iterator[str]:
    yield "Each board is seen on its show face, reference edge down; above that from its upper edge, on the right from"
    yield "its right end. A bottom, a top or a lid is seen from above, its front edge down."
    yield "Below a board: from its ends to the shoulders and between them; then the length to saw to."
    yield "Left of it: how high the groove is and how wide, and the width. Dashed: edges behind wood, not in the end."
