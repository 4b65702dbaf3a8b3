"""The proof finds what is wrong with a corner, names it by the right check, and passes what is true to its recipe.

Faults are planted in the geometry itself: the check is given solids that are not what their layout says.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial
from unittest.mock import patch

import pytest

from solids.base.errors import KernelError
from solids.base.findings import Finding
from solids.base.geometry import Point
from solids.layout import Layout
from solids.model.boards import pin_board_faces, tail_board_faces
from solids.model.corner import Corner, make_corner
from solids.model.kernel import Face, solid_from_faces
from solids.model.manifold import Body
from solids.model.slabs import slabs
from solids.proof.joint import corner
from solids.proof.joint.contacts import contacts
from solids.proof.joint.corner import Overlap, Proof, prove
from solids.proof.joint.way_in import holds
from tests.fitted import FITTED, faces_as_cut, layout_of
from tests.recipes import MINIMAL, laid_out

plan = partial(laid_out, text=MINIMAL)


def proof_of(layout: Layout) -> Proof:
    return prove(make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished))


def codes(proof: Proof, severity: str = "fail") -> set[str]:
    return {finding.code for finding in proof.findings if finding.severity == severity}


def found(proof: Proof, code: str) -> Finding:
    return next(finding for finding in proof.findings if finding.code == code)


# --- joints true to their recipe -------------------------------------------------------------------


@pytest.mark.parametrize("tails", [1, 2, 5, 9])
@pytest.mark.parametrize("kind", ["through", "half-blind"])
@pytest.mark.parametrize("gap", [0, 0.0005, 0.001, 0.1])
def test_a_joint_true_to_its_recipe_passes(tails: int, kind: str, gap: float) -> None:
    layout = plan(
        f"joint.tails={tails}", f"joint.width={30 * tails + 10}", f"joint.kind={kind}", f"fit.flank_gap={gap}"
    )
    proof = proof_of(layout)
    assert proof.passes
    assert codes(proof) == set()
    assert proof.overlap.places == ()
    assert max(map(abs, proof.overlap.by_name.values())) < 1e-9


@pytest.mark.parametrize("tails", [1, 3, 4, 5, 13])
@pytest.mark.parametrize("gap", [-0.0005, -0.001, -0.02, -0.05])
def test_a_tight_joint_overlaps_by_the_closed_form_three_ways(tails: int, gap: float) -> None:
    """2 n t_t d |g| sqrt(1 + 1/N^2), by arithmetic, by Open CASCADE and by Manifold."""
    layout = plan(f"joint.tails={tails}", f"joint.width={30 * tails + 10}", f"fit.flank_gap={gap}")
    proof = proof_of(layout)
    recipe = layout.recipe
    exact = 2 * tails * recipe.tail_board.thickness * layout.depth * -gap * math.sqrt(1 + 1 / recipe.slope_ratio**2)
    for value in proof.overlap.by_name.values():
        assert value == pytest.approx(exact, rel=1e-7, abs=1e-6)
    assert proof.passes
    assert codes(proof, "warning") == {"overlap"}
    flanks = {f"tail {i + 1}, {side} flank" for i in range(tails) for side in ("left", "right")}
    assert {place.place for place in proof.overlap.places} == flanks


@pytest.mark.parametrize(
    ("woods", "limit"),
    [
        (("beech", "maple"), 0.05),
        (("beech", "spruce"), 0.10),
        (("spruce", "beech"), 0.10),
        (("basswood", "beech"), 0.10),
        (("longleaf pine", "beech"), 0.05),
    ],
)
def test_wood_forgives_so_much_and_no_more(woods: tuple[str, str], limit: float) -> None:
    """0.05 mm a flank for two hard woods, 0.10 mm where one is soft (common practice). Basswood, of a broad-leaved
    tree, is soft, and longleaf pine is not: they give across the grain at 370 and 960 psi (Wood Handbook, FPL-GTR-282,
    Table 5-3b)."""
    for gap, passes in ((-limit, True), (-limit - 0.001, False)):
        layout = plan(f"tail_board.wood={woods[0]}", f"pin_board.wood={woods[1]}", f"fit.flank_gap={gap}")
        proof = proof_of(layout)
        assert proof.passes == passes
        overlap = found(proof, "overlap")
        assert overlap.severity == ("warning" if passes else "fail")
        assert (overlap.measured, overlap.limit) == (pytest.approx(-gap), limit)
        assert passes or f"-{limit:g} mm or looser" in overlap.advice


def test_a_loose_joint_says_how_far_it_plays() -> None:
    layout = plan("fit.flank_gap=0.1", "joint.slope=1:7")
    assert f"{0.1 * math.sqrt(50):.2f} mm" in found(proof_of(layout), "overlap").said


# --- planted faults ------------------------------------------------------------------------------


def moved(faces: list[Face], change: dict[Point, Point]) -> list[Face]:
    return [[[change.get(point, point) for point in loop] for loop in face] for face in faces]


def faulty(layout: Layout, *, tails: list[Face] | None = None, pins: list[Face] | None = None) -> Proof:
    cut = make_corner(layout, layout.as_cut)
    cut = Corner(
        layout,
        cut.state,
        solid_from_faces(tails) if tails else cut.tail_board,
        solid_from_faces(pins) if pins else cut.pin_board,
    )
    return prove(cut, make_corner(layout, layout.as_finished))


def shift_x(points: set[Point], by: float) -> dict[Point, Point]:
    return {(x, y, z): (x + by, y, z) for x, y, z in points}


def points_of(faces: list[Face]) -> set[Point]:
    return {point for face in faces for loop in face for point in loop}


def flank(layout: Layout, faces: list[Face], number: int, side: int) -> set[Point]:
    """The points of one socket flank of the pin board."""
    edges = [layout.socket_edges(layout.tails[number], y)[side] for y in (0.0, layout.depth)]
    return {p for p in points_of(faces) if p[2] >= 0 and any(abs(p[0] - x) < 1e-9 for x in edges)}


SIX = ("joint.tails=6", "joint.width=170")


@pytest.mark.parametrize("by", [0.05, 0.001])
@pytest.mark.parametrize("tight", ["fit.flank_gap=0", "fit.flank_gap=-0.02"])
def test_a_pin_too_wide_is_found_at_its_place(by: float, tight: str) -> None:
    layout = plan(*SIX, tight)
    faces = pin_board_faces(layout, layout.as_cut)
    proof = faulty(layout, pins=moved(faces, shift_x(flank(layout, faces, 3, 0), by)))
    assert {"opinions", "wrong-volume"} <= codes(proof)
    assert "closed form and Open CASCADE differ" in found(proof, "opinions").said
    assert "Open CASCADE and Manifold differ" not in found(proof, "opinions").said
    assert found(proof, "wrong-volume").place == "pin board, as cut"
    assert max(proof.overlap.places, key=lambda place: place.volume).place == "tail 4, left flank"


def test_a_pin_too_thin_changes_the_volume() -> None:
    layout = plan(*SIX)
    faces = pin_board_faces(layout, layout.as_cut)
    proof = faulty(layout, pins=moved(faces, shift_x(flank(layout, faces, 2, 1), 0.001)))
    assert codes(proof) == {"wrong-volume", "contact"}


@pytest.mark.parametrize("by", [0.1, 0.001, -0.001])
def test_a_tail_shifted_whole_is_found_though_its_volume_is_right(by: float) -> None:
    layout = plan(*SIX)
    faces = tail_board_faces(layout, layout.as_cut)
    tail = layout.tails[1]
    own = {p for p in points_of(faces) if tail.left - 1 < p[0] < tail.right + 1 and p[1] >= 0}
    assert len(own) == 8
    proof = faulty(layout, tails=moved(faces, shift_x(own, by)))
    assert codes(proof) == {"opinions", "overlap", "contact", "entry"}
    side = "right" if by > 0 else "left"
    assert {place.place for place in proof.overlap.places} == {f"tail 2, {side} flank"}


def test_a_mirrored_board_is_found() -> None:
    layout = plan("joint.spacing=[14, 25, 18]", "joint.pin=4")
    faces = tail_board_faces(layout, layout.as_cut)
    mirrored = [[[(layout.width - x, y, z) for x, y, z in loop][::-1] for loop in face] for face in faces]
    assert {"opinions", "overlap", "contact", "entry"} <= codes(faulty(layout, tails=mirrored))


def test_an_unfilled_hole_is_found() -> None:
    """A square hole right through the tail board, clear of the joint."""
    layout = plan(*SIX)
    faces = tail_board_faces(layout, layout.as_cut)
    top = layout.as_cut.show_z
    ring = [(20.0, -40.0), (24.0, -40.0), (24.0, -36.0), (20.0, -36.0)]
    low, high = [(x, y, 0.0) for x, y in ring], [(x, y, top) for x, y in ring]
    faces[0], faces[1] = [faces[0][0], low], [faces[1][0], high[::-1]]
    for i in range(4):
        j = (i + 1) % 4
        faces.append([[low[j], low[i], high[i], high[j]]])
    proof = faulty(layout, tails=faces)
    assert codes(proof) == {"wrong-faces", "wrong-volume"}
    assert found(proof, "wrong-faces").place == "tail board, as cut"


def test_an_inner_shell_is_found() -> None:
    """A void inside the board: closed and valid by itself, but not one shell."""
    layout = plan(*SIX)
    faces = tail_board_faces(layout, layout.as_cut)
    ring = [(20.0, -40.0), (24.0, -40.0), (24.0, -36.0), (20.0, -36.0)]
    low, high = [(x, y, 2.0) for x, y in ring], [(x, y, 4.0) for x, y in ring]
    void = [[low], [high[::-1]], *([[low[j], low[i], high[i], high[j]]] for i, j in ((0, 1), (1, 2), (2, 3), (3, 0)))]
    assert {"wrong-volume", "wrong-faces"} <= codes(faulty(layout, tails=faces + void))


def test_a_wrong_finished_board_is_found_too() -> None:
    layout = plan(*SIX)
    cut = make_corner(layout, layout.as_cut)
    proof = prove(cut, replace(cut, state=layout.as_finished))
    assert codes(proof) == {"wrong-volume"}
    assert found(proof, "wrong-volume").place == "tail board, finished"


def test_an_invalid_solid_is_found() -> None:
    layout = plan(*SIX)
    with patch.object(corner, "are_valid", return_value=[False] * 4):
        assert codes(proof_of(layout)) == {"not-valid"}


def test_an_open_shell_cannot_be_built() -> None:
    layout = plan(*SIX)
    with pytest.raises(KernelError):
        solid_from_faces(tail_board_faces(layout, layout.as_cut)[1:])


# --- opinions that differ ------------------------------------------------------------------------


def overlap(closed: float, kernel: float, second: float) -> Overlap:
    return Overlap(closed, kernel, second, ())


def test_agreement_is_within_a_millionth_or_a_ten_millionth() -> None:
    assert overlap(0, 9e-7, 0).disagreements == ()
    assert overlap(100, 100 + 9e-6, 100).disagreements == ()
    assert len(overlap(0, 2e-6, 0).disagreements) == 2
    assert overlap(100, 100, 100.0001).disagreements == (("closed form", "Manifold"), ("Open CASCADE", "Manifold"))


def test_an_opinion_that_gives_no_answer_agrees_with_nobody() -> None:
    assert overlap(0, 0, math.nan).disagreements == (("closed form", "Manifold"), ("Open CASCADE", "Manifold"))


@pytest.mark.parametrize(("route", "named"), [("overlap_volume", "Manifold"), ("common", "Open CASCADE")])
def test_one_wrong_kernel_fails_the_proof_and_is_named(route: str, named: str) -> None:
    """A boolean that comes out empty without an error, by either kernel."""
    layout = plan("fit.flank_gap=-0.02")
    with patch.object(corner, route, return_value=0.0 if route == "overlap_volume" else []):
        proof = proof_of(layout)
    assert "opinions" in codes(proof)
    sentence = found(proof, "opinions").said
    pairs = sentence.partition(": ")[2].partition(" (")[0].split("; ")
    assert len(pairs) == 2
    assert all(named in pair for pair in pairs)


def slabs_of(layout: Layout, *, every: int) -> list[corner.FacePair]:
    return corner._slabs(faces_as_cut(layout), corner._middles_of_pins(layout)[every - 1 :: every])


def test_slabs_give_what_the_whole_boards_give() -> None:
    layout = plan("joint.tails=9", "joint.width=260", "fit.flank_gap=-0.03")
    assert len(slabs_of(layout, every=corner.TAILS_PER_SLAB)) == 3
    sliced = proof_of(layout).overlap
    with patch.object(corner, "TAILS_PER_SLAB", 100):
        whole = proof_of(layout).overlap
    assert sliced.kernel == pytest.approx(whole.kernel, rel=1e-9)


def test_slabs_that_lose_something_are_not_used() -> None:
    layout = plan("joint.tails=9", "joint.width=260")
    with patch.object(corner, "slabs", side_effect=lambda faces, cuts: slabs(faces, cuts)[:-1]):
        assert slabs_of(layout, every=4) == [faces_as_cut(layout)]


def test_one_tail_first_says_what_the_whole_boards_say() -> None:
    """In every kind of joint."""
    for name, overrides in FITTED.items():
        layout = layout_of(*overrides)
        both = faces_as_cut(layout)
        whole = corner._bodies(both)
        measured = contacts(layout, *both)
        first = corner._bodies(slabs_of(layout, every=1)[0])
        assert holds(layout, measured, [first, whole]) == holds(layout, measured, [whole]), name


def test_where_one_tail_is_free_the_whole_board_decides() -> None:
    """A slab whose pins are missing does not hold; the boards do."""
    layout = plan()
    both = faces_as_cut(layout)
    whole = corner._bodies(both)
    nothing = (whole[0], Body())
    assert all(hold.confirmed for hold in holds(layout, contacts(layout, *both), [nothing, whole]))
    assert not any(hold.confirmed for hold in holds(layout, contacts(layout, *both), [nothing]))
