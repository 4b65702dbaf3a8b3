"""Every check of an aid's proof, on aids made by hand: it passes what is right, and it fails what is a little wrong."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
from OCP.BRep import BRep_Builder
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopoDS import TopoDS_Shell, TopoDS_Solid

from solids.aids.making.aid import Aid, Plane, Rest, Use
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import block, extrude
from solids.aids.proof import prove_aid, thinnest_wall
from solids.base.findings import Finding, fails
from solids.base.geometry import MINUS_X, MINUS_Y, MINUS_Z, Frame, Point, X, Y, Z
from solids.model.kernel import Solid, faces_of, mesh, solid_from_faces
from solids.model.kernel.shaping import cut, fuse, placed, prism
from solids.model.kernel.solid import each
from solids.model.manifold import Body, body_of
from solids.recipe.tables.resolved import Printing
from tests.aids.helpers import PRINTING

BOARD = block((0.0, 0.0, 0.0), (60.0, 60.0, 10.0))
AID_SIDE, AID_HEIGHT = 20.0, 6.0


def box_aid(solid: Solid | None = None, *uses: Use) -> Aid:
    body = block((0.0, 0.0, 0.0), (AID_SIDE, AID_SIDE, AID_HEIGHT)) if solid is None else solid
    return Aid("box", "A box", "It is a box.", body, "", uses, "Set it down.", ())


def at(x: float, y: float, z: float) -> Frame:
    return Frame.of(X, Y, Z, (x, y, z))


def on_board(origin: Point = (10.0, 10.0, 10.0), **more: object) -> Use:
    """The box set down on the board, where it bears with all of its foot."""
    rests = (Rest("board", MINUS_Z, 399.0),)
    return replace(Use("On the board", at(*origin), (("board", BOARD),), rests), **more)  # type: ignore[arg-type]


def findings(aid: Aid, code: str, printing: Printing = PRINTING) -> list[Finding]:
    found = [finding for finding in prove_aid(aid, printing) if finding.code == code]
    assert found, f"no check {code}"
    return found


def verdict(aid: Aid, code: str, printing: Printing = PRINTING) -> str:
    """What the only finding of a code says."""
    (finding,) = findings(aid, code, printing)
    assert finding.place == aid.name
    assert bool(finding.remedy) == (finding.severity == "fail")
    return finding.severity


def standing(outline: Sequence[tuple[float, float]], width: float = 30.0) -> Solid:
    """A profile in X and Z, stretched along Y."""
    return placed(extrude(outline, 0.0, width), Frame.of(X, Z, MINUS_Y, (0.0, width, 0.0)))


def test_a_plain_box_on_a_board_passes_every_check() -> None:
    plane = Plane((0.0, 0.0, 10.0), MINUS_Z)
    use = on_board(clears=(("board", X, 1.0),), works_in=plane, least_face=400.0 - 1e-6)
    found = prove_aid(box_aid(None, use), PRINTING)
    assert [finding.code for finding in found] == [
        *("sound", "flat", "overhang", "walls", "bed"),
        *("meets", "bears", "clears", "works"),
    ]
    assert {finding.severity for finding in found} == {"pass"}
    assert {finding.remedy for finding in found} == {""}


# --- sound ---------------------------------------------------------------------------------------


def without_top(solid: Solid) -> Solid:
    """The solid less its last face, forced together by the kernel's own builder."""
    builder, shell, made = BRep_Builder(), TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    for face in list(each(solid, TopAbs_ShapeEnum.TopAbs_FACE))[:-1]:
        builder.Add(shell, face)
    builder.MakeSolid(made)
    builder.Add(made, shell)
    return made


def test_a_solid_with_a_face_missing_is_not_sound_and_has_no_walls() -> None:
    assert verdict(box_aid(without_top(BOARD)), "sound") == "fail"
    assert verdict(box_aid(without_top(BOARD)), "walls") == "fail"
    assert verdict(box_aid(BOARD), "sound") == "pass"


def test_two_bodies_in_one_solid_are_not_sound() -> None:
    far = block((30.0, 0.0, 0.0), (40.0, 10.0, 10.0))
    both = solid_from_faces([*faces_of(block((0.0, 0.0, 0.0), (10.0, 10.0, 10.0))), *faces_of(far)])
    assert verdict(box_aid(both), "sound") == "fail"


def test_a_solid_that_is_inside_out_does_not_pass() -> None:
    inside_out = solid_from_faces([[list(reversed(loop)) for loop in face] for face in faces_of(BOARD)])
    assert fails(prove_aid(box_aid(inside_out), PRINTING))


