"""The drawing of a cutting plan: each board to scale, with its pieces, its cuts by their numbers, the spans to avoid
hatched, and the places to mark below. Lengths in mm."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from solids.base.fonts import LEAST_HEIGHT, fitted, width_of
from solids.base.geometry import PlanePoint, Span
from solids.base.messages import Units
from solids.bench.cutting_words import board_heading, on_the_drawing
from solids.layout.cutting.model import BoardPlan, Cut, CuttingPlan
from solids.write.drafting.paper import SCALES, scale_in_words, units_in_words
from solids.write.drafting.sheet import Item, Label, Sheet, Stroke, arc, box, line, mapped

NAME, SIZE, PLACE, NUMBER = 2.5, 2.0, 2.0, 1.7
"""Heights of letters: names of pieces, their sizes, places to mark, and numbers of cuts."""

LEAST_READ = 1.1
"""Smaller letters are left out: the list of cuts has the same."""

RING = 1.8
HATCH = 2.0
ABOVE, BELOW, BETWEEN = 10.5, 15.0, 4.0
"""Room over a board, for its heading and the numbers of its crosscuts; below it, for places; and between two boards."""

MARGIN, TITLE = 12.0, 10.0


@dataclass(frozen=True)
class Block:
    """The drawing of one board on paper, its lower left corner at the origin, and how high it is."""

    items: tuple[Item, ...]
    height: float


def scale_for(plan: CuttingPlan, room: float) -> float:
    """The largest scale at which every board that is begun fits a width of paper (mm)."""
    longest = max((board.board.length for board in plan.boards), default=1.0)
    return next((scale for scale in SCALES if scale <= 1.0 and longest * scale <= room), SCALES[-1])


def blocks(plan: CuttingPlan, room: float, units: Units) -> list[Block]:
    """The boards at one scale, each as wide as the room or less."""
    scale = scale_for(plan, room)
    return [_block(board, scale, room, units) for board in plan.boards]


def _block(plan: BoardPlan, scale: float, room: float, units: Units) -> Block:
    high = plan.board.width * scale
    heading, height = fitted(board_heading(plan, units), room, 3.0, bold=True)
    items = [
        *(_at(item, BELOW) for item in _board(plan, scale, units)),
        Label(heading[0], (0.0, BELOW + high + ABOVE - 3.0), height, "left", bold=True),
    ]
    return Block(tuple(items), BELOW + high + ABOVE)


def _at(item: Item, up: float) -> Item:
    return mapped(item, lambda point: (point[0], point[1] + up))


def _board(plan: BoardPlan, scale: float, units: Units) -> Iterator[Item]:
    """The board with its lower left corner at the origin, on paper."""

    def on_paper(span: Span) -> Span:
        return span[0] * scale, span[1] * scale

    length, width = plan.board.length * scale, plan.board.width * scale
    yield box("visible edges", (0.0, 0.0), (length, width))
    for span in plan.board.avoid:
        yield from _hatched(on_paper(span), width)
    for piece in plan.pieces:
        x, y = on_paper(piece.x), on_paper(piece.y)
        yield box("kept edges", (x[0], y[0]), (x[1], y[1]))
        sizes = on_the_drawing((piece.x[1] - piece.x[0], piece.y[1] - piece.y[0]), units)
        rung = any(cut.kind != "rip" and cut.x[0] == piece.x[1] and cut.y == piece.y for cut in plan.cuts)
        yield from _words((piece.name, sizes), (x[0], x[1] - 2 * RING * rung), y, bold=True)
    for offcut in plan.offcuts:
        x, y = on_paper(offcut.x), on_paper(offcut.y)
        beside_a_rip = 5 * RING if y[0] > 0.0 else 0.0
        yield from _words((f"left: {on_the_drawing(offcut.size, units)}",), (x[0] + beside_a_rip, x[1]), y)
    for cut in plan.cuts:
        yield from _cut(cut, on_paper(cut.x), on_paper(cut.y))
    yield from _places([cut for cut in plan.cuts if cut.kind == "crosscut"], scale, units)


def _hatched(x: Span, width: float) -> Iterator[Item]:
    """A span to avoid: slanting lines inside its edges."""
    yield box("waste", (x[0], 0.0), (x[1], width))
    start = x[0] - width + HATCH / 2
    while start < x[1]:
        low, high = max(start, x[0]), min(start + width, x[1])
        if high > low:
            yield line("waste", (low, low - start), (high, high - start))
        start += HATCH


def _words(rows: Sequence[str], x: Span, y: Span, *, bold: bool = False) -> Iterator[Item]:
    """Rows of words in the middle of a rectangle, as large as fits; what could not be read is left out."""
    wide, high = x[1] - x[0] - 2.0, y[1] - y[0] - 1.0
    shown = list(rows) if high >= len(rows) * 1.5 * LEAST_READ else list(rows[:1])
    most = high / (1.5 * len(shown))
    placed = []
    for number, text in enumerate(shown):
        usual = NAME if number == 0 and bold else SIZE
        lines, height = fitted(text, wide, min(usual, most), bold=bold and number == 0)
        if height >= max(LEAST_READ, LEAST_HEIGHT) and width_of(lines[0], height, bold=bold and number == 0) <= wide:
            placed.append((lines[0], height, bold and number == 0))
    step = max((height for _, height, _ in placed), default=0.0) * 1.5
    top = (y[0] + y[1]) / 2 + step * len(placed) / 2
    for number, (text, height, is_bold) in enumerate(placed):
        yield Label(text, ((x[0] + x[1]) / 2, top - step * (number + 0.8)), height, bold=is_bold)


def _cut(cut: Cut, x: Span, y: Span) -> Iterator[Item]:
    """Both sides of the kerf, and the number of the cut in a ring: over a crosscut, on a rip, and at the foot of what
    is cut off a strip."""
    if cut.kind == "rip":
        yield from (line("cut lines", (x[0], at), (x[1], at)) for at in y)
        beside = 3.5 * RING if x[1] - x[0] > 8 * RING else (x[1] - x[0]) / 2  # clear of those of the crosscuts
        centre = x[0] + beside, y[1] + RING + 0.3
    else:
        yield from (line("cut lines", (at, y[0]), (at, y[1])) for at in x)
        centre = (x[0] + x[1]) / 2, y[1] + RING + 0.7
        if cut.kind == "crosscut of a strip":
            centre = x[0] - RING - 0.4, y[0] + RING + 0.4
    yield from _ringed(cut.number, centre)


def _ringed(number: int, centre: PlanePoint) -> Iterator[Item]:
    yield Stroke("cut lines", arc("cut lines", centre, RING, 0.0, 360.0).points[:-1], closed=True)
    yield Label(str(number), (centre[0], centre[1] - NUMBER / 2), NUMBER)


def _places(cuts: Sequence[Cut], scale: float, units: Units) -> Iterator[Item]:
    """Where the crosscuts are marked, below the board, read upward; places that are close are told side by side."""
    free = -10.0
    for cut in sorted(cuts, key=lambda cut: cut.setting):
        at = cut.setting * scale
        shown = max(at, free)
        free = shown + PLACE * 1.5
        yield Stroke("thin frame", ((at, -0.5), (at, -1.5), (shown, -3.0)))
        yield Label(on_the_drawing((cut.setting,), units), (shown + PLACE / 2, -3.6), PLACE, "right", turn_deg=90.0)


# --- as pictures -----------------------------------------------------------------------------------


def picture(plan: CuttingPlan, title: str, caution: str, units: Units) -> Sheet:
    """All boards below each other on one sheet, as high as they take, with a word of `caution` at its foot."""
    room = 273.0
    found = blocks(plan, room, units)
    high = sum(block.height + BETWEEN for block in found) + TITLE + 2 * MARGIN
    items: list[Item] = []
    top = high - MARGIN
    scale = scale_for(plan, room)
    items += heading(f"{title}: cutting plan", scale, top, room, units)
    top -= TITLE
    for block in found:
        top -= block.height
        items += (mapped(item, _to((MARGIN, top))) for item in block.items)
        top -= BETWEEN
    lines, height = fitted(caution, room, 2.0)
    items.append(Label(lines[0], (MARGIN, MARGIN / 2), height, "left"))
    return Sheet(title, room + 2 * MARGIN, high, scale, tuple(items))


def heading(words: str, scale: float, top: float, room: float, units: Units) -> Iterator[Item]:
    """What a page or a picture is, its scale, and the unit of its figures."""
    lines, height = fitted(f"{words}, {scale_in_words(scale)}, {units_in_words(units)}", room, 4.0, bold=True)
    yield Label(lines[0], (MARGIN, top - 4.0), height, "left", bold=True)


def _to(at: PlanePoint) -> Callable[[PlanePoint], PlanePoint]:
    return lambda point: (point[0] + at[0], point[1] + at[1])
