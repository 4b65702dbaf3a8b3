"""What a maker is told of their paper: letters that the font lacks, and cutters that do not pass."""

from __future__ import annotations

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
    """Pins of 3 mm at 1:7 with ends 0.5 mm proud leave 3 - 2 x 0.5/7 = 2.857 mm; 0.1 mm less is 2.757 mm."""
    (notice,) = paper_notices(layout_of("tool-tray", "kit.cutters=[3, 6]"))
    assert "tail board" in notice
    assert "2.757" in notice
    assert "pin board" not in notice


def test_both_boards_are_told_where_no_cutter_passes_either() -> None:
    """The sockets' narrowest is 18.75 - 2 x 12/7 = 15.321 mm at the inside face."""
    notices = paper_notices(layout_of("tool-tray", "kit.cutters=[20]"))
    assert len(notices) == 2
    assert "15.22" in notices[1]


def test_the_cutter_that_is_told_would_pass() -> None:
    (notice,) = paper_notices(layout_of("tool-tray", "kit.cutters=[3]"))
    most = notice.rsplit("one of ", 1)[1].split(" mm")[0]
    assert paper_notices(layout_of("tool-tray", f"kit.cutters=[{most}]")) == ()


def test_an_inch_recipe_is_told_inches() -> None:
    (notice,) = paper_notices(layout_of("tea-box", "kit.cutters=[0.25]"))
    assert " in or less would" in notice


def test_cutters_that_pass_need_no_notice() -> None:
    assert paper_notices(layout_of("tool-tray", "kit.cutters=[2]")) == ()
