"""The 1:1 template as PDF: the strips of both boards on as many pages as they need, each page with bars to measure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reportlab.lib.units import mm

from solids.base.cautions import BESIDE_A_NOTE, FAILS, IN_SHORT
from solids.base.fonts import fitted
from solids.base.geometry import PlanePoint
from solids.bench.place_words import place_words
from solids.layout import Layout
from solids.layout.assembly import Assembly
from solids.write.drafting.paper import PAPERS, PaperSize
from solids.write.drafting.sheet import Item, Label, line
from solids.write.drafting.template import strips
from solids.write.drafting.tiling import EDGE, Page, Tile, paginate
from solids.write.paper.typesetting.letters import in_font
from solids.write.paper.typesetting.pdf import Pages

BAR_MM, BAR_INCHES = 100.0, 101.6
"""Lengths of the bars to measure: 100 mm, and 4 in."""

TICK = 2.5
SAMPLE = 12.0
"""Length of a line in the key, longer than the longest pattern of dashes."""

KEY = (
    ("cut lines", "knife or saw line"),
    ("gauge lines", "gauge here"),
    ("fold lines", "fold over the edge"),
    ("waste", "waste and kerf"),
)
KEY_STEP, KEY_COLUMN, BESIDE_BARS = 3.2, 41.0, 14.5
"""From line to line of the key, from its first column to the second, and from the longer bar to the words beside it: so
far to the left that every word of the second column is clear of the edge of the smallest sheet."""

HEADINGS = ((2, 3.0, 9.0, 4.2), (3, 2.3, 8.2, 3.2))
"""Ways to set a page's heading: how many lines at most, how high their capitals, how far the first is from the upper
edge, and from line to line."""

LID_KEY = ("lid cut", "saw off the lid")
TWICE = "The {} is drawn at both edges: cut the one at the {} edge alone."


def template_bytes(layout: Layout, *, failing: bool = False) -> bytes:
    """The PDF file. `failing` puts a warning on every page, for a joint that did not pass its proof. InputError where
    it would take too many pages."""
    return _file(layout.recipe.title, [(layout, "", "page")], IN_SHORT, failing=failing)


def board_template_bytes(piece: Assembly, board: str, *, failing: bool = False) -> bytes:
    """The same for one board alone, with the joints at all of its ends."""
    called = f"{board} board, page" if piece.box else "page"
    parts = [(kind.layout, carries, called) for kind, carries in piece.ends(board)]
    return _file(piece.recipe.title, parts, BESIDE_A_NOTE, failing=failing)


def _file(title: str, parts: Sequence[tuple[Layout, str, str]], caution: str, *, failing: bool) -> bytes:
    """The file of some joints: each with the board of which the strip is drawn, "" for both, and what a page is
    called."""
    planned = [(layout, called, *template_pages(layout, board)) for layout, board, called in parts]
    _, _, first, _ = planned[0]
    file = Pages(in_font(title), "1:1 template; print at 100 %", first.width, first.height)
    for layout, called, sheet, pages in planned:
        file.turn(sheet.width, sheet.height)
        put_template(file, layout, pages, called, caution, failing=failing)
    return file.bytes()


def template_pages(layout: Layout, board: str = "") -> tuple[PaperSize, tuple[Page, ...]]:
    """The sheet that the template of both boards goes on, or of one `board`, and what each of its pages holds.
    InputError where they are too many."""
    drawn = [strip for strip in strips(layout) if board in ("", strip.board)]
    return paginate(drawn, PAPERS[layout.recipe.paper.size])


def put_template(
    file: Pages, layout: Layout, pages: Sequence[Page], called: str, caution: str, *, failing: bool
) -> None:
    """The pages, which are `called` so in their headings, each with a word of `caution` at its foot."""
    title, place = in_font(layout.recipe.title), [in_font(words) for words in place_words(layout)]
    for groove in layout.grooves:
        if len(groove.spans) > 1:
            place.append(TWICE.format(groove.name, "upper" if groove.is_top else "reference"))
    key = tuple(_key(layout))
    for number, page in enumerate(pages, start=1):
        for piece in page:
            _draw(file, piece)
        heading = f"{title}: template, {called} {number} of {len(pages)}. " + "; ".join(piece.name for piece in page)
        heading = " ".join([f"{heading}." if place else heading, *place])
        file.draw(_heading(f"{FAILS} {heading}" if failing else heading, file))
        file.draw(bars(key, caution))
        file.next_page()


def _key(layout: Layout) -> Iterator[tuple[str, str]]:
    """The layers of the template, and what each means."""
    yield from KEY
    names = ["groove for the top" if groove.is_top else f"{groove.name} for the bottom" for groove in layout.grooves]
    if len(names) > 1:
        yield "groove", "rebate and top groove" if layout.grooves[0].is_rebate else "both grooves"
    elif names:
        yield "groove", names[0]
    if layout.standing.sawn:
        yield LID_KEY


def _draw(file: Pages, piece: Tile) -> None:
    """A piece, clipped at its own edges."""
    canvas = file.canvas
    width, height = piece.high[0] - piece.low[0], piece.high[1] - piece.low[1]
    canvas.saveState()
    clip = canvas.beginPath()
    clip.rect((piece.at[0] - 0.2) * mm, (piece.at[1] - 0.2) * mm, (width + 0.4) * mm, (height + 0.4) * mm)
    canvas.clipPath(clip, stroke=0, fill=0)
    origin = piece.at[0] - piece.low[0], piece.at[1] - piece.low[1]
    names = piece.strip.names(piece.low[0], piece.high[0])
    file.draw((*piece.strip.items, *names, *piece.marks), origin)
    canvas.restoreState()


def _heading(text: str, sheet: Pages) -> Iterator[Item]:
    """In two lines, or in three smaller ones where those are larger than two would be."""
    ways = []
    for most, largest, first, step in HEADINGS:
        lines, height = fitted(text, sheet.width - 2 * EDGE, largest, most_lines=most, bold=True)
        ways.append((height, first, step, lines))
    height, first, step, lines = max(ways, key=lambda way: way[0])
    for row, words in enumerate(lines):
        yield Label(words, (EDGE, sheet.height - first - step * row), height, "left", bold=True)


def bars(key: Sequence[tuple[str, str]] = KEY, caution: str = IN_SHORT) -> Iterator[Item]:
    """Two bars across and one up, how to use them, and the key to the lines."""
    left, foot = EDGE, 19.0
    yield from _bar((left, foot), (left + BAR_MM, foot), "100 mm")
    yield from _bar((left, foot - 6.5), (left + BAR_INCHES, foot - 6.5), "4 in")
    upright = 8.0  # no printer leaves more than 6 mm white
    yield from _bar((upright, 30.0), (upright, 30.0 + BAR_MM), "100 mm")
    words, rows = left + BAR_INCHES + BESIDE_BARS, (len(key) + 1) // 2
    top = 6.6 + KEY_STEP * rows
    yield Label("Print at 100 %, not fitted to the page.", (words, top + 8.0), 2.6, "left", bold=True)
    yield Label("Measure the bars before you cut.", (words, top + 3.8), 2.2, "left")
    yield Label(caution, (left, 6.5), 1.9, "left")
    for column, (layer, text) in enumerate(key):
        x, y = words + KEY_COLUMN * (column % 2), top - KEY_STEP * (column // 2)
        yield line(layer, (x, y + 0.8), (x + SAMPLE, y + 0.8))
        yield Label(text, (x + SAMPLE + 1.5, y), 1.9, "left")


def _bar(start: PlanePoint, end: PlanePoint, text: str) -> Iterator[Item]:
    """A line between two ticks, which stand exactly at its ends."""
    yield line("cut lines", start, end)
    across = start[1] == end[1]
    for x, y in (start, end):
        tick = ((x, y - TICK / 2), (x, y + TICK / 2)) if across else ((x - TICK / 2, y), (x + TICK / 2, y))
        yield line("cut lines", *tick)
    if across:
        yield Label(text, (end[0] + 2.0, end[1] - 1.1), 2.4, "left")
    else:
        yield Label(text, (start[0] + 3.1, (start[1] + end[1]) / 2), 2.2, turn_deg=90.0)