def test_a_solid_that_is_inside_out_is_not_sound() -> None:
    inside_out = solid_from_faces([[list(reversed(loop)) for loop in face] for face in faces_of(BOARD)])
    assert verdict(box_aid(inside_out), "sound") == "fail"


# --- flat ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("z", "expected"), [(0.0, "pass"), (0.1, "fail"), (-0.1, "fail"), (0.001, "fail")])
def test_an_aid_lies_flat_on_the_bed(z: float, expected: str) -> None:
    assert verdict(box_aid(placed(BOARD, at(0.0, 0.0, z))), "flat") == expected


def test_an_aid_that_stands_on_an_edge_does_not_lie_flat() -> None:
    edge = standing([(10.0, 0.0), (20.0, 10.0), (10.0, 20.0), (0.0, 10.0)])
    assert verdict(box_aid(edge), "flat") == "fail"


# --- overhang ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("degrees", "expected"), [(0, "pass"), (44, "pass"), (45, "pass"), (46, "fail"), (80, "fail")])
def test_a_side_may_lean_out_by_45_degrees_from_upright(degrees: float, expected: str) -> None:
    out = 10.0 * math.tan(math.radians(degrees))
    aid = box_aid(standing([(0.0, 0.0), (20.0, 0.0), (20.0 + out, 10.0), (0.0, 10.0)]))
    assert verdict(aid, "overhang") == expected
    (finding,) = findings(aid, "overhang")
    assert finding.measured == pytest.approx(0.0 if expected == "pass" else 30.0 * math.hypot(10.0, out))


def test_a_side_that_leans_in_is_no_overhang() -> None:
    assert verdict(box_aid(standing([(0.0, 0.0), (40.0, 0.0), (20.0, 10.0), (0.0, 10.0)])), "overhang") == "pass"


def test_a_ceiling_is_an_overhang_and_a_gable_is_none() -> None:
    flat_roof = [(8.0, 0.0), (8.0, 5.0), (14.0, 5.0), (14.0, 0.0)]
    gable = [(8.0, 0.0), (8.0, 5.0), (11.0, 8.0), (14.0, 5.0), (14.0, 0.0)]
    for hollow, expected in ((flat_roof, "fail"), (gable, "pass")):
        outline = [(0.0, 0.0), *hollow, (22.0, 0.0), (22.0, 12.0), (0.0, 12.0)]
        assert verdict(box_aid(standing(outline)), "overhang") == expected


# --- walls ---------------------------------------------------------------------------------------


def through(solid: Solid) -> Body:
    """A solid as rays go through it."""
    found = mesh(solid)
    return body_of(found.points, found.triangles)


def channel(wall: float) -> Solid:
    """A trough whose two upright walls are so thick."""
    return extrude(
        [(0, 0), (30, 0), (30, 20), (30 - wall, 20), (30 - wall, 5), (wall, 5), (wall, 20), (0, 20)], 0.0, 10.0
    )


@pytest.mark.parametrize(
    ("wall", "nozzle", "expected"),
    [(0.8, 0.4, "pass"), (0.79, 0.4, "fail"), (1.2, 0.6, "pass"), (1.19, 0.6, "fail"), (0.5, 0.25, "pass")],
)
def test_a_wall_is_two_nozzles_thick(wall: float, nozzle: float, expected: str) -> None:
    aid = box_aid(channel(wall))
    assert verdict(aid, "walls", replace(PRINTING, nozzle=nozzle)) == expected
    assert findings(aid, "walls")[0].measured == pytest.approx(wall)


@pytest.mark.parametrize(("floor", "expected"), [(0.8, "pass"), (0.79, "fail")])
def test_a_floor_and_a_roof_are_walls_too(floor: float, expected: str) -> None:
    tub = cut(block((0, 0, 0), (30, 20, 10)), [block((5, 5, floor), (25, 15, 11))])
    assert verdict(box_aid(tub), "walls") == expected
    assert verdict(box_aid(block((0, 0, 0), (30, 20, floor))), "walls") == expected


def test_one_thin_web_in_a_large_body_is_found() -> None:
    pockets = [block((40.0, 40.0, 5.0), (50.0, 50.0, 40.0)), block((50.6, 40.0, 5.0), (60.0, 50.0, 40.0))]
    body = cut(block((0.0, 0.0, 0.0), (200.0, 200.0, 30.0)), pockets)
    assert thinnest_wall(through(body)) == pytest.approx(0.6)


