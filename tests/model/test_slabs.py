"""Cutting plane-faced solids into slabs: volumes by the divergence theorem, closed pieces, cuts that are refused.

The bodies are a box, combs with teeth along Y and along X, a wedge, a box with a pocket and a tube.
"""

from __future__ import annotations

import itertools
from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.model.slabs import CLEAR_OF_VERTICES, Face, NotSimpleError, slabs, usable_cuts

Outline = list[tuple[float, float]]


def prism(outline: Outline, z0: float, z1: float, holes: tuple[Outline, ...] = ()) -> list[Face]:
    """The faces of a counter-clockwise outline in XY pulled along Z, each seen from outside; holes go clockwise."""
    loops = (outline, *holes)
    bottom = [[(x, y, z0) for x, y in reversed(loop)] for loop in loops]
    top = [[(x, y, z1) for x, y in loop] for loop in loops]
    sides = [
        [[(*loop[i - 1], z0), (*loop[i], z0), (*loop[i], z1), (*loop[i - 1], z1)]]
        for loop in loops
        for i in range(len(loop))
    ]
    return [bottom, top, *sides]


def turned(faces: list[Face], order: tuple[int, int, int]) -> list[Face]:
    """The same body with its axes in another cyclic order, which keeps outside outside."""
    return [[[tuple(p[i] for i in order) for p in loop] for loop in face] for face in faces]  # type: ignore[misc]


def box(x: float, y: float, z: float) -> list[Face]:
    return prism([(0, 0), (x, 0), (x, y), (0, y)], 0, z)


def comb(teeth: int, root: float = 6, tip: float = 4, holes: tuple[Outline, ...] = ()) -> list[Face]:
    """A comb of 10 mm a tooth: a back of 5 mm, teeth 8 mm long and 3 mm thick, `root` wide at the back and `tip` at
    their ends. Tails are combs whose tips are wider than their roots."""
    outline: Outline = [(0, -5), (10 * teeth, -5), (10 * teeth, 0)]
    for x in reversed([10 * i + 5 for i in range(teeth)]):
        outline += [(x + root / 2, 0), (x + tip / 2, 8), (x - tip / 2, 8), (x - root / 2, 0)]
    return prism([*outline, (0, 0)], 0, 3, holes)


def comb_area(teeth: int) -> float:
    return 50 * teeth + teeth * 8 * (4 + 6) / 2


def clockwise(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return [(x0, y0), (x0, y1), (x1, y1), (x1, y0)]


TUBE = prism([(0, 0), (30, 0), (30, 20), (0, 20)], 0, 10, (clockwise(10, 7, 20, 13),))


def pocket() -> list[Face]:
    """A box of 30 x 20 x 10 mm with a pocket of 10 x 6 x 4 mm in its top."""
    shell, hole = box(30, 20, 10), clockwise(10, 7, 20, 13)
    walls = prism(hole, 6, 10)[2:]
    return [shell[0], [*shell[1], [(*p, 10) for p in hole]], *shell[2:], *walls, [[(*p, 6) for p in reversed(hole)]]]


# --- two predicates that cheating cannot satisfy ------------------------------------------------------


def volume(faces: list[Face]) -> float:
    """The divergence theorem: a sum of signed tetrahedra over a fan of each loop."""
    total = 0.0
    for loop in (loop for face in faces for loop in face):
        a = np.array(loop[0])
        for b, c in itertools.pairwise(loop[1:]):
            total += a @ np.cross(b, c) / 6
    return total


def is_closed(faces: list[Face]) -> bool:
    """Each edge is used once in each direction, none has no length, and there is something at all."""
    edges = Counter((loop[i - 1], loop[i]) for face in faces for loop in face for i in range(len(loop)))
    return bool(edges) and all(a != b and n == 1 and edges[(b, a)] == 1 for (a, b), n in edges.items())


BODIES = {
    "box": (box(40, 20, 10), 40 * 20 * 10, 40),
    "comb": (comb(4), comb_area(4) * 3, 40),
    "comb on its side": (turned(comb(1), (2, 0, 1)), comb_area(1) * 3, 3),
    "box with a pocket": (pocket(), 30 * 20 * 10 - 10 * 6 * 4, 30),
    "wedge that leans in Z": (turned(prism([(0, 0), (30, 0), (30, 10)], -2, 5), (1, 2, 0)), 30 * 10 / 2 * 7, 10),
    "wedge": (prism([(0, 0), (30, 0), (30, 10)], -2, 5), 30 * 10 / 2 * 7, 30),
}


@pytest.mark.parametrize("name", BODIES)
def test_the_bodies_are_closed_and_have_the_volume_of_their_formula(name: str) -> None:
    """What these tests measure with is itself measured."""
    faces, wanted, _ = BODIES[name]
    assert is_closed(faces)
    assert volume(faces) == pytest.approx(wanted)


def test_the_predicates_can_fail() -> None:
    faces = box(4, 2, 1)
    assert not is_closed(faces[1:])
    assert not is_closed([*faces[1:], [faces[0][0][::-1]]])
    assert not is_closed([])
    assert volume([[loop[::-1] for loop in face] for face in faces]) == pytest.approx(-8)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(sorted(BODIES)), st.lists(st.floats(0.05, 0.95), max_size=8, unique=True))
