"""Faults planted in the geometry are found and named by the right check, whatever the fit hides.

`test_corner.py` plants the plain ones. Here are those that hide: tight and loose joints, hollows and chamfers, faults
that leave volume and overlap as they were, and those that only the way in shows.
"""

from __future__ import annotations

import pytest
from OCP.BRep import BRep_Builder
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shell, TopoDS_Solid

from solids.base.findings import Finding
from solids.base.geometry import Point
from solids.layout import Layout
from solids.model.corner import Corner, make_corner
from solids.model.kernel import Face, Solid, solid_from_faces
from solids.proof.joint.corner import Proof, prove
from tests.fitted import FITTED, faces_as_cut, flank_points, layout_of, points_of, shifted

KINDS = ("plain", "tight", "loose", "half-blind, tight", "half-blind, loose", "hollow, tight", "chamfered, loose",
         "both, half-blind, tight", "both, no symmetry")  # fmt: skip


def proof_with(layout: Layout, *, tails: Solid | None = None, pins: Solid | None = None) -> Proof:
    cut = make_corner(layout, layout.as_cut)
    faulty = Corner(layout, cut.state, tails or cut.tail_board, pins or cut.pin_board)
    return prove(faulty, make_corner(layout, layout.as_finished))


def failing(proof: Proof) -> dict[str, list[Finding]]:
    """By the check that found them."""
    found: dict[str, list[Finding]] = {}
    for finding in proof.findings:
        if finding.severity == "fail":
            found.setdefault(finding.code, []).append(finding)
    return found


def flanks_named(found: dict[str, list[Finding]]) -> set[str]:
    return {f.place for f in found.get("contact", []) if "flank" in f.place}


# --- flanks ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("by", [0.05, 0.001])
@pytest.mark.parametrize("kind", KINDS)
def test_a_pin_too_wide_is_found_at_its_flank(kind: str, by: float) -> None:
    layout = layout_of(*FITTED[kind])
    pins = faces_as_cut(layout)[1]
    wide = shifted(pins, flank_points(layout, pins, 1, 0, of_pin=True), (by, 0, 0))
    found = failing(proof_with(layout, pins=solid_from_faces(wide)))
    assert flanks_named(found) == {"tail 2, left flank"}
    assert [f.place for f in found["wrong-volume"]] == ["pin board, as cut"]


@pytest.mark.parametrize("by", [0.1, 0.001, -0.001, -0.1])
@pytest.mark.parametrize("kind", KINDS)
def test_a_tail_shifted_whole_is_found_by_both_its_flanks(kind: str, by: float) -> None:
    """Its volume is right; shifted by less than flanks are tight or loose, it overlaps by no more than meant."""
    layout = layout_of(*FITTED[kind])
    tails = faces_as_cut(layout)[0]
    tail = layout.tails[1]
    own = {p for p in points_of(tails) if p[1] >= 0 and tail.left - 1 < p[0] < tail.right + 1 and not deep(layout, p)}
    found = failing(proof_with(layout, tails=solid_from_faces(shifted(tails, own, (by, 0, 0)))))
    assert flanks_named(found) == {"tail 2, left flank", "tail 2, right flank"}


def deep(layout: Layout, point: Point) -> bool:
    """Whether a point belongs to the hollow of a socket at the edge."""
    return point[1] == 0 and point[0] in (layout.land, layout.width - (layout.land or 0))


@pytest.mark.parametrize("kind", ["tight", "half-blind, tight", "loose"])
def test_a_shift_that_hides_in_the_fit_is_found_by_the_contacts_alone(kind: str) -> None:
    layout = layout_of(*FITTED[kind])
    tails = faces_as_cut(layout)[0]
    tail = layout.tails[2]
    own = {p for p in points_of(tails) if p[1] >= 0 and tail.left - 1 < p[0] < tail.right + 1}
    found = failing(proof_with(layout, tails=solid_from_faces(shifted(tails, own, (0.001, 0, 0)))))
    assert set(found) == {"contact"}


# --- shoulders, floors, laps -------------------------------------------------------------------------------


@pytest.mark.parametrize("by", [0.02, 0.001])
@pytest.mark.parametrize("kind", ["plain", "tight", "loose", "half-blind"])
def test_a_shoulder_too_deep_is_found(kind: str, by: float) -> None:
    """It opens a line that shows at the edge; nothing overlaps."""
    layout = layout_of(*FITTED[kind])
    tails = faces_as_cut(layout)[0]
    edges = layout.tail_edges(layout.tails[0], 0)[1], layout.tail_edges(layout.tails[1], 0)[0]
    points = {p for p in points_of(tails) if p[1] == 0 and p[0] in edges}
    found = failing(proof_with(layout, tails=solid_from_faces(shifted(tails, points, (0, -by, 0)))))
    places = {f.place: f for f in found["contact"]}
    assert places["shoulder beside tail 1"].measured == pytest.approx(by)


@pytest.mark.parametrize("by", [0.001, 0.3, 3.0])
@pytest.mark.parametrize("kind", ["half-blind", "half-blind, tight", "hollow, half-blind"])
def test_a_tail_end_short_of_the_lap_is_found(kind: str, by: float) -> None:
    layout = layout_of(*FITTED[kind])
    tails = faces_as_cut(layout)[0]
    tail = layout.tails[3]
    points = {p for p in points_of(tails) if p[1] == layout.depth and tail.left - 1 < p[0] < tail.right + 1}
    found = failing(proof_with(layout, tails=solid_from_faces(shifted(tails, points, (0, -by, 0)))))
    assert "end of tail 4 at the lap" in {f.place for f in found["contact"]}
    assert [f.place for f in found["wrong-volume"]] == ["tail board, as cut"]


