"""The parts apart: each with its number of the cut list, each moved clear, and the list beside them."""

from __future__ import annotations

from itertools import combinations

import pytest

from solids.base.geometry import IDENTITY, Slab
from solids.layout.boards import boards_of
from solids.model.box import block
from solids.model.kernel import bounds, common, moved
from solids.model.parts import Part
from solids.write.drafting.sheet import Label
from solids.write.drafting.whole.looks import Look, ends_of, face_look
from solids.write.drafting.whole.numbers import ROUND, numbers_of
from solids.write.drafting.whole.pictures import ways_apart
from tests.write.drafting.flat import labels, strokes
from tests.write.drafting.whole.cases import NAMES, drawings, job


def balloons(name: str) -> list[int]:
    """The numbers in circles: those with a ring about them."""
    (sheet,) = drawings(name).kinds["assembly"]
    rings = [s for s in strokes(sheet.items, "dimensions") if len(s.points) > 30]
    middles = [tuple(sum(values) / 36 for values in zip(*ring.points[:-1], strict=True)) for ring in rings]
    found = []
    for label in labels(sheet.items):
        at = (label.at[0], label.at[1] + label.height / 2)
        if any(abs(at[0] - x) < 0.01 and abs(at[1] - y) < 0.01 for x, y in middles):
            found.append(int(label.text))
    return sorted(found)


@pytest.mark.parametrize("name", NAMES)
def test_every_row_of_the_cut_list_has_its_number_once_and_its_line_in_the_list(name: str) -> None:
    rows = boards_of(job(name).proof.box)
    assert balloons(name) == list(range(1, len(rows) + 1))
    (sheet,) = drawings(name).kinds["assembly"]
    places = {label.text: label for label in labels(sheet.items) if isinstance(label, Label)}
    for number, row in enumerate(rows, start=1):
        named = places[row.name.capitalize()]
        beside = [label.text for label in labels(sheet.items) if abs(label.at[1] - named.at[1]) < 1.0]
        assert str(number) in beside
        assert row.stock in beside
    assert numbers_of(job(name).proof.box) == {row.name: number for number, row in enumerate(rows, start=1)}


@pytest.mark.parametrize("name", ["keepsake", "drawer", "odd", "plugged"])
def test_apart_no_two_parts_touch(name: str) -> None:
    proof = job(name).proof
    ways = ways_apart(proof)
    solids = [moved(part.in_place, ways[part.name]) for part in proof.finished if not part.name.startswith("plug")]
    assert all(common(one, other) == [] for one, other in combinations(solids, 2))
    assert {name for name, way in ways.items() if way[2] < 0} >= ({"bottom"} if proof.box.panel else set())


@pytest.mark.whole
def test_numbers_do_not_lie_on_each_other() -> None:
    for name in NAMES:
        (sheet,) = drawings(name).kinds["assembly"]
        rings = [s for s in strokes(sheet.items, "dimensions") if len(s.points) > 30]
        middles = [(ring.points[0][0] - ROUND, ring.points[0][1]) for ring in rings]
        for (ax, ay), (bx, by) in combinations(middles, 2):
            assert (ax - bx) ** 2 + (ay - by) ** 2 > (2 * ROUND) ** 2


def slab(name: str, x: tuple[float, float], y: tuple[float, float], z: tuple[float, float]) -> Part:
    wood = job("keepsake").proof.finished[0].wood
    return Part(name, name, block(Slab(x, y, z)), wood, IDENTITY)


@pytest.mark.parametrize(
    ("part", "toward_eye"),
    [
        (slab("lid", (0.0, 240.0), (0.0, 160.0), (80.0, 88.0)), (0.0, 0.0, 1.0)),
        (slab("divider", (100.0, 106.0), (12.0, 148.0), (15.0, 60.0)), (-1.0, 0.0, 0.0)),
        (slab("middle divider", (117.0, 123.0), (12.0, 148.0), (15.0, 60.0)), (1.0, 0.0, 0.0)),
        (slab("long divider", (10.0, 230.0), (77.0, 83.0), (15.0, 60.0)), (0.0, -1.0, 0.0)),
        (slab("applied front", (-5.0, 245.0), (-18.0, 0.0), (0.0, 90.0)), (0.0, -1.0, 0.0)),
        (slab("back rail", (0.0, 240.0), (150.0, 160.0), (0.0, 60.0)), (0.0, 1.0, 0.0)),
    ],
    ids=lambda value: value.name if isinstance(value, Part) else "",
)
def test_any_part_is_looked_at_on_its_face_from_outside(part: Part, toward_eye: tuple[float, float, float]) -> None:
    """A lid from above; what stands inside from the side that it is nearer to; what stands in the middle from the front
    or from the right."""
    piece = ends_of(job("keepsake").proof.finished)
    look = face_look(bounds(part.in_place), piece)
    assert look.toward_eye == pytest.approx(toward_eye)
    assert look.up == pytest.approx((0.0, 1.0, 0.0) if toward_eye[2] else (0.0, 0.0, 1.0))


def test_third_angle_puts_the_plan_above_the_front_and_the_right_side_on_the_right() -> None:
    """Looking at the front along +Y: the plan has Y upward, the view from the right has Y to the right."""
    front = Look((0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
    assert front.flat((1.0, 2.0, 3.0)) == (1.0, 3.0)
    assert front.from_above.flat((1.0, 2.0, 3.0)) == (1.0, 2.0)
    assert front.from_right.flat((1.0, 2.0, 3.0)) == (2.0, 3.0)
