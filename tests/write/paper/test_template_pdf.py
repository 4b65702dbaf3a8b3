"""The template is printed at 1:1: its bars and its strips, read from the page's operators and measured on pixels."""

from __future__ import annotations

import math

import pytest

from solids.layout.assembly import assembly_of
from solids.layout.plan import plan
from solids.write.drafting.paper import PAPERS
from solids.write.drafting.template import strips
from solids.write.drafting.tiling import FOOT, HEAD, paginate
from solids.write.paper.template import template_bytes
from tests.corners import CASES, layout_of
from tests.write.paper.reading import MM, TITLES, Drawn, boxes_of_words, nasty, opened, pixels, strokes_on, words_of

WIDE = ("tool-tray", "joint.width=400", "joint.tails=12")
NAMES = {**CASES, "two pages": WIDE}

BAR_MM, BAR_INCH = 283.465, 288.0
"""100 mm x 72 / 25.4, and 4 in x 72, in points."""


def bars(found: list[Drawn]) -> list[Drawn]:
    """Straight lines of one of the bars' lengths that end in two ticks of 2.5 mm."""
    ticks = [s for s in found if len(s.points) == 2 and math.dist(*s.points) == pytest.approx(2.5 * MM, abs=0.01)]
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in (tick.points for tick in ticks)]

    def has_tick(end: tuple[float, float]) -> bool:
        return any(math.dist(end, middle) < 0.01 for middle in middles)

    return [s for s in found if len(s.points) == 2 and all(has_tick(end) for end in s.points)]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("size", PAPERS)
def test_every_page_has_two_bars_of_100_mm_and_one_of_4_in_to_a_hundredth_of_a_point(name: str, size: str) -> None:
    data = template_bytes(layout_of(*NAMES[name], f"paper.size={size}"))
    with opened(data) as pdf:
        for page in pdf.pages:
            found = bars(strokes_on(page))
            lengths = sorted(math.dist(*bar.points) for bar in found)
            assert lengths == pytest.approx([BAR_MM, BAR_MM, BAR_INCH], abs=0.01)
            level = [bar for bar in found if bar.points[0][1] == bar.points[1][1]]
            upright = [bar for bar in found if bar.points[0][0] == bar.points[1][0]]
            assert (len(level), len(upright)) == (2, 1)
            assert math.dist(*upright[0].points) == pytest.approx(BAR_MM, abs=0.01)
            assert upright[0].points[0][0] - 2.5 * MM / 2 >= 6 * MM, "ticks and all, clear of what no printer reaches"


@pytest.mark.parametrize("name", NAMES)
def test_a_strip_on_the_page_is_as_large_as_the_board(name: str) -> None:
    """Its frame is drawn whole, cut off by the page where it is too wide: width of the joint, and three faces high."""
    layout = layout_of(*NAMES[name])
    data = template_bytes(layout)
    meant = sorted((layout.width * MM, strip.height * MM) for strip in strips(layout))
    with opened(data) as pdf:
        boxes = {(round(s.size[0], 2), round(s.size[1], 2)) for page in pdf.pages for s in strokes_on(page) if s.closed}
    for width, height in meant:
        assert any(width == pytest.approx(w, abs=0.02) and height == pytest.approx(h, abs=0.02) for w, h in boxes)


@pytest.mark.parametrize("name", NAMES)
def test_there_are_as_many_pages_as_were_planned_and_each_says_so(name: str) -> None:
    layout = layout_of(*NAMES[name])
    _, pages = paginate(strips(layout), PAPERS["A4"])
    data = template_bytes(layout)
    with opened(data) as pdf:
        assert len(pdf.pages) == len(pages)
    for number, page in enumerate(pages, start=1):
        words = words_of(data, number - 1)
        assert f"page {number} of {len(pages)}" in words
        assert all(piece.name in words for piece in page)
        assert "Print at 100 %" in words
        assert "100 mm" in words
        assert "4 in" in words


DPI = 600
PER_MM = DPI / 25.4


def runs(dark: object) -> list[float]:
    """The middles of the groups of dark rows or columns, in mm."""
    import numpy as np

    found = np.flatnonzero(np.asarray(dark))
    groups = np.split(found, np.flatnonzero(np.diff(found) > 2) + 1)
    return [float(group[0] + group[-1] + 1) / 2 / PER_MM for group in groups if len(group)]


