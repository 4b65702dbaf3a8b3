"""The way in and what holds: play by the formulas in every direction, and the least obstacle on the way found."""

from __future__ import annotations

import math
from dataclasses import replace

import manifold3d
import pytest

from solids.base import tolerances as tol
from solids.model.manifold import Body, body_of, moved, overlap_volume, swept_above
from solids.proof.joint.way_in import Entry, Hold, directions, entry, holds, unheld
from tests.fitted import FITTED, layout_of, meshes_of, proof_of

DIRECTIONS = directions(layout_of())
LEFT, RIGHT, OUT, IN, DOWN = DIRECTIONS


@pytest.fixture(params=FITTED)
def name(request: pytest.FixtureRequest) -> str:
    return request.param


def bodies(name: str) -> tuple[Body, Body]:
    tails, pins = meshes_of(*FITTED[name])
    return body_of(tails.points, tails.triangles), body_of(pins.points, pins.triangles)


def way(name: str) -> Body:
    mesh, _ = meshes_of(*FITTED[name])
    return swept_above(mesh.points, mesh.triangles, layout_of(*FITTED[name]).as_cut.pin_end)


def block(low: tuple[float, float, float], size: tuple[float, float, float]) -> Body:
    return manifold3d.Manifold.cube(size).translate(low)


def with_ridge(name: str, low: tuple[float, float, float], size: tuple[float, float, float]) -> Entry:
    """The way in beside a pin board that carries a ridge more."""
    return entry(layout_of(*FITTED[name]), way(name), bodies(name)[1] + block(low, size))


# --- what holds -------------------------------------------------------------------------------------------


def test_free_play_is_that_of_the_formulas(name: str) -> None:
    """g s in X, g sqrt(N^2 + 1) in -Y; nothing in +Y, where shoulders stand on the pin board, and in -Z."""
    layout = layout_of(*FITTED[name])
    g, n = max(layout.recipe.flank_gap, 0), layout.recipe.slope_ratio
    play = {hold.direction: hold.play for hold in proof_of(*FITTED[name]).holds}
    sideways = g * math.sqrt(1 + 1 / n**2)
    assert (play.pop(IN), play.pop(DOWN)) == (0, 0)
    assert play == pytest.approx({LEFT: sideways, RIGHT: sideways, OUT: g * math.sqrt(n**2 + 1)}, abs=1e-9)


def test_flanks_hold_sideways_and_outward_shoulders_and_laps_inward(name: str) -> None:
    layout = layout_of(*FITTED[name])
    by = {hold.direction: hold.by for hold in proof_of(*FITTED[name]).holds}
    inward = "the shoulders and the lap" if layout.recipe.kind == "half-blind" else "the shoulders"
    floors = "the socket floors"
    assert by == {LEFT: "the flanks", RIGHT: "the flanks", OUT: "the flanks", IN: inward, DOWN: floors}


def test_moved_boards_bear_out_what_the_faces_say(name: str) -> None:
    assert unheld(proof_of(*FITTED[name]).holds) == []


@pytest.mark.parametrize("direction", [LEFT, RIGHT, OUT])
@pytest.mark.parametrize("name", ["loose", "half-blind, loose", "steep", "chamfered, loose", "hollow, loose"])
def test_boards_moved_by_just_less_than_the_play_do_not_touch_and_by_just_more_do(name: str, direction: str) -> None:
    tails, pins = bodies(name)
    (play,) = (hold.play for hold in proof_of(*FITTED[name]).holds if hold.direction == direction)
    steps = [tuple(k * share * play for k in DIRECTIONS[direction]) for share in (0.999, 1.001)]
    before, after = (overlap_volume(moved(tails, step), pins) for step in steps)
    assert before == pytest.approx(0, abs=1e-6)
    assert after > 1e-3


