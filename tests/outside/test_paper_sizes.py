"""Sheets, line widths and scales against the standards' own rules.

- ISO 216:2007 and ISO 5457:1999: from memory.
- Letter: 8 1/2 x 11 in (ANSI Y14.1), from memory; an inch is 25.4 mm (ISO 31-1).
- ISO 128-2 line widths: from memory.
- ISO 5455:1979 scales: from memory.
- ISO 32000-1, 8.3.2.3: the default user unit is 1/72 in; its sizes in points by arithmetic.
"""

from __future__ import annotations

import itertools
import math

import pytest
from reportlab.lib import pagesizes

from solids.write.drafting.layers import ISO_WIDTHS, LAYERS
from solids.write.drafting.paper import FILING_MARGIN, MARGIN, PAPERS, SCALES, scale_in_words
from solids.write.drafting.titles import BLOCK_WIDTH

pytestmark = pytest.mark.outside


def a_size(number: int) -> tuple[int, int]:
    """ISO 216: A0 has 1 m2 and sides as 1 to the root of 2; each next is half of the one before, rounded down."""
    width, height = round(1000 / 2**0.25), round(1000 * 2**0.25)
    for _ in range(number):
        width, height = height // 2, width
    return width, height


@pytest.mark.parametrize(("name", "number", "size"), [("A4", 4, (210, 297)), ("A3", 3, (297, 420))])
def test_sheets_of_the_a_series_follow_the_halving_rule(name: str, number: int, size: tuple[int, int]) -> None:
    paper = PAPERS[name]  # type: ignore[index]
    assert a_size(0) == (841, 1189)
    assert (paper.width, paper.height) == a_size(number) == size
    assert paper.height / paper.width == pytest.approx(math.sqrt(2), abs=0.003)


def test_two_a4_make_an_a3() -> None:
    assert PAPERS["A3"].width == PAPERS["A4"].height
    assert PAPERS["A3"].height == 2 * PAPERS["A4"].width


def test_letter_is_eight_and_a_half_by_eleven_inches() -> None:
    assert (PAPERS["Letter"].width, PAPERS["Letter"].height) == pytest.approx((8.5 * 25.4, 11 * 25.4))


@pytest.mark.parametrize(
    ("name", "points"), [("A4", (595.276, 841.890)), ("A3", (841.890, 1190.551)), ("Letter", (612.0, 792.0))]
)
def test_sheets_in_points_are_those_of_the_reference_and_of_another_library(
    name: str, points: tuple[float, float]
) -> None:
    """210 x 297 mm at 72 points an inch, and ReportLab's own table of paper sizes."""
    paper = PAPERS[name]  # type: ignore[index]
    found = (paper.width * 72 / 25.4, paper.height * 72 / 25.4)
    assert found == pytest.approx(points, abs=0.001)
    assert found == pytest.approx(getattr(pagesizes, name.upper() if name != "Letter" else "LETTER"), abs=0.001)


def test_a_turned_sheet_is_the_same_sheet() -> None:
    for paper in PAPERS.values():
        turned = paper.turned()
        assert (turned.width, turned.height) == (paper.height, paper.width)
        assert turned.turned() == paper


def test_the_frame_keeps_twenty_millimetres_to_file_and_ten_elsewhere() -> None:
    """ISO 5457: the filing margin is on the left. From memory."""
    assert (FILING_MARGIN, MARGIN) == (20.0, 10.0)
    for paper in PAPERS.values():
        (left, foot), (right, head) = paper.frame
        assert (left, foot, paper.width - right, paper.height - head) == pytest.approx((20.0, 10.0, 10.0, 10.0))
        assert paper.inner_width == pytest.approx(right - left)
        assert paper.inner_height == pytest.approx(head - foot)


def test_the_title_block_is_no_wider_than_the_standard_allows() -> None:
    """ISO 7200: at most 180 mm, the inner width of an upright A4. From memory."""
    assert BLOCK_WIDTH <= 180.0 == PAPERS["A4"].inner_width


def test_line_widths_are_those_of_the_standard_and_grow_by_the_root_of_two() -> None:
    assert ISO_WIDTHS == (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
    for narrow, wide in itertools.pairwise(ISO_WIDTHS):
        # Each is rounded to two figures, half a unit of which is 4 % of 0.13.
        assert wide / narrow == pytest.approx(math.sqrt(2), rel=0.045)
    for narrow, wide in zip(ISO_WIDTHS, ISO_WIDTHS[2:], strict=False):
        assert wide / narrow == pytest.approx(2.0, rel=0.08)


def test_wide_lines_are_twice_as_wide_as_narrow_ones() -> None:
    """ISO 128-2: two widths on a drawing, 2 to 1; the frame is 0.7 mm (ISO 5457). From memory."""
    width = {layer.name: layer.width for layer in LAYERS}
    assert set(width.values()) <= set(ISO_WIDTHS)
    for narrow in ("hidden edges", "break lines", "dimensions"):
        assert width["visible edges"] == 2 * width[narrow]
    assert width["frame"] == 0.7


def test_scales_are_those_of_the_standard() -> None:
    """ISO 5455: 1, 2 and 5 times powers of ten, enlarging to 50:1 and reducing to 1:10000; ours are ten of them."""
    meant = {float(f"{step}e{power}") for step in (1, 2, 5) for power in range(-4, 2)}
    allowed = {round(m, 9) for m in meant} | {round(1 / m, 9) for m in meant}
    assert {round(scale, 9) for scale in SCALES} <= allowed
    assert list(SCALES) == sorted(SCALES, reverse=True)
    words = [scale_in_words(scale) for scale in SCALES]
    assert words == ["10:1", "5:1", "2:1", "1:1", "1:2", "1:5", "1:10", "1:20", "1:50", "1:100"]