# --- the way in ---------------------------------------------------------------------------------------------


def with_lip(layout: Layout, pins: list[Face], by: float) -> list[Face]:
    """The last pin's flank leans over its tail: its corners at the pin's end moved out by `by`."""
    end = layout.as_cut.pin_end
    flank = flank_points(layout, pins, len(layout.tails) - 1, 1, of_pin=True)
    return shifted(pins, {p for p in flank if p[2] == end}, (-by, 0, 0))


@pytest.mark.parametrize("by", [1.0, 0.2, 0.02])
@pytest.mark.parametrize("kind", ["plain", "half-blind", "chamfered", "hollow", "tight"])
def test_an_overhanging_pin_bars_the_way_in(kind: str, by: float) -> None:
    layout = layout_of(*FITTED[kind])
    leaning = with_lip(layout, faces_as_cut(layout)[1], by)
    (found,) = failing(proof_with(layout, pins=solid_from_faces(leaning)))["entry"]
    assert found.place == "tail 4, right flank"


def lip_above_the_seat(layout: Layout, reach: float) -> list[Face]:
    """A lip on the first pin's flank, all of it above the seated tail board: nothing overlaps when seated."""
    low, high, d = layout.as_cut.show_z + 0.1, layout.as_cut.pin_end, layout.depth
    tail = layout.tails[0]

    def at(y: float, z: float, out: float) -> Point:
        return layout.socket_edges(tail, y)[0] + out, y, z

    top = [at(y, high, 0.0) for y in (0.0, d)]

    def with_step(before: Point, point: Point, after: Point) -> list[Point]:
        """The corner at the pin's end as it is seen on a face of the board: out along the lip."""
        step = [at(point[1], z, out) for z, out in ((low, 0.0), (low, reach), (high, reach))]
        if before[:2] == point[:2]:
            return step
        return step[::-1] if after[:2] == point[:2] else step[2:]

    changed: list[Face] = []
    for (loop,) in faces_as_cut(layout)[1]:
        if all(abs(p[0] - layout.socket_edges(tail, p[1])[0]) < 1e-9 for p in loop):
            changed.append([[at(p[1], low, 0.0) if p in top else p for p in loop]])
            continue
        new: list[Point] = []
        for before, point, after in zip([loop[-1], *loop[:-1]], loop, [*loop[1:], loop[0]], strict=True):
            new += with_step(before, point, after) if point in top else [point]
        changed.append([new])
    under = [at(0.0, low, 0.0), at(d, low, 0.0), at(d, low, reach), at(0.0, low, reach)]
    side = [at(0.0, low, reach), at(d, low, reach), at(d, high, reach), at(0.0, high, reach)]
    return [*changed, [under], [side]]


@pytest.mark.parametrize("reach", [0.5, 0.02])
@pytest.mark.parametrize("kind", ["plain", "chamfered", "hollow"])
def test_a_lip_above_the_seat_is_found_by_the_way_in_alone(kind: str, reach: float) -> None:
    """Seated, nothing overlaps and every face lies where it should; but the tail board cannot get there."""
    layout = layout_of(*FITTED[kind], "pin_board.proud=2")
    found = failing(proof_with(layout, pins=solid_from_faces(lip_above_the_seat(layout, reach))))
    assert {"opinions", "overlap", "hold"}.isdisjoint(found)
    (barred,) = found["entry"]
    assert barred.measured == pytest.approx(reach * (2 - 0.1) * layout.depth, rel=1e-4)
    assert barred.said.endswith("(tail 1, left flank).")


# --- solids that are none -------------------------------------------------------------------------------------


def with_flipped_face(solid: Solid, number: int) -> Solid:
    """The same shell with one face turned inside out."""
    builder, shell, flipped = BRep_Builder(), TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    explorer, index = TopExp_Explorer(solid, TopAbs_ShapeEnum.TopAbs_FACE), 0
    while explorer.More():
        face = explorer.Current()
        builder.Add(shell, face.Reversed() if index == number else face)
        explorer.Next()
        index += 1
    shell.Closed(True)
    builder.MakeSolid(flipped)
    builder.Add(flipped, shell)
    return flipped


@pytest.mark.parametrize("number", [0, 1, 5, 9, 13, -1])
@pytest.mark.parametrize("board", ["tail board", "pin board"])
@pytest.mark.parametrize("kind", ["plain", "both, half-blind, tight"])
def test_a_flipped_face_is_found_in_its_board(kind: str, board: str, number: int) -> None:
    layout = layout_of(*FITTED[kind])
    cut = make_corner(layout, layout.as_cut)
    solid = cut.tail_board if board == "tail board" else cut.pin_board
    count = len(faces_as_cut(layout)[0 if board == "tail board" else 1])
    broken = with_flipped_face(solid, number % count)
    proof = proof_with(layout, tails=broken) if board == "tail board" else proof_with(layout, pins=broken)
    found = failing(proof)
    assert f"{board}, as cut" in {f.place for code in ("not-valid", "not-closed") for f in found.get(code, [])}
    assert "opinions" in found


def test_the_same_shell_without_a_flipped_face_passes() -> None:
    layout = layout_of()
    again = with_flipped_face(make_corner(layout, layout.as_cut).tail_board, -1)
    assert proof_with(layout, tails=again).passes