def test_the_way_it_came_in_stays_open(name: str) -> None:
    tails, pins = bodies(name)
    seated = overlap_volume(tails, pins)
    for up in (0.01, 0.5, 4.0):
        assert overlap_volume(moved(tails, (0, 0, up)), pins) <= seated + 1e-6


def test_boards_without_contacts_are_held_by_nothing() -> None:
    """Two blocks apart: each direction is free, and the moved boards confirm it."""
    tails, pins = block((0, 0, 0), (1, 1, 1)), block((9, 9, 9), (1, 1, 1))
    found = holds(layout_of(), (), [(tails, pins)])
    assert [(hold.play, hold.by, hold.confirmed) for hold in found] == [(None, "nothing", True)] * len(DIRECTIONS)
    assert len(unheld(found)) == len(DIRECTIONS)


def test_boards_that_are_not_where_their_contacts_say_do_not_bear_them_out() -> None:
    """The contacts of a true joint with a tail board lifted off its pins: nothing stops it."""
    tails, pins = bodies("plain")
    found = holds(layout_of(), proof_of().contacts, [(moved(tails, (0, 0, 50)), pins)])
    assert [hold.confirmed for hold in found] == [False] * len(DIRECTIONS)


def test_a_contact_that_is_looser_than_the_solids_is_not_borne_out() -> None:
    """Faces say 0.1 mm of gap, the solids have none: moved almost as far, they overlap."""
    tails, pins = bodies("plain")
    found = holds(layout_of(*FITTED["loose"]), proof_of(*FITTED["loose"]).contacts, [(tails, pins)])
    assert {hold.direction for hold in unheld(found)} == {LEFT, RIGHT, OUT}


@pytest.mark.parametrize("name", ["tight", "tight, nothing proud", "chamfered, tight"])
def test_tight_flanks_that_open_on_a_move_are_not_taken_for_what_holds(name: str) -> None:
    """Sawn off at the baseline, the tails have no shoulders: pushed in, their flanks come free and nothing stops them.
    A step that were too short for the flanks to open would find them still tight."""
    tails, pins = bodies(name)
    assert layout_of(*FITTED[name]).recipe.flank_gap * layout_of(*FITTED[name]).flanks[0].ratio < -tol.MOVE_STEP
    found = holds(
        layout_of(*FITTED[name]), proof_of(*FITTED[name]).contacts, [(tails.trim_by_plane((0, 1, 0), 0.0), pins)]
    )
    assert {hold.direction for hold in unheld(found)} == {IN}


def test_unheld_are_those_without_hold_and_those_not_borne_out() -> None:
    good = Hold(LEFT, 0.0, "the flanks", True)
    assert unheld([good]) == []
    assert unheld([good, replace(good, play=None), replace(good, confirmed=False)]) == [
        replace(good, play=None),
        replace(good, confirmed=False),
    ]


# --- the way in --------------------------------------------------------------------------------------------


def test_a_true_joint_goes_in_against_its_tight_flanks_only(name: str) -> None:
    """2 n d |g| s times how far the pins stand above the tail board's show face."""
    layout = layout_of(*FITTED[name])
    r = layout.recipe
    tight = max(-r.flank_gap, 0) * math.sqrt(1 + 1 / r.slope_ratio**2)
    found = proof_of(*FITTED[name]).entry
    assert found.overlap == pytest.approx(2 * len(layout.tails) * layout.depth * tight * r.pin_board.proud, abs=1e-6)
    assert found.asked == pytest.approx(found.overlap, abs=1e-6)
    assert found.is_free
    assert found.pieces == ()


THIN = tol.MOVE_STEP
"""0.02 mm: nothing thinner than this may be missed, so nothing this thick either."""


