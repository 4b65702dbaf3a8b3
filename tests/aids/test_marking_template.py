"""The marking template against the recipe's numbers: its leaning edges are the flanks, its hook is square."""

from __future__ import annotations

import math
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.aids.making.aid import Aid
from solids.aids.making.modelling import FOOT
from solids.aids.marking.sizes import HOOK_DEEPEST, NARROWEST, PAST, PLATE
from solids.aids.marking.template import marking_templates
from solids.aids.proof import prove_aid
from solids.base.findings import fails
from solids.base.messages import said
from solids.layout import Layout
from solids.model.kernel import Face, Solid, bounds, common, faces_of, volume_of
from solids.model.kernel.shaping import placed
from tests.aids.helpers import unit
from tests.corners import CASES, PRESETS, case, layout_of


@cache
def templates(preset: str = "tool-tray", *overrides: str) -> tuple[Aid, Aid]:
    layout = layout_of(preset, *overrides)
    return of(layout)


def of(layout: Layout) -> tuple[Aid, Aid]:
    printed, milled, _ = marking_templates(layout, layout.recipe.printing)
    assert isinstance(printed, Aid)
    assert isinstance(milled, Aid)
    return printed, milled


def leaning(solid: Solid) -> list[Face]:
    """The two large upright faces that lean in XY, left first."""
    found = [face for face in faces_of(solid) if abs(unit(face)[2]) < 1e-9 and 0.02 < abs(unit(face)[1]) < 0.6]
    found = [face for face in found if max(p[2] for p in face[0]) - min(p[2] for p in face[0]) > 1.0]
    assert len(found) == 2
    return sorted(found, key=lambda face: unit(face)[0])


@pytest.mark.parametrize("name", CASES)
def test_both_templates_of_every_kind_of_joint_pass_their_proof(name: str) -> None:
    layout = layout_of(*CASES[name])
    for aid in of(layout):
        assert not fails(prove_aid(aid, layout.recipe.printing)), aid.name


@settings(max_examples=12, deadline=None)
@given(
    st.integers(20, 99).map(lambda tenths: tenths / 10),
    st.integers(50, 280).map(lambda tenths: tenths / 10),
    st.integers(50, 280).map(lambda tenths: tenths / 10),
)
@pytest.mark.whole
def test_templates_of_usual_slopes_and_any_boards_pass(ratio: float, tail: float, pin: float) -> None:
    layout = layout_of(
        *("tool-tray", "joint.tails=1", "joint.half_pin=16"),
        *(f'joint.slope="1:{ratio}"', f"tail_board.thickness={tail}", f"pin_board.thickness={pin}"),
    )
    for aid in of(layout):
        assert not fails(prove_aid(aid, layout.recipe.printing)), aid.name


@pytest.mark.parametrize("ratio", [9, 9.5, 10, 12, 20, 30])
def test_templates_of_flat_slopes_pass_too(ratio: float) -> None:
    layout = layout_of("tool-tray", f'joint.slope="1:{ratio}"')
    for aid in of(layout):
        assert not fails(prove_aid(aid, layout.recipe.printing)), aid.name


@pytest.mark.parametrize("preset", PRESETS)
def test_its_edges_mark_both_flanks_of_every_tail(preset: str) -> None:
    """Hooked over the end with a corner on the mark, every corner of the leaning face lies on the line from the mark
    into the board by 1 in N, as the recipe's slope says."""
    layout = layout_of(preset)
    end, ratio = layout.as_cut.tail_end, layout.recipe.slope_ratio
    aid, _ = templates(preset)
    width = NARROWEST + 2 * (end + PAST) / ratio
    for side, use in enumerate(aid.uses):
        left, right = leaning(placed(aid.solid, use.place))
        face = (left, right)[side]
        for tail in layout.tails:
            mark = tail.left - (end - layout.depth) / ratio if side == 0 else tail.right + (end - layout.depth) / ratio
            first = layout.tails[0]
            first_mark = (first.left, first.right)[side] + (end - layout.depth) / ratio * (1 if side else -1)
            for x, y, _ in face[0]:
                into = (end - y) / ratio
                line = mark + into if side == 0 else mark - into
                assert x + mark - first_mark == pytest.approx(line, abs=1e-9)
        xs = [x for x, _, _ in (*left[0], *right[0])]
        assert max(xs) - min(xs) <= width + 1e-9


