"""Letters are as large as their page allows, and few sizes are tried to find them."""

from __future__ import annotations

from functools import partial

import pytest
from reportlab.platypus import Flowable, Paragraph

from solids.write.paper.typesetting.columns import one_column, put_text
from solids.write.paper.typesetting.flow import largest, style
from solids.write.paper.typesetting.pdf import Pages

SIZES = (12.0, 11.0, 10.0, 9.0, 8.0, 7.0)


def tried_below(limit: float, tried: list[float], size: float) -> float | None:
    tried.append(size)
    return size if size <= limit else None


@pytest.mark.parametrize("limit", [6.5, *SIZES])
def test_the_largest_that_fits_is_found_in_three_trials_of_six(limit: float) -> None:
    tried: list[float] = []
    assert largest(SIZES, partial(tried_below, limit, tried)) == (limit if limit in SIZES else None)
    assert len(tried) <= 3


def pages_and_sizes(paragraphs: int) -> tuple[int, list[float]]:
    """How many pages a text takes in one column, and in which sizes it was set on the way."""
    file, tried = Pages("title", "subject", 210.0, 297.0), list[float]()

    def text(size: float) -> list[Flowable]:
        tried.append(size)
        return [Paragraph("word " * 40, style(size, after=size)) for _ in range(paragraphs)]

    put_text(file, text, 280.0, SIZES, one_column)
    return file.canvas.getPageNumber(), tried


def test_a_short_text_is_set_once_in_the_largest_letters() -> None:
    assert pages_and_sizes(3) == (1, [12.0])


def test_a_text_takes_no_more_pages_than_in_the_smallest_letters() -> None:
    """A page takes (280 - 12) mm / 0.3528 = 760 points. Forty words of five letters are some 1,100 points wide in
    letters of 12, which are three lines of 527, and with the room after it 12 x (3 x 1.2 + 1) = 55 points: thirteen
    paragraphs a page. In letters of 7, two lines, 7 x 3.4 = 24 points: thirty a page."""
    pages, tried = pages_and_sizes(20)
    assert pages == 1
    assert tried[:2] == [12.0, 7.0]
    assert len(tried) <= 5
    assert pages_and_sizes(45)[0] == 2