@pytest.mark.parametrize("above", [0.0, 0.03, 0.2])
@pytest.mark.parametrize("name", ["plain", "half-blind", "chamfered, half-blind", "hollow", "listed, no symmetry"])
@pytest.mark.parametrize(
    "size", [(THIN, 1.0, 0.05), (0.5, THIN, 0.2), (0.5, 1.0, THIN)], ids=["across X", "along Y", "in height"]
)
def test_a_ridge_of_a_fiftieth_of_a_millimetre_on_the_way_is_found(name: str, size, above: float) -> None:
    """On the last tail's right flank, above its seat, reaching from the pin over the tail."""
    layout = layout_of(*FITTED[name])
    tail = layout.tails[-1]
    x = layout.tail_edges(tail, layout.depth / 2)[1] - size[0] - 0.1
    z = min(layout.as_cut.show_z + above, layout.as_cut.pin_end - size[2])
    found = with_ridge(name, (x, layout.depth / 2 - size[1] / 2, z), size)
    assert not found.is_free
    assert found.overlap == pytest.approx(math.prod(size), abs=1e-6)
    largest = found.pieces[0]
    assert largest.volume == pytest.approx(math.prod(size), abs=1e-6)
    assert (largest.low, largest.high) == pytest.approx((x, x + size[0]))


def test_a_ridge_over_the_whole_width_gives_one_piece_for_each_tail() -> None:
    layout = layout_of()
    found = with_ridge("plain", (0, 2, layout.as_cut.show_z), (layout.width, THIN, 0.1))
    large = [piece for piece in found.pieces if piece.volume > tol.ENTRY_OVERLAP]
    middles = sorted((piece.low + piece.high) / 2 for piece in large)
    assert middles == pytest.approx([tail.middle for tail in layout.tails])


def test_where_boards_only_touch_nothing_stands_in_the_way() -> None:
    """One ridge over tail 4 is one piece; films without volume along the flanks are none."""
    layout = layout_of()
    found = with_ridge("plain", (layout.tails[3].middle, 5, layout.as_cut.show_z), (0.5, 0.5, 0.1))
    assert [piece.volume for piece in found.pieces] == pytest.approx([0.5 * 0.5 * 0.1])


def test_a_ridge_beside_the_tails_is_not_in_their_way() -> None:
    """On a pin, between two tails, and behind the tails' ends over the lap."""
    layout = layout_of(*FITTED["half-blind"])
    x = (layout.tails[0].right + layout.tails[1].left) / 2
    z = layout.as_cut.show_z
    assert with_ridge("half-blind", (x - 0.5, 3, z), (1, 2, 0.2)).is_free
    assert with_ridge("half-blind", (layout.tails[0].middle, layout.depth, z), (1, 2, 0.2)).is_free


def test_what_lies_under_an_entry_chamfer_is_not_in_the_way() -> None:
    """The tail board comes from above: the hollow corner below its chamfer may hold a crumb. An overhang may not."""
    layout = layout_of(*FITTED["chamfered"])
    edge = layout.tail_edges(layout.tails[0], 3)[1]
    crumb, size = (edge - 0.2, 3, 0.0), (0.1, 1.0, 0.3)
    assert overlap_volume(block(crumb, size), bodies("chamfered")[0]) == 0
    assert with_ridge("chamfered", crumb, size).is_free
    assert not with_ridge("chamfered", (edge - 0.2, 3, layout.as_cut.show_z), size).is_free


def test_a_joint_that_cannot_be_entered_is_not_free_even_where_tight_flanks_are_asked_for() -> None:
    layout = layout_of(*FITTED["tight"])
    tail = layout.tails[1]
    found = with_ridge("tight", (tail.middle, 2, layout.as_cut.show_z), (0.5, 0.5, THIN))
    assert found.overlap == pytest.approx(found.asked + 0.5 * 0.5 * THIN, rel=1e-6)
    assert not found.is_free


def test_a_broken_body_is_not_free() -> None:
    layout, pins = layout_of(), bodies("plain")[1]
    mesh, _ = meshes_of()
    assert not entry(layout, body_of(mesh.points, mesh.triangles[1:]), pins).is_free
