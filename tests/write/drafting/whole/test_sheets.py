"""Every sheet: all of it inside the frame, no words on others, a scale of the series, what the title block tells."""

from __future__ import annotations

import pytest
from shapely.geometry import LineString, box
from shapely.ops import unary_union

from solids.base.errors import InputError
from solids.write.drafting.layers import LAYERS
from solids.write.drafting.paper import scale_in_words
from solids.write.drafting.sheet import Sheet
from solids.write.drafting.whole.framed import STEPS, largest_scale
from solids.write.named import DRAWN
from tests.write.drafting.flat import clashing, labels, segments, strokes, words_box
from tests.write.drafting.whole.cases import NAMES, drawings, job

LEAST_LETTERS = 1.2
"""Capitals lower than this are hard to read on paper (mm)."""


def struck_out(sheet: Sheet) -> list[str]:
    """The words that a line of a view or of the frame runs through."""
    lines = [
        LineString(segment)
        for stroke in strokes(sheet.items, "frame", "thin frame", "visible edges", "section lines")
        for segment in segments(stroke)
    ]
    whole = unary_union(lines)
    return [label.text for label in labels(sheet.items) if words_box(label, 0.1).intersection(whole).length > 0.2]


@pytest.mark.parametrize("name", NAMES)
def test_all_of_it_lies_within_the_frame_and_no_words_lie_on_others(name: str) -> None:
    for sheet in drawings(name).pages:
        frame = box(20.0, 10.0, sheet.width - 10.0, sheet.height - 10.0).buffer(1e-6)
        points = [point for stroke in strokes(sheet.items) for point in stroke.points]
        left, foot, right, head = frame.bounds
        assert [(x, y) for x, y in points if not (left <= x <= right and foot <= y <= head)] == []
        assert [label.text for label in labels(sheet.items) if not frame.covers(words_box(label))] == []
        assert clashing([(label.text, words_box(label, 0.05)) for label in labels(sheet.items)]) == []
        assert struck_out(sheet) == []
        assert [label.text for label in labels(sheet.items) if label.height < LEAST_LETTERS] == []


@pytest.mark.parametrize("name", NAMES)
def test_the_title_block_tells_scale_sheet_and_projection(name: str) -> None:
    pages = drawings(name).pages
    for number, sheet in enumerate(pages, start=1):
        words = [label.text for label in labels(sheet.items)]
        told = "not to scale" if number == len(pages) else f"scale {scale_in_words(sheet.scale)}"
        assert told in words
        assert sheet.scale in STEPS
        assert sum(text.rstrip(")").endswith(f"sheet {number} of {len(pages)}") for text in words) == 1
        assert any("cautions" in text for text in words)
    assert any(label.text.startswith("Third-angle projection") for label in labels(pages[0].items))


def test_a_box_that_fails_says_so_on_every_sheet() -> None:
    pages = drawings("fails").pages
    assert all(any("do not cut it" in label.text.lower() for label in labels(sheet.items)) for sheet in pages)


def test_what_does_not_fit_at_any_scale_is_refused_with_the_paper_named() -> None:
    with pytest.raises(InputError, match=r"do not fit A4 at 1:100; take a smaller box"):
        largest_scale(job("keepsake").proof.box, lambda _: False)


def test_there_is_a_drawing_for_each_file_and_the_boards_lie_side_by_side() -> None:
    made = drawings("odd")
    assert list(made.kinds) == list(DRAWN)
    boards = made.kinds["boards"]
    assert len(boards) == 3
    whole = made.sheet("boards")
    assert (whole.width, whole.scale) == (3 * boards[0].width, boards[0].scale)
    assert len(whole.items) == sum(len(sheet.items) for sheet in boards)
    assert made.sheet("views") == made.kinds["views"][0]


def test_every_layer_is_known() -> None:
    known = {layer.name for layer in LAYERS}
    assert {item.layer for sheet in drawings("keepsake").pages for item in sheet.items} <= known