@pytest.mark.parametrize("preset", PRESETS)
def test_its_plate_lies_on_the_face_and_reaches_past_the_baseline(preset: str) -> None:
    layout = layout_of(preset)
    for aid in templates(preset):
        for use in aid.uses:
            (_, y1, z1), (_, y2, z2) = bounds(placed(aid.solid, use.place))
            assert y1 == pytest.approx(-PAST)
            assert y2 == pytest.approx(layout.as_cut.tail_end + PLATE)
            assert z2 == pytest.approx(layout.as_cut.show_z + PLATE)
            assert z2 - z1 == pytest.approx(PLATE + min(layout.as_cut.show_z, HOOK_DEEPEST))


@pytest.mark.parametrize("milled", [False, True])
def test_the_ends_of_its_hook_are_square_to_the_end_and_the_face(milled: bool) -> None:
    aid = templates()[milled]
    layout = layout_of()
    for use in aid.uses:
        body = placed(aid.solid, use.place)
        below = [
            face
            for face in faces_of(body)
            if abs(abs(unit(face)[0]) - 1.0) < 1e-12 and min(p[2] for p in face[0]) < layout.as_cut.show_z - 1.0
        ]
        assert len(below) == 2
        xs = sorted({round(p[0], 9) for face in below for p in face[0]})
        assert xs[1] - xs[0] == pytest.approx(NARROWEST + 2 * (layout.as_cut.tail_end + PAST) / 7.0)


@pytest.mark.parametrize("name", ["through", "half-blind", "unequal ends"])
def test_it_bears_on_the_cut_tail_board_as_on_the_blank(name: str) -> None:
    """A tail that is cut already is marked again with it, so it must not cut into the finished board either."""
    job = case(name)
    (_, board), _ = job.cut.boards
    for aid in of(job.layout):
        for use in aid.uses:
            body = placed(aid.solid, use.place)
            assert sum(volume_of(piece) for piece in common(body, board)) < 1e-9


def test_the_milled_one_has_no_chamfer_and_the_volume_of_a_plate_and_a_bar() -> None:
    printed, milled = templates()
    layout = layout_of()
    reach, ratio = layout.as_cut.tail_end + PAST, 7.0
    width = NARROWEST + 2 * reach / ratio
    solid = (width - reach / ratio) * reach * PLATE + width * PLATE * (PLATE + layout.as_cut.show_z)
    for aid in (printed, milled):
        assert aid.engraved == "1:7"
        assert volume_of(aid.solid) < solid
    levels = [{abs(round(p[2], 6)) for face in faces_of(aid.solid) for p in face[0]} for aid in (printed, milled)]
    assert FOOT in levels[0]
    assert levels[1] == {0.0, PLATE - 0.5, PLATE, PLATE + layout.as_cut.show_z}
    letters = solid - volume_of(milled.solid)
    assert 0.0 < letters < 0.05 * solid
    foot = volume_of(milled.solid) - volume_of(printed.solid)
    edge = 2 * width - 2 * reach / ratio + 2 * PLATE + 2 * math.hypot(reach, reach / ratio)
    assert foot == pytest.approx(FOOT**2 / 2 * edge, rel=0.05)
    assert (printed.to_print, milled.to_print) == (True, False)


def test_it_is_the_same_on_both_sides_so_one_edge_marks_left_and_the_other_right() -> None:
    for aid in templates():
        (x1, _, _), (x2, _, _) = bounds(aid.solid)
        left, right = leaning(aid.solid)
        mirrored = sorted((round(x1 + x2 - x, 9), round(y, 9), round(z, 9)) for x, y, z in left[0])
        assert mirrored == sorted((round(x, 9), round(y, 9), round(z, 9)) for x, y, z in right[0])


@pytest.mark.parametrize("slope", ["1:6", "1:8", "10.5 deg"])
def test_its_figures_and_words_tell_the_slope(slope: str) -> None:
    printed, milled = templates("tool-tray", f'joint.slope="{slope}"')
    ratio = 1 / math.tan(math.radians(10.5)) if "deg" in slope else float(slope[2:])
    for aid in (printed, milled):
        assert aid.engraved == f"1:{ratio:.4g}"
        assert aid.engraved in said(aid.title)
        assert ("slope", aid.engraved) in aid.figures
    assert "to mill" in said(milled.title)
