"""Aids laid out on printers' beds: each once, apart, and all of it on the bed."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.aids.making.plates import BETWEEN, MARGIN, Footprint, Plate, Spot, lay_out_plates

SLACK = 1e-9

sizes = st.integers(1, 2600).map(lambda tenths: tenths / 10)
beds = st.tuples(st.integers(10, 400), st.integers(10, 400)).map(lambda bed: (float(bed[0]), float(bed[1])))


def footprints(pairs: list[tuple[float, float]]) -> list[Footprint]:
    return [Footprint(f"aid-{number}", *pair) for number, pair in enumerate(pairs)]


def lying(spot: Spot, items: list[Footprint]) -> tuple[float, float, float, float]:
    """The box that a spot takes: low X, low Y, high X, high Y."""
    (item,) = (item for item in items if item.name == spot.name)
    width, depth = (item.depth, item.width) if spot.turned else (item.width, item.depth)
    return spot.x, spot.y, spot.x + width, spot.y + depth


def check(plates: tuple[Plate, ...], items: list[Footprint], bed: tuple[float, float]) -> None:
    for plate in plates:
        boxes = [lying(spot, items) for spot in plate]
        for x1, y1, x2, y2 in boxes:
            assert min(x1, y1) >= MARGIN - SLACK
            assert x2 <= bed[0] - MARGIN + SLACK
            assert y2 <= bed[1] - MARGIN + SLACK
        for a, b in combinations(boxes, 2):
            apart = max(b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3])
            assert apart >= BETWEEN - SLACK, "so much lies between any two, in X or in Y"


def fits(item: Footprint, bed: tuple[float, float]) -> bool:
    x, y = bed[0] - 2 * MARGIN, bed[1] - 2 * MARGIN
    return (item.width <= x and item.depth <= y) or (item.depth <= x and item.width <= y)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.tuples(sizes, sizes), max_size=25), beds)
def test_every_aid_that_fits_stands_on_one_plate_once_and_apart(
    pairs: list[tuple[float, float]], bed: tuple[float, float]
) -> None:
    items = footprints(pairs)
    plates = lay_out_plates(items, bed)
    check(plates, items, bed)
    placed = [spot.name for plate in plates for spot in plate]
    assert sorted(placed) == sorted(item.name for item in items if fits(item, bed))
    assert all(plates), "no plate is empty"


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(sizes, sizes), min_size=2, max_size=12), st.randoms(use_true_random=False))
def test_the_order_in_which_aids_come_changes_nothing(pairs: list[tuple[float, float]], chance: object) -> None:
    items = footprints(pairs)
    mixed = list(items)
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    assert lay_out_plates(mixed, (220.0, 220.0)) == lay_out_plates(items, (220.0, 220.0))


def test_nothing_to_print_needs_no_plate() -> None:
    assert lay_out_plates([], (220.0, 220.0)) == ()


def test_what_does_not_fit_one_plate_goes_on_more() -> None:
    items = footprints([(100.0, 100.0)] * 7)
    plates = lay_out_plates(items, (220.0, 220.0))
    check(plates, items, (220.0, 220.0))
    assert [len(plate) for plate in plates] == [4, 3]


def test_two_aids_that_miss_by_a_hair_go_on_two_plates() -> None:
    room = 220.0 - 2 * MARGIN
    half = (room - BETWEEN) / 2
    for pair, plates in (((half, half), 1), ((half, half + 0.01), 2)):
        for items in (footprints([(room, side) for side in pair]), footprints([(side, room) for side in pair])):
            assert len(lay_out_plates(items, (220.0, 220.0))) == plates


def test_small_aids_fill_up_beside_large_ones() -> None:
    items = footprints([(200.0, 150.0), (100.0, 30.0), (20.0, 20.0), (20.0, 20.0)])
    (plate,) = lay_out_plates(items, (220.0, 220.0))
    assert {spot.name for spot in plate} == {item.name for item in items}


@pytest.mark.parametrize(
    ("size", "bed", "turned"),
    [
        ((100.0, 20.0), (220.0, 220.0), False),
        ((20.0, 100.0), (220.0, 220.0), True),
        ((20.0, 100.0), (60.0, 220.0), False),
        ((100.0, 20.0), (60.0, 220.0), True),
        ((30.0, 30.0), (40.0, 40.0), False),
    ],
)
def test_an_aid_lies_with_its_longer_side_along_x_where_that_fits(
    size: tuple[float, float], bed: tuple[float, float], turned: bool
) -> None:
    ((spot,),) = lay_out_plates(footprints([size]), bed)
    assert spot == Spot("aid-0", MARGIN, MARGIN, turned)


@pytest.mark.parametrize("size", [(210.1, 10.0), (10.0, 210.1), (211.0, 211.0)])
def test_what_is_too_large_for_the_bed_is_left_out(size: tuple[float, float]) -> None:
    items = footprints([size, (50.0, 50.0)])
    ((spot,),) = lay_out_plates(items, (220.0, 220.0))
    assert spot.name == "aid-1"


def test_a_bed_that_is_all_margin_holds_nothing() -> None:
    assert lay_out_plates(footprints([(1.0, 1.0)]), (10.0, 10.0)) == ()