def test_a_slanted_wall_is_measured_square_to_its_face() -> None:
    lean = math.radians(30.0)
    across, up = 1.0 / math.cos(lean), 15.0
    foot = [(0.0, 0.0), (30.0, 0.0), (30.0, 5.0), (across, 5.0)]
    outline = [*foot, (across + up * math.tan(lean), 5.0 + up), (up * math.tan(lean), 5.0 + up), (0.0, 5.0)]
    assert thinnest_wall(through(extrude(outline, 0.0, 10.0))) == pytest.approx(1.0)


def test_where_faces_meet_at_an_edge_is_no_wall() -> None:
    kite = [(0.0, 0.0), (20.0, -11.0), (30.0, 0.0), (20.0, 11.0)]  # 58 degrees at the left corner, 95 at the right
    blunter = [(0.0, 0.0), (20.0, -13.0), (30.0, 0.0), (20.0, 13.0)]  # 66 degrees at the left corner
    assert thinnest_wall(through(extrude(blunter, 0.0, 9.0))) == pytest.approx(9.0)
    assert thinnest_wall(through(extrude(kite, 0.0, 9.0))) < 5.0, "a sharp edge is one"


def test_engraved_letters_are_no_walls_but_what_stays_below_them_is() -> None:
    for thickness, expected in ((4.0, "pass"), (1.3, "pass"), (1.29, "fail")):
        body = engraved(block((0, 0, 0), (30, 20, thickness)), "88:88", (15, 10), thickness, (14, 4))
        aid = box_aid(body)
        assert findings(aid, "walls")[0].measured == pytest.approx(thickness - 0.5)
        assert verdict(aid, "walls") == expected


# --- bed -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("size", "bed", "expected"),
    [
        ((20.0, 20.0), (30.0, 30.0), "pass"),
        ((20.1, 20.0), (30.0, 30.0), "fail"),
        ((20.0, 20.1), (30.0, 30.0), "fail"),
        ((40.0, 20.0), (30.0, 50.0), "pass"),
        ((40.0, 20.1), (30.0, 50.0), "fail"),
        ((20.0, 40.1), (30.0, 50.0), "fail"),
    ],
)
def test_an_aid_fits_the_bed_with_five_mm_free_all_round_turned_if_need_be(
    size: tuple[float, float], bed: tuple[float, float], expected: str
) -> None:
    aid = box_aid(block((0.0, 0.0, 0.0), (*size, 5.0)))
    assert verdict(aid, "bed", replace(PRINTING, bed=bed)) == expected


# --- where it works ------------------------------------------------------------------------------


@pytest.mark.parametrize(("z", "expected"), [(10.0, "pass"), (9.99, "fail"), (9.999, "fail"), (10.5, "pass")])
def test_an_aid_does_not_cut_into_a_board(z: float, expected: str) -> None:
    aid = box_aid(None, on_board((10.0, 10.0, z)))
    assert verdict(aid, "meets") == expected
    assert findings(aid, "meets")[0].measured == pytest.approx(max(0.0, 10.0 - z) * AID_SIDE**2, abs=1e-9)


def test_every_board_of_a_use_is_tried() -> None:
    post = block((25.0, 0.0, 10.0), (60.0, 60.0, 40.0))
    use = on_board(boards=(("board", BOARD), ("post", post)))
    first, second = findings(box_aid(None, use), "meets")
    assert (first.severity, second.severity) == ("pass", "fail")
    assert "the post" in second.said
    assert second.measured == pytest.approx(5.0 * AID_SIDE * AID_HEIGHT)


@pytest.mark.parametrize(("z", "expected"), [(10.0, "pass"), (10.05, "fail"), (10.021, "fail")])
def test_an_aid_that_stands_off_does_not_bear(z: float, expected: str) -> None:
    assert verdict(box_aid(None, on_board((10.0, 10.0, z))), "bears") == expected


@pytest.mark.parametrize(("x", "expected"), [(40.0, "pass"), (45.0, "fail"), (41.0, "fail"), (80.0, "fail")])
def test_an_aid_bears_over_the_area_that_lies_on_the_board(x: float, expected: str) -> None:
    aid = box_aid(None, on_board((x, 10.0, 10.0)))
    assert verdict(aid, "bears") == expected
    (finding,) = findings(aid, "bears")
    assert finding.measured == pytest.approx(max(0.0, min(20.0, 60.0 - x)) * 20.0, rel=1e-6)
    assert (finding.limit, finding.unit) == (399.0, "mm2")


