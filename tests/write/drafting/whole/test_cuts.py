"""Sections: the wood that is cut has the area that a pencil finds, hatched part by part."""

from __future__ import annotations

from itertools import pairwise

import pytest
from shapely.geometry import Polygon

from solids.base.polygons import area_of
from solids.layout.box.model import BoxLayout
from solids.model.kernel import volume_of
from solids.model.sections import cut_open
from solids.write.drafting.sheet import Stroke
from solids.write.drafting.whole.cuts import Section, sections_of
from solids.write.drafting.whole.planes import planes_of
from tests.write.drafting.whole.cases import NAMES, drawings, job


def sections(name: str) -> tuple[Section, Section]:
    proof = job(name).proof
    return sections_of(proof, planes_of(proof.box, proof.finished))


def areas(section: Section) -> dict[str, float]:
    """The area of the wood that is cut, by part (mm2)."""
    return {
        part.part.name: sum(abs(area_of(loop)) for loop in loops)
        for part, loops in zip(section.cut, section.outlines, strict=True)
    }


def board_area(box: BoxLayout, side: str) -> float:
    """Of a board cut across: thickness times width, less the groove."""
    board = box.boards[side]  # type: ignore[index]
    groove = box.recipe.groove
    taken = groove.width * groove.depth if box.is_grooved(side) else 0.0  # type: ignore[arg-type]
    return (board.board.thickness - box.planing) * board.width - taken


@pytest.mark.parametrize("name", NAMES)
def test_the_wood_that_is_cut_has_the_area_of_the_layout(name: str) -> None:
    box = job(name).proof.box
    along, across = sections(name)
    for section, sides, axis in ((along, ("left", "right"), 0), (across, ("front", "back"), 1)):
        meant = {side: board_area(box, side) for side in sides}
        if box.panel:
            meant["bottom"] = box.panel.size[axis] * box.panel.size[2]
        assert areas(section) == pytest.approx(meant, rel=1e-9)


def test_the_keepsake_box_by_hand() -> None:
    """Across: front and back 12 x 80 mm less a groove of 5 x 4; along: the sides 10 x 80 less the same, and the bottom
    227 x 5."""
    along, across = sections("keepsake")
    assert areas(along) == pytest.approx({"left": 780.0, "right": 780.0, "bottom": 1135.0})
    assert {side: areas(across)[side] for side in ("front", "back")} == pytest.approx({"front": 940.0, "back": 940.0})


def test_the_hatching_lies_in_the_wood_that_is_cut_and_nowhere_else() -> None:
    (sheet,) = drawings("odd").kinds["sections"]
    outlines = [Polygon(item.points).buffer(1e-6) for item in sheet.items if isinstance(item, Stroke) and item.closed]
    lines = [item for item in sheet.items if isinstance(item, Stroke) and item.layer == "hatching"]
    assert len(lines) > 100
    for line in lines:
        middle = tuple(sum(values) / 2 for values in zip(*line.points, strict=True))
        assert any(outline.intersects(Polygon([middle] * 3).centroid) for outline in outlines)


def test_neighbours_are_hatched_in_different_directions() -> None:
    (sheet,) = drawings("keepsake").kinds["sections"]
    slopes = set()
    for item in sheet.items:
        if isinstance(item, Stroke) and item.layer == "hatching":
            for (x1, y1), (x2, y2) in pairwise(item.points):
                slopes.add(round((y2 - y1) / (x2 - x1), 3))
    assert slopes == {1.0, -1.0}, "the boards apart from each other, the bottom across them"


@pytest.mark.parametrize(("axis", "toward_eye"), [(0, 1), (0, -1), (1, 1), (1, -1), (2, 1), (2, -1)])
def test_both_halves_are_the_whole_and_each_part_is_in_them(axis: int, toward_eye: int) -> None:
    """No part stands at the place of the cut: what one half lacks, the other has."""
    parts = job("odd").proof.finished
    at = (91.0, 77.0, 50.0)[axis]
    halves = [cut_open(parts, axis, at, way) for way in (toward_eye, -toward_eye)]
    for part, one, other in zip(parts, *halves, strict=True):
        volumes = [sum(volume_of(solid) for solid in half.solids) for half in (one, other)]
        assert sum(volumes) == pytest.approx(volume_of(part.solid), rel=1e-9)
        assert bool(one.outlines) == bool(other.outlines) == (min(volumes) > 0)
