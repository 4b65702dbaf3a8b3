"""Which parts that no joint holds are alike, against their own corners, for every preset and case."""

from __future__ import annotations

import pytest

from solids.base.geometry import Frame, cross
from solids.layout.box.alike import fitted_alike
from solids.layout.box.fitted.bodies import Body
from solids.layout.box.fitted.every import fitting_of
from solids.recipe.text.texts import box_preset_names
from tests.boxes import CASES, box_of

EVERY = {
    **{name: (name,) for name in box_preset_names()},
    **CASES,
    "slips": ("desk-drawer", "box.panel.held=slips"),
    "crossed": (
        "keepsake-box",
        'box.divider=[{runs="across", at=60}, {runs="along", at=50}, {runs="across", at=120}, {runs="along", at=80}]',
    ),
}

PLAIN = ("box.panel.edge=plain", "box.panel.thickness=6", "box.panel.wood=walnut", "box.panel.grain=length")
STILL_AIR = ("climate.shop=20 C, 50 %", "climate.home={dry='20 C, 50 %', damp='20 C, 50 %'}")


def corners(bodies: tuple[Body, ...], by: Frame) -> list[list[list[float]]]:
    moved = [body.moved(by) for body in bodies]
    return sorted(sorted([round(value, 5) + 0.0 for value in p] for p in (*b.start, *b.end)) for b in moved)


@pytest.mark.parametrize("name", EVERY)
def test_a_part_is_the_first_that_is_alike_after_its_motion_and_no_mirror_image(name: str) -> None:
    box = box_of(*EVERY[name])
    parts = {part.name: part for part in fitting_of(box).parts}
    still = Frame.of((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, 0.0))
    for part in parts.values():
        shape, by = fitted_alike(box)[part.name]
        x, y, z = by.axes
        assert cross(x, y) == pytest.approx(z)
        assert parts[shape].wood == part.wood
        assert corners(parts[shape].bodies, by) == corners(part.bodies, still)
        assert corners(parts[shape].cuts, by) == corners(part.cuts, still)


def test_mirror_images_are_two_parts() -> None:
    """The left and the right slip have their grooves toward each other and their notches to the back."""
    found = fitted_alike(box_of(*EVERY["slips"]))
    assert (found["left slip"][0], found["right slip"][0]) == ("left slip", "right slip")


def test_what_is_crossed_in_the_same_places_is_alike_though_it_be_turned_round() -> None:
    """Those that run across cross the others 50 and 80 from the front."""
    found = fitted_alike(box_of(*EVERY["crossed"]))
    shapes = [found[f"divider {number}"][0] for number in (1, 2, 3, 4)]
    assert shapes == ["divider 1", "divider 2", "divider 1", "divider 2"]


def test_the_way_of_the_grain_tells_square_panels_apart() -> None:
    """In a square box, in air that stays the same, the top and the bottom are of one size whichever way their grain
    runs."""
    shapes = {}
    for grain in ("length", "width"):
        asked = ("box.width=260", "box.lid.panel.grain=" + grain, *PLAIN, *STILL_AIR)
        box = box_of("tea-chest", *asked)
        sizes = {part.name: part.extent.size for part in fitting_of(box).parts}
        assert sizes["top"] == pytest.approx(sizes["bottom"])
        shapes[grain] = fitted_alike(box)["top"][0]
    assert shapes == {"length": "bottom", "width": "top"}