@pytest.mark.parametrize(("direction", "expected"), [(MINUS_Z, "pass"), (Z, "fail"), (X, "fail"), (MINUS_X, "fail")])
def test_an_aid_bears_only_where_it_is_pushed_against_the_board(direction: Point, expected: str) -> None:
    assert verdict(box_aid(None, on_board(rests=(Rest("board", direction, 100.0),))), "bears") == expected


@pytest.mark.parametrize(("gap", "expected"), [(1.0, "pass"), (1.2, "pass"), (0.9, "fail"), (0.95, "fail")])
def test_an_aid_stays_clear_of_what_it_must_not_touch(gap: float, expected: str) -> None:
    use = on_board((60.0 + gap, 10.0, 2.0), rests=(), clears=(("board", MINUS_X, 1.0),))
    assert verdict(box_aid(None, use), "clears") == expected


def works(origin: Point, plane: Plane, least: float, clearance: float = 0.0) -> str:
    use = on_board(origin, rests=(), works_in=plane, least_face=least)
    return verdict(replace(box_aid(None, use), clearance=clearance), "works")


@pytest.mark.parametrize(
    ("off", "clearance", "expected"),
    [
        (0.0, 0.0, "pass"),
        (0.009, 0.0, "pass"),
        (0.02, 0.0, "fail"),
        (-0.02, 0.0, "fail"),
        (0.2, 0.2, "pass"),
        (0.22, 0.2, "fail"),
        (1.0, 0.0, "fail"),
    ],
)
def test_a_working_face_lies_in_its_plane_but_for_the_clearance_it_states(
    off: float, clearance: float, expected: str
) -> None:
    plane = Plane((30.0, 0.0, 0.0), X)
    assert works((10.0 + off, 10.0, 10.0), plane, 0.99 * AID_SIDE * AID_HEIGHT, clearance) == expected


@pytest.mark.parametrize(("degrees", "expected"), [(0.0, "pass"), (0.1, "fail"), (-0.1, "fail"), (5.0, "fail")])
def test_a_working_face_is_not_tilted(degrees: float, expected: str) -> None:
    """Also where no corner leaves the plane by more than the clearance allows: 20 mm at 0.1 degree are 0.035 mm."""
    lean = math.radians(degrees)
    plane = Plane((30.0, 20.0, 0.0), (math.cos(lean), math.sin(lean), 0.0))
    assert works((10.0, 10.0, 10.0), plane, 100.0, clearance=2.0) == expected


def test_a_planes_normal_may_point_either_way() -> None:
    for normal in (X, MINUS_X):
        assert works((10.0, 10.0, 10.0), Plane((30.0, 5.0, 5.0), normal), 119.9) == "pass"


def test_a_working_face_is_large_enough() -> None:
    plane = Plane((30.0, 0.0, 0.0), X)
    assert works((10.0, 10.0, 10.0), plane, AID_SIDE * AID_HEIGHT + 0.1) == "fail"


def test_holes_in_a_working_face_do_not_count_as_face() -> None:
    holed = prism([(0, 0), (20, 0), (20, 20), (0, 20)], 0.0, 6.0, [[(5, 5), (5, 15), (15, 15), (15, 5)]])
    for least, expected in ((299.9, "pass"), (300.1, "fail")):
        use = on_board(rests=(), works_in=Plane((0.0, 0.0, 10.0), Z), least_face=least)
        assert verdict(box_aid(holed, use), "works") == expected


def test_the_place_turns_the_aid_as_it_says() -> None:
    """Upside down and turned, an aid with one high side still meets, bears and works as where it was modelled."""
    stepped = fuse([block((0, 0, 0), (20, 20, 4)), block((0, 0, 0), (20, 5, 12))])
    place = Frame.of(X, MINUS_Y, MINUS_Z, (10.0, 65.0, 14.0))
    rests = (Rest("board", MINUS_Z, 299.0), Rest("board", MINUS_Y, 159.0))
    use = Use("at the far edge", place, (("board", BOARD),), rests, (), Plane((0.0, 60.0, 0.0), Y), 159.0)
    assert not fails(prove_aid(box_aid(stepped, use), PRINTING))
    wrong = replace(use, place=Frame.of(X, Y, Z, (10.0, 65.0, 14.0)))
    assert {finding.code for finding in prove_aid(box_aid(stepped, wrong), PRINTING) if finding.severity == "fail"} == {
        "bears",
        "works",
    }


def test_findings_say_where_they_were_made() -> None:
    near, far = on_board(), replace(on_board((30.0, 30.0, 10.0)), words="At the far end")
    sentences = [finding.said for finding in findings(box_aid(None, near, far), "bears")]
    assert sentences[0].startswith("On the board: ")
    assert sentences[1].startswith("At the far end: ")
