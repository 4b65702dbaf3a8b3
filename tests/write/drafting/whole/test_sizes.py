"""Sizes on the drawings are those of the layout, and those of the solids."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from solids.layout.boards import boards_of
from solids.model.kernel import bounds
from solids.recipe.tables.box_resolved import SIDES
from solids.write.drafting.sheet import Distance, Sheet
from solids.write.drafting.whole.board_views import different_boards, groove_heights, shoulders
from solids.write.drafting.whole.elevations import overall
from solids.write.drafting.whole.looks import ends_of
from tests.write.drafting.flat import labels, strokes
from tests.write.drafting.whole.cases import NAMES, drawings, job

PROUD = ("ends left proud",)


def dimensions(sheet: Sheet) -> list[Distance]:
    return [item for item in sheet.items if isinstance(item, Distance)]


def length(dim: Distance, scale: float) -> float:
    """In mm of the work, as the drawing has it."""
    axis = 0 if dim.axis == "across" else 1
    return abs(dim.end[axis] - dim.start[axis]) / scale


def lengths(sheet: Sheet) -> list[float]:
    return [length(dim, sheet.scale) for dim in dimensions(sheet)]


def told(words: str, units: str) -> float:
    """The mm of a dimension's words, read without the package: "12.31", "13.201 [13 13/64]"."""
    return float(re.sub(r"\[[\d /]+\]", "", words)) * (1.0 if units == "mm" else 25.4)


def same(found: list[float], meant: list[float]) -> bool:
    """Whether two lists hold the same lengths as often."""
    return Counter(round(mm, 6) for mm in found) == Counter(round(mm, 6) for mm in meant)


@pytest.mark.parametrize("name", NAMES)
def test_every_dimension_says_what_it_measures(name: str) -> None:
    """To half the step of its reading, or half a thousandth of an inch."""
    units = job(name).proof.box.recipe.units
    for sheet in drawings(name).pages:
        for dim in dimensions(sheet):
            slack = float(dim.reading.step) / 2 if units == "mm" else 0.00051 * 25.4
            assert told(dim.words, units) == pytest.approx(length(dim, sheet.scale), abs=slack + 1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_the_elevations_have_the_outside_sizes_of_layout_and_solids(name: str) -> None:
    proof = job(name).proof
    box, (low, high) = proof.box, ends_of(proof.finished)
    (sheet,) = drawings(name).kinds["views"]
    boards, whole = [*box.outside, box.recipe.height], [end - start for start, end in overall(box)]
    fitted = [mm for mm, board in zip(whole, boards, strict=True) if mm != board]
    assert bool(fitted) == (name == "feet")
    assert same(lengths(sheet), [*boards, *fitted])
    if name not in PROUD:
        assert [b - a for a, b in zip(low, high, strict=True)] == pytest.approx(whole, abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_the_sections_have_the_inside_sizes_thicknesses_and_the_groove(name: str) -> None:
    proof = job(name).proof
    box, groove = proof.box, proof.box.recipe.groove
    (x0, x1), (y0, y1) = box.inside
    meant = [x1 - x0, y1 - y0, x0, y0, box.outside[0] - x1, box.outside[1] - y1, box.recipe.height]
    if box.panel:
        meant += [groove.up, groove.width, groove.depth, box.recipe.height - groove.top]
    meant += [box.recipe.back_rise] if box.recipe.back_rise else []
    (sheet,) = drawings(name).kinds["sections"]
    assert same(lengths(sheet), meant)


@pytest.mark.parametrize("name", NAMES)
def test_every_different_board_is_drawn_once_with_the_sizes_of_layout_and_solid(name: str) -> None:
    proof = job(name).proof
    box, boards = proof.box, different_boards(proof)
    assert sorted(row.name for board in boards for row in board.rows) == sorted(row.name for row in boards_of(box))
    feet = [board for board in boards if board.rows[0].name.startswith("foot")]
    assert [len(board.rows) for board in feet] == ([4] if name == "feet" else [])
    assert len(boards) - len(feet) == len({part.shape for part in proof.cut if not part.name.startswith("foot")})
    meant = []
    for board in boards:
        side = board.rows[0].name
        meant += board.told_size
        assert sorted(board.size) == pytest.approx(sorted(board.rows[0].saw_to), abs=1e-6)
        assert board.told_size == pytest.approx(board.size, abs=1e-6)
        if side in SIDES:
            ends = shoulders(box, side)
            assert ends[-1][1] == pytest.approx(board.size[0], abs=1e-6)
            assert ends[1][1] - ends[1][0] == pytest.approx(box.boards[side].length)
            meant += [b - a for a, b in (*ends, *groove_heights(box, side))]
    assert same([mm for sheet in drawings(name).kinds["boards"] for mm in lengths(sheet)], meant)


def test_the_keepsake_box_by_hand() -> None:
    """240 x 160 x 80 mm outside; sides 10 thick, front and back 12; the groove 5 wide, 4 deep, 10 up. So it is inside
    220 x 136, and 80 - 10 - 5 = 65 above the bottom. Ends stand 0.5 proud: the front is sawn 240 + 1, and 10 + 0.5
    from its end to its shoulder; a side is sawn 160 + 1, and 12 + 0.5 to its shoulder. The bottom is
    220 + 2 (4 - 0.5) = 227 long and 5 mm thick; its width leaves room to move."""
    made = drawings("keepsake")
    assert same(lengths(made.sheet("views")), [240, 160, 80])
    assert same(lengths(made.sheet("sections")), [220, 136, 10, 10, 12, 12, 80, 65, 10, 5, 4])
    front, side = [241, 80, 12, 10.5, 220, 10.5, 10, 5], [161, 80, 10, 12.5, 136, 12.5, 10, 5]
    panel = job("keepsake").proof.box.panel
    assert panel is not None
    assert same(lengths(made.sheet("boards")), [*front, *side, 227, panel.size[1], 5])


def test_each_end_of_a_board_has_the_shoulder_of_its_own_corner() -> None:
    """The odd box has no two boards of one thickness: a tail board's shoulder is as far from its end as its mate is
    thick, less the lap at the front left, and as it stands proud; the solids have wood there."""
    proof = job("odd").proof
    box = proof.box
    front, back, lap, proud = 17, 11, 5, 0.4
    (_, at_back), _, (at_front, end) = shoulders(box, "left")
    assert at_back == pytest.approx(back + proud)
    assert end - at_front == pytest.approx(front - lap)
    left = next(part for part in proof.cut if part.name == "left")
    low, high = bounds(left.in_place)
    (_, y), (_, inside_back) = (low[1], high[1]), box.inside[1]
    assert box.inside[1][0] - low[1] == pytest.approx(front - lap)
    assert y - inside_back == pytest.approx(back + proud)


def test_hidden_edges_are_dashed_and_show_the_bottom_in_all_views() -> None:
    """At its place: from 10 to 15 mm up, at 1:2 in front and side view 5 to 7.5 mm above their lower edge."""
    (sheet,) = drawings("keepsake").kinds["views"]
    assert sheet.scale == 0.5
    (height,) = (dim for dim in dimensions(sheet) if dim.axis == "up")
    foot = height.start[1]
    level = [s for s in strokes(sheet.items, "hidden edges") if abs(s.points[0][1] - s.points[1][1]) < 1e-6]
    found = {round(s.points[0][1] - foot, 3) for s in level}
    assert {5.0, 7.5} <= found
    names = [label.text for label in labels(sheet.items)]
    assert {"front", "plan", "from the right"} <= set(names)
