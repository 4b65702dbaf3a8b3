"""Cauls too long for the bed: their parts, the keys between them, and what becomes of pads at a seam."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import pytest

from solids.aids.cauls.keys import inner_span
from solids.aids.making.aid import Aid
from solids.base.polygons import inset
from solids.model.kernel import bounds, common, moved, volume_of
from tests.aids.caul_helpers import faces_in, made
from tests.aids.helpers import PRINTING, faces_in_place, in_place
from tests.corners import layout_of


def joins(aids: dict[str, Aid]) -> Iterator[tuple[Aid, Aid]]:
    for kind in ("caul-tails", "caul-pins", "caul-plain"):
        parts = [aid for name, aid in aids.items() if name.startswith(f"{kind}-") and name[-1].isdigit()]
        yield from pairwise(parts)


@pytest.mark.usefixtures("unmarked")
@pytest.mark.parametrize(
    ("preset", "overrides", "bed", "parts"),
    [
        ("blanket-chest", (), (220, 220), 3),
        ("carcase", (), (220, 220), 2),
        ("blanket-chest", ("joint.tails=1",), (180, 220), 3),
        ("drawer-front", (), (90, 90), 2),
        ("carcase", (), (110, 100), 3),
    ],
)
def test_parts_fit_the_bed_and_their_keys_hold(
    preset: str, overrides: tuple[str, ...], bed: tuple[float, float], parts: int
) -> None:
    printing = replace(PRINTING, bed=bed)
    aids = made(preset, *overrides, printing=printing)
    pairs = list(joins(aids))
    assert len(pairs) == 2 * (parts - 1)
    for left, right in pairs:
        for aid in (left, right):
            (x1, _, _), (x2, _, _) = bounds(aid.solid)
            assert x2 - x1 <= max(bed) - 10.0 + 1e-9
        first, second = (in_place(aid) for aid in (left, right))
        assert not common(first, second)
        apart = sum(volume_of(piece) for piece in common(moved(first, (-0.7, 0, 0)), second))
        # Pulled apart by 0.5 mm and the clearance, the shoulders (2 x 1.8 mm, 12 mm high) go 0.5 mm into the cheeks.
        assert apart == pytest.approx(0.5 * 3.6 * 12.0, rel=0.1)


@pytest.mark.usefixtures("unmarked")
def test_no_seam_leaves_a_sliver_of_a_pad() -> None:
    layout = layout_of("blanket-chest", "joint.tails=1")
    aids = made("blanket-chest", "joint.tails=1")
    pads = [
        face
        for name in ("caul-tails-1", "caul-tails-2", "caul-tails-3")
        for face in faces_in(faces_in_place(aids[name]), 2, layout.as_cut.show_z, -1)
    ]
    assert len(pads) == 3, "the one long pad comes in three pieces"
    for pad in pads:
        left, right = inner_span([(x, y) for x, y, _ in pad[0]])
        assert right - left >= 4.0


@pytest.mark.usefixtures("unmarked")
def test_seams_lie_between_pads_where_there_is_room() -> None:
    layout, aids = layout_of("carcase"), made("carcase")
    pads = [
        face
        for number in (1, 2)
        for face in faces_in(faces_in_place(aids[f"caul-pins-{number}"]), 1, layout.as_cut.show_y, -1)
    ]
    assert len(pads) == 8
    widths = sorted(max(x for x, _, _ in pad[0]) - min(x for x, _, _ in pad[0]) for pad in pads)
    full = 5.0 - 2 * (0.3 + layout.recipe.tail_board.proud / layout.ratios[0])
    assert widths[:6] == pytest.approx([full] * 6), "no pad between the half pins is cut"


def test_the_foot_keeps_its_distance_at_inside_corners_too() -> None:
    ell = [(0.0, 0.0), (9.0, 0.0), (9.0, 4.0), (4.0, 4.0), (4.0, 9.0), (0.0, 9.0)]
    corners = [(round(x, 9), round(y, 9)) for x, y in inset(ell, 1.0)]
    assert corners == [(1, 1), (8, 1), (8, 3), (3, 3), (3, 8), (1, 8)]