def test_slabs_are_closed_lie_between_their_cuts_and_sum_to_the_body(name: str, shares: list[float]) -> None:
    faces, wanted, width = BODIES[name]
    cuts = usable_cuts(faces, [share * width for share in shares])
    if any(b - a < 1e-3 for a, b in itertools.pairwise(cuts)):
        return
    pieces = slabs(faces, cuts)
    assert len(pieces) == len(cuts) + 1
    assert all(is_closed(piece) for piece in pieces)
    assert all(volume(piece) > 0 for piece in pieces)
    assert sum(volume(piece) for piece in pieces) == pytest.approx(wanted, rel=1e-12)
    for piece, low, high in zip(pieces, [0, *cuts], [*cuts, width], strict=True):
        xs = [point[0] for face in piece for loop in face for point in loop]
        assert (min(xs), max(xs)) == (low, high)


def test_each_slab_of_a_comb_has_the_volume_of_its_part() -> None:
    """Between two gaps lies one tooth: 10 x 5 mm of back and 8 x 5 mm of tooth, 3 mm thick."""
    pieces = slabs(comb(4), [10, 20, 30])
    assert [volume(piece) for piece in pieces] == pytest.approx([comb_area(1) * 3] * 4)


def test_a_cut_through_a_tooth_halves_it() -> None:
    left, right = slabs(comb(1), [5])
    assert volume(left) == pytest.approx(comb_area(1) * 3 / 2)
    assert volume(right) == pytest.approx(volume(left))


def test_a_cut_through_a_flank_leaves_the_triangle_that_the_slope_says() -> None:
    """Left of x = 2.5 the tooth is a triangle, 0.5 mm at its root and half of 8 mm high; the back is 2.5 x 5 mm."""
    left, _ = slabs(comb(1), [2.5])
    assert volume(left) == pytest.approx(3 * (2.5 * 5 + 0.5 * 4 / 2))


def test_no_cut_leaves_the_body_as_it_was() -> None:
    faces = box(4, 2, 1)
    assert slabs(faces, []) == [faces]


def test_cutting_leaves_its_input_alone() -> None:
    faces = comb(3)
    before = [[list(loop) for loop in face] for face in faces]
    slabs(faces, [5, 15])
    assert [[list(loop) for loop in face] for face in faces] == before


def test_a_cut_beside_a_pocket_keeps_the_pocket_whole() -> None:
    left, right = slabs(pocket(), [25])
    assert volume(left) == pytest.approx(25 * 20 * 10 - 240)
    assert is_closed(left)
    assert any(len(face) == 2 for face in left), "its top still has a hole"
    assert volume(right) == pytest.approx(5 * 20 * 10)


def test_tails_are_cut_through_their_middle_or_between_them() -> None:
    """Where nothing overhangs, a comb that widens outward is as plain as any other."""
    pieces = slabs(comb(3, root=4, tip=6), [5, 10, 15, 20, 25])
    assert [volume(piece) for piece in pieces] == pytest.approx([comb_area(1) * 3 / 2] * 6)


# --- cuts that are refused -----------------------------------------------------------------------------

FORK = (1, 2, 0)
"""Turns a comb so that its teeth lie along X."""

REFUSED = {
    "a fork whose tines lie along X is cut in two places": (turned(comb(2), FORK), 4.0),
    "a fork of three is cut in three": (turned(comb(3), FORK), 4.0),
    "a fork with a hole in one tine": (turned(comb(2, holes=(clockwise(4, 5, 6, 6),)), FORK), 4.0),
    "a tube is cut in two places": (TUBE, 15.0),
    "a tail that overhangs is cut beside its root": (comb(1, root=4, tip=6), 2.5),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_section_of_several_parts_is_refused_though_the_body_is_sound(name: str) -> None:
    faces, cut = REFUSED[name]
    assert is_closed(faces)
    assert volume(faces) > 0
    assert usable_cuts(faces, [cut]) == [cut]
    with pytest.raises(NotSimpleError):
        slabs(faces, [cut])


def test_a_hole_that_runs_the_wrong_way_round_is_refused() -> None:
    """Inside and outside would be confused: between its two edges lies no wood."""
    body = pocket()
    body[1] = [body[1][0], list(reversed(body[1][1]))]
    with pytest.raises(NotSimpleError):
        slabs(body, [15])


def test_a_face_that_lacks_its_neighbour_is_refused() -> None:
    """An open body has a section that does not close."""
    with pytest.raises(NotSimpleError):
        slabs(box(4, 2, 1)[1:], [2])


def test_a_tube_beside_its_hole_is_cut_like_any_other() -> None:
    left, right = slabs(TUBE, [5])
    assert is_closed(left)
    assert is_closed(right)
    assert (volume(left), volume(right)) == (pytest.approx(1000), pytest.approx(5000 - 600))


# --- cuts that can be used -----------------------------------------------------------------------------


def test_cuts_come_in_order_and_keep_clear_of_every_vertex() -> None:
    faces = comb(2)
    assert usable_cuts(faces, [15, 5, 13, 10.5]) == [5, 10.5, 15], "a vertex stands at 13"
    assert usable_cuts(iter(faces), iter([])) == []


@pytest.mark.parametrize("side", [-1, 1])
def test_a_cut_keeps_a_ten_thousandth_of_a_millimetre_from_a_vertex(side: int) -> None:
    assert CLEAR_OF_VERTICES == 1e-4
    faces = box(8, 2, 1)
    near, clear = 8 + side * 0.9e-4, 8 + side * 1.1e-4
    assert usable_cuts(faces, [near]) == []
    assert usable_cuts(faces, [clear]) == [clear]
    assert usable_cuts(faces, [0.9e-4 * side]) == []


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.01, 39.99), max_size=30))
def test_usable_cuts_are_those_that_a_look_at_every_vertex_allows(cuts: list[float]) -> None:
    faces = comb(4)
    xs = {point[0] for face in faces for loop in face for point in loop}
    assert usable_cuts(faces, cuts) == [c for c in sorted(cuts) if min(abs(x - c) for x in xs) > 1e-4]
