"""Strips on pages: covered whole, overlapping alike, inside the page's room, with the same marks on both neighbours."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.base.errors import InputError
from solids.base.geometry import PlanePoint
from solids.write.drafting.paper import PAPERS, PaperSize
from solids.write.drafting.sheet import Item, Label, Stroke
from solids.write.drafting.template import Strip, strips
from solids.write.drafting.tiling import EDGE, FOOT, HEAD, MOST_PAGES, OVERLAP, Page, Tile, cuts, paginate, room_on
from tests.corners import CASES, layout_of
from tests.write.drafting.flat import words_box


def blank(width: float, height: float, board: str = "tail board") -> Strip:
    return Strip(board, width, height, (0.0, 0.0), (0.0, 0.0), ())


def pieces_of(pages: tuple[Page, ...], strip: Strip) -> list[Tile]:
    return [piece for page in pages for piece in page if piece.strip is strip]


def circles(marks: tuple[Item, ...]) -> list[PlanePoint]:
    """The middles of the register marks: the middles of their circles."""
    found = []
    for mark in marks:
        if isinstance(mark, Stroke) and len(mark.points) > 2:
            xs, ys = zip(*mark.points, strict=True)
            found.append(((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2))
    return found


@given(st.floats(1.0, 20_000.0), st.floats(2 * OVERLAP, 400.0))
def test_cuts_cover_a_length_with_one_overlap_and_keep_to_their_room(length: float, room: float) -> None:
    found = cuts(length, room)
    assert found[0][0] == 0.0
    assert found[-1][1] == pytest.approx(length, rel=1e-12)
    assert all(high - low <= room * (1 + 1e-12) for low, high in found)
    assert len({round(high - low, 6) for low, high in found}) == 1
    for (_, before), (after, _) in itertools.pairwise(found):
        assert before - after == pytest.approx(OVERLAP, abs=1e-6)


@given(st.floats(1.0, 20_000.0), st.floats(2 * OVERLAP, 400.0))
def test_no_piece_more_is_cut_than_needed(length: float, room: float) -> None:
    """n pieces reach n (room - overlap) + overlap; one piece fewer would not reach."""
    fewer = len(cuts(length, room)) - 1
    assert fewer == 0 or fewer * (room - OVERLAP) + OVERLAP < length * (1 + 1e-9)


@pytest.mark.parametrize("size", PAPERS)
@pytest.mark.parametrize("width", [50.0, 181.0, 400.0, 1200.0])
@pytest.mark.parametrize("height", [60.0, 140.0, 400.0])
def test_pages_hold_every_part_of_every_strip_within_their_room(size: str, width: float, height: float) -> None:
    both = (blank(width, height), blank(width, height / 2, "pin board"))
    sheet, pages = paginate(both, PAPERS[size])  # type: ignore[index]
    assert {sheet.width, sheet.height} == {PAPERS[size].width, PAPERS[size].height}  # type: ignore[index]
    for page in pages:
        for piece in page:
            (x, y), (w, h) = piece.at, (piece.high[0] - piece.low[0], piece.high[1] - piece.low[1])
            assert x >= EDGE - 1e-9
            assert x + w <= sheet.width - EDGE + 1e-9
            assert y >= FOOT - 1e-9
            assert y + h <= sheet.height - HEAD + 1e-9
    for strip in both:
        found = pieces_of(pages, strip)
        for axis, size_ in ((0, strip.width), (1, strip.height)):
            spans = sorted({(piece.low[axis], piece.high[axis]) for piece in found})
            assert spans[0][0] == 0.0
            assert spans[-1][1] == pytest.approx(size_)
            assert all(b[0] < a[1] for a, b in itertools.pairwise(spans))
        columns = {(piece.low[0], piece.high[0]) for piece in found}
        rows = {(piece.low[1], piece.high[1]) for piece in found}
        assert len(found) == len(columns) * len(rows)


@pytest.mark.parametrize(("width", "height"), [(700.0, 150.0), (150.0, 900.0), (700.0, 900.0)])
def test_neighbouring_pages_share_their_register_marks_at_one_place_of_the_strip(width: float, height: float) -> None:
    strip = blank(width, height)
    _, pages = paginate((strip,), PAPERS["A4"])
    found = pieces_of(pages, strip)
    assert len(found) > 1
    places = [circles(piece.marks) for piece in found]
    assert all(marks == places[0] for marks in places)
    neighbours = 0
    for one, other in itertools.combinations(found, 2):
        low = [max(a, b) for a, b in zip(one.low, other.low, strict=True)]
        high = [min(a, b) for a, b in zip(one.high, other.high, strict=True)]
        widths = [top - foot for foot, top in zip(low, high, strict=True)]
        if min(widths) <= 0 or max(widths) <= OVERLAP + 1e-6:
            continue
        neighbours += 1
        assert min(widths) == pytest.approx(OVERLAP)
        inside = [p for p in places[0] if all(foot < v < top for v, foot, top in zip(p, low, high, strict=True))]
        # Two marks fix a shift and a turn; their whole circle and cross lie on both pages.
        assert len(inside) >= 2
        for mark in inside:
            assert all(min(v - foot, top - v) >= 2.5 - 1e-9 for v, foot, top in zip(mark, low, high, strict=True))
        assert max(math.dist(a, b) for a, b in itertools.combinations(inside, 2)) > 20
    assert neighbours


def test_each_register_mark_has_a_number_of_its_own() -> None:
    _, pages = paginate((blank(1000.0, 150.0),), PAPERS["A4"])
    marks = pages[0][0].marks
    numbers = [mark.text for mark in marks if isinstance(mark, Label)]
    assert numbers == [str(number) for number in range(1, len(circles(marks)) + 1)]


@pytest.mark.parametrize(("width", "height"), [(700.0, 150.0), (700.0, 900.0)])
def test_no_two_register_marks_run_into_each_other(width: float, height: float) -> None:
    """A mark is a cross that reaches 2.5 mm each way."""
    _, pages = paginate((blank(width, height),), PAPERS["A4"])
    places = circles(pages[0][0].marks)
    assert [(a, b) for a, b in itertools.combinations(places, 2) if math.dist(a, b) < 2 * 2.5] == []


def test_register_marks_lie_on_the_middle_of_the_overlap() -> None:
    """400 mm on A4 upright: room 210 - 28 = 182; (400 - 15)/(182 - 15) = 2.3, so three pieces in steps of 385/3; on its
    side there is room for 297 - 28 = 269, and two pieces in steps of 385/2 do."""
    sheet, pages = paginate((blank(400.0, 100.0),), PAPERS["A4"])
    assert (sheet.width, sheet.height) == (297.0, 210.0)
    assert [(p.low[0], p.high[0]) for (p,) in pages] == [(0.0, 192.5 + 15), (192.5, 385 + 15)]
    assert {round(x, 9) for x, _ in circles(pages[0][0].marks)} == {200.0}


def test_both_strips_share_one_page_where_both_fit() -> None:
    """The tool tray: strips of 96 x 71 and 96 x 69 mm stand one above the other on A4."""
    both = strips(layout_of("tool-tray"))
    sheet, pages = paginate(both, PAPERS["A4"])
    ((first, second),) = pages
    assert (sheet.width, sheet.height) == (210.0, 297.0)
    assert (first.strip, second.strip) == both
    assert second.at[1] + both[1].height <= first.at[1]
    assert first.marks == second.marks == ()


def test_low_pieces_of_one_strip_and_the_next_share_a_page() -> None:
    """Two strips of 700 x 62 mm on A4 upright: five pieces each, three to a page, as 3 x 62 + 2 x 10 = 206 mm go into
    297 - 16 - 28 = 253: four pages. On its side a page holds 2 x 62 + 10 = 134 of 166 mm, and each strip takes three
    pieces: three pages."""
    sheet, pages = paginate((blank(700.0, 62.0), blank(700.0, 62.0, "pin board")), PAPERS["A4"])
    assert (sheet.width, [len(page) for page in pages]) == (297.0, [2, 2, 2])
    for first, second in pages:
        assert first.at[1] - (second.at[1] + 62.0) == pytest.approx(10.0)


def test_the_sheet_lies_whichever_way_takes_fewer_pages() -> None:
    wide, tall = blank(260.0, 100.0), blank(150.0, 250.0)
    for strip, is_wide in ((wide, True), (tall, False)):
        sheet, pages = paginate((strip,), PAPERS["A4"])
        assert len(pages) == 1
        assert (sheet.width > sheet.height) is is_wide


@pytest.mark.parametrize("name", CASES)
def test_a3_never_takes_more_pages_than_a4(name: str) -> None:
    both = strips(layout_of(*CASES[name]))
    assert len(paginate(both, PAPERS["A3"])[1]) <= len(paginate(both, PAPERS["A4"])[1])


def test_too_many_pages_are_refused_with_their_number_and_a_larger_sheet() -> None:
    """Each of two strips of 5 m takes ceil(4985/254) = 20 sheets of A4 on its side; one of 8 m takes 32. They are too
    high for two pieces to a page."""
    assert len(paginate((blank(5000.0, 150.0),) * 2, PAPERS["A4"])[1]) == MOST_PAGES == 40
    with pytest.raises(InputError) as refused:
        paginate((blank(8000.0, 150.0),) * 2, PAPERS["A4"])
    assert "64 sheets of A4" in str(refused.value)
    assert "a larger sheet (A3)" in str(refused.value)
    assert "40" in str(refused.value)


def test_a_template_too_large_for_the_largest_sheet_is_not_sent_to_that_same_sheet() -> None:
    with pytest.raises(InputError) as refused:
        paginate((blank(9000.0, 200.0),) * 2, PAPERS["A3"])
    assert "sheets of A3" in str(refused.value)
    assert "a larger sheet (A3)" not in str(refused.value)


def test_every_piece_says_which_it_is() -> None:
    _, pages = paginate((blank(700.0, 900.0),), PAPERS["A4"])
    names = [piece.name for (piece,) in pages]
    assert len(set(names)) == len(names)
    assert all(name.startswith("tail board, ") for name in names)


@pytest.mark.parametrize("size", PAPERS)
def test_the_room_leaves_the_edges_of_the_page_white(size: str) -> None:
    paper: PaperSize = PAPERS[size]  # type: ignore[index]
    across, up = room_on(paper)
    assert across == pytest.approx(paper.width - 2 * EDGE)
    assert up == pytest.approx(paper.height - HEAD - FOOT)
    assert min(EDGE, HEAD, FOOT) >= 10.0


@pytest.mark.parametrize("overrides", [("carcase",), ("blanket-chest",), ("tool-tray", "joint.width=700")])
def test_no_register_mark_lies_on_words_and_no_words_are_cut_in_two(overrides: tuple[str, ...]) -> None:
    both = strips(layout_of(*overrides))
    _, pages = paginate(both, PAPERS["A4"])
    for strip in both:
        found = pieces_of(pages, strip)
        boxes = [(item.text, words_box(item, 0.1)) for item in strip.items if isinstance(item, Label)]
        for text, box in boxes:
            low_x, low_y, high_x, high_y = box.bounds
            assert any(
                piece.low[0] <= low_x and piece.low[1] <= low_y and high_x <= piece.high[0] and high_y <= piece.high[1]
                for piece in found
            ), f"{text} is on no page as a whole"
        for x, y in circles(found[0].marks):
            for text, box in boxes:
                low_x, low_y, high_x, high_y = box.bounds
                apart = x + 2.5 < low_x or x - 2.5 > high_x or y + 2.5 < low_y or y - 2.5 > high_y
                assert apart, f"a register mark lies on {text}"
