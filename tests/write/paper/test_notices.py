"""What a maker is told of their paper: letters that the font lacks, and cutters that do not pass."""

from __future__ import annotations

import re

import pytest

from solids.write.paper.notices import paper_notices
from tests.corners import CASES, layout_of


@pytest.mark.parametrize("name", CASES)
def test_a_plain_recipe_has_no_notices(name: str) -> None:
    assert paper_notices(layout_of(*CASES[name])) == ()


def test_accents_and_greek_need_no_notice() -> None:
    assert paper_notices(layout_of("tool-tray", 'title="Kästchen, é ł Ω Ж"')) == ()


def test_letters_written_otherwise_are_told_with_what_stands_for_them() -> None:
    (notice,) = paper_notices(layout_of("tool-tray", 'title="木の箱"'))
    assert "木 as Mu" in notice
    assert "Latin letters" in notice
    assert not notice.endswith(".")


def test_letters_of_a_woods_name_are_told_too() -> None:
    own = '{name="桐", kind="hardwood", density=300}'
    (notice,) = paper_notices(layout_of("tool-tray", f"pin_board.wood={own}"))
    assert "桐 as " in notice


def test_twelve_letters_are_told_and_the_rest_counted() -> None:
    """Each of the fifteen is another character, so twelve are named and three counted."""
    text = "一二三四五六七八九十百千万木石"
    (notice,) = paper_notices(layout_of("tool-tray", f'title="{text}"'))
    assert notice.count(" as ") == 12
    assert notice.endswith("and 3 more")


def test_cutters_that_do_not_pass_are_told_with_the_widest_that_would() -> None:
    """Pins of 3 mm at 1:7 with ends 0.5 mm proud leave 3 - 2 x 0.5/7 = 2.857 mm; with 0.3 mm of wood on both lines
    2.257 mm pass. A cut 10 mm deep takes 2 mm, a fifth of it."""
    (notice,) = paper_notices(layout_of("tool-tray", "kit.cutters=[3, 6]"))
    assert "tail board" in notice
    assert "one of 2.25 mm or less" in notice
    assert "no less than 2 mm" in notice
    assert "pin board" not in notice


def test_both_boards_are_told_where_no_cutter_passes_either() -> None:
    """The sockets' narrowest is 18.75 - 2 x 12/7 = 15.321 mm at the inside face; less 0.6 mm is 14.721 mm."""
    notices = paper_notices(layout_of("tool-tray", "kit.cutters=[20]"))
    assert len(notices) == 2
    assert "one of 14.72" in notices[1]


def test_the_cutter_that_is_told_would_pass() -> None:
    (notice,) = paper_notices(layout_of("tool-tray", "kit.cutters=[3]"))
    most = notice.rsplit("one of ", 1)[1].split(" mm")[0]
    assert paper_notices(layout_of("tool-tray", f"kit.cutters=[{most}]")) == ()


def test_an_inch_recipe_is_told_inches() -> None:
    (notice,) = paper_notices(layout_of("tea-box", "kit.cutters=[0.25]"))
    assert re.search(r"one of \d+/\d+ in or less, and no less than 5/64 in, would do$", notice)


def test_cutters_that_pass_need_no_notice() -> None:
    """2.2 mm passes the tail board, and is no less than a fifth of the pin board's 10.5 mm."""
    assert paper_notices(layout_of("tool-tray", "kit.cutters=[2.2]")) == ()


def test_cutters_too_thin_for_the_depth_are_told_with_the_thinnest_that_is_not() -> None:
    """2 mm passes everywhere; 10.5 mm is 5.25 times as deep, and 10.5/5 is 2.1 mm."""
    (notice,) = paper_notices(layout_of("tool-tray", "kit.cutters=[2]"))
    assert notice.startswith("Those of your cutters that pass the pin board's openings are too thin for a cut 10.5 mm")
    assert "one of 2.1 mm or more" in notice


def test_a_recipe_without_cutters_is_told_of_none() -> None:
    assert paper_notices(layout_of("tool-tray", "joint.pin=1")) == ()


def test_relief_that_a_thick_cutter_cannot_cut_is_told_with_the_cutter_that_can() -> None:
    """12 mm at 81.87 degrees: a bite of 6 (1 - 0.6552) = 2.07 mm. 2/(1 - 0.6552) = 5.80 mm bites 1 mm."""
    asked = ("drawer-front", "paper.corner_relief=true")
    (notice,) = [told for told in paper_notices(layout_of(*asked, "kit.cutters=[12]")) if "corner_relief" in told]
    assert "the 12 mm cutter would bite 2.05 mm into both walls" in notice
    found = re.search(r"one of ([0-9.]+) mm or less would", notice)
    assert found
    assert float(found[1]) == pytest.approx(5.80, abs=0.005)
    again = paper_notices(layout_of(*asked, f"kit.cutters=[{found[1]}, 12]"))
    assert not [told for told in again if "corner_relief" in told]