def test_bars_and_strips_measured_on_pixels_are_right_to_a_tenth_of_a_millimetre() -> None:
    """Drawn by PDFium at 600 dpi: a pixel is 0.042 mm. The gauge case: 80 mm wide, boards of 6 and 18 mm."""
    layout = layout_of(*CASES["listed, no symmetry"])
    data = template_bytes(layout)
    dark = pixels(data, DPI) < 200
    height = dark.shape[0]
    assert dark.shape[1] == pytest.approx(210 * PER_MM, abs=1)
    assert height == pytest.approx(297 * PER_MM, abs=1)

    # The frames' long sides are the only unbroken lines this long.
    strip_rows = dark[: height - round(32 * PER_MM)]
    heights = [2 * 18 + 2 * 18.5 + 6, 2 * 18 + 2 * 6.5 + 18]
    assert [strip.height for strip in strips(layout)] == pytest.approx(heights)
    columns = runs(strip_rows.sum(axis=0) > 0.97 * sum(heights) * PER_MM)
    assert len(columns) == 2
    assert columns[1] - columns[0] == pytest.approx(80.0, abs=0.1)
    rows = runs(
        strip_rows[:, round((columns[0] + 0.5) * PER_MM) : round((columns[1] - 0.5) * PER_MM)].sum(axis=1)
        > 0.97 * 79 * PER_MM
    )
    assert len(rows) == 4
    assert rows[1] - rows[0] == pytest.approx(heights[0], abs=0.1)
    assert rows[3] - rows[2] == pytest.approx(heights[1], abs=0.1)

    # Level bars: unbroken rows near the foot; their ticks reach 1.25 mm up and down. Words begin at 116 mm.
    foot = dark[height - round(22 * PER_MM) :, : round(115.9 * PER_MM)]
    levels = runs(foot.sum(axis=1) > 95 * PER_MM)
    assert len(levels) == 2
    lengths = []
    for level in levels:
        beside = foot[round((level - 0.9) * PER_MM) : round((level - 0.4) * PER_MM)]
        ticks = runs(beside.all(axis=0))
        lengths.append(ticks[-1] - ticks[0])
    assert lengths == pytest.approx([100.0, 101.6], abs=0.1)


def test_a_cut_line_on_pixels_is_where_the_layout_has_its_flank() -> None:
    """At the second fold of the tail strip the tails' ends stand at 13 - 0.0625, 23 + 0.0625, and so on."""
    layout = layout_of(*CASES["listed, no symmetry"])
    dark = pixels(template_bytes(layout), DPI) < 200
    height = dark.shape[0]
    ((first, _),) = paginate(strips(layout), PAPERS["A4"])[1]
    left, middle = first.at[0], first.at[1] + (first.strip.folds[0] + first.strip.folds[1]) / 2
    row = height - round((middle - 1.0) * PER_MM)
    band = dark[row - 6 : row + 6, round((left + 1) * PER_MM) : round((left + 79) * PER_MM)]
    found = [x + 1 for x in runs(band.all(axis=0))]
    for meant in (13 - 0.0625, 23 + 0.0625, 25.5 - 0.0625, 49.5 + 0.0625, 52 - 0.0625, 67 + 0.0625):
        assert min(abs(x - meant) for x in found) < 0.1, meant


@pytest.mark.parametrize("title", TITLES)
def test_no_title_runs_off_the_page(title: str) -> None:
    data = template_bytes(nasty(title))
    with opened(data) as pdf:
        sizes = [(float(page.mediabox[2]), float(page.mediabox[3])) for page in pdf.pages]
    for number, (width, height) in enumerate(sizes):
        assert f"page {number + 1} of {len(sizes)}" in words_of(data, number)
        for words, (low_x, low_y, high_x, high_y) in boxes_of_words(data, number):
            if height - high_y > HEAD * MM and low_y > FOOT * MM:
                continue  # on the strip, whose words are cut off where the next page goes on
            assert low_x > 5 * MM, words
            assert high_x < width - 5 * MM, words
            assert low_y > 5 * MM, words
            assert high_y < height - 5 * MM, words


def test_the_key_shows_the_lines_dashed_as_they_are_drawn() -> None:
    """A sample must be long enough to show its dashes, or a fold looks like a line to cut."""
    data = template_bytes(layout_of("tool-tray"))
    with opened(data) as pdf:
        found = strokes_on(pdf.pages[0])
    samples = [s for s in found if len(s.points) == 2 and s.dashes and max(y for _, y in s.points) < 20 * MM]
    assert len(samples) >= 2
    for sample in samples:
        assert math.dist(*sample.points) >= sum(sample.dashes) - 0.01, sample.dashes


def test_no_word_of_the_longest_key_lies_where_printers_leave_the_sheet_white() -> None:
    """A chest has both grooves and a lid that is sawn off: six lines of the key. No printer leaves more than 6 mm."""
    (kind, *_) = assembly_of(plan("tea-chest")).kinds
    data = template_bytes(kind.layout)
    words = dict(boxes_of_words(data))
    assert any("saw off the lid" in text for text in words)
    with opened(data) as pdf:
        width = float(pdf.pages[0].mediabox[2])
    assert max(right for _, _, right, _ in words.values()) < width - 7 * MM
