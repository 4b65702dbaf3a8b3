"""Joints of which nothing is alike, against trigonometry, a textbook's distances, and other people's programs.

- COMPTON: A. G. Compton, First Lessons in Wood-Working, 1888, Lesson XVII. Nothing is measured off his figure 52, of
  which we have no picture: the distances are those that his text gives.
- Manifold (manifold3d), FreeCAD and steputils read the solids and files.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from shapely.geometry import box
from steputils import p21

from solids.layout import Layout, lay_out
from solids.layout.joint.shape.mitre import mitre_of
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.model.boards import face_count
from solids.model.kernel import Mesh, mesh
from solids.model.manifold import body_of
from solids.recipe import parse_recipe
from solids.write.files.job import JointJob
from solids.write.files.table import prove_layout
from tests.corners import made
from tests.model.by_slices import section
from tests.outside.freecad import NEEDED, found_by
from tests.recipes import IRREGULAR, IRREGULAR_CASES

INCH = 25.4
PROUD = ("tail_board.proud=0.6", "pin_board.proud=0.5")

CORNERS: dict[str, tuple[str, ...]] = {
    "rebate, mitre and half tail": PROUD,
    "planed": (*PROUD, "finish.planing=0.3"),
    "two mitres": (*PROUD, "joint.flanks=[[12, 13], [20, 18], [26, 28], [50, 50], [57, 56], [88, 85]]",
                   "joint.mitre={ reference = 4, other = 6 }"),
    "without a rebate": (*PROUD, "tail_board.rebate=0"),
    "half-blind, half tails at both edges": (
        *("joint.kind=half-blind", "joint.lap=3", "pin_board.proud=0.5", "joint.mitre={}"),
        "joint.flanks=[0, [20, 18], [26, 27], [50, 50], [80, 83], [100, 100]]",
    ),
}  # fmt: skip
"""Overrides of the irregular joint: flush, with flanks knifed to the line."""

WHOLE = (*IRREGULAR_CASES["chamfered, hollow"], *PROUD)
"""Half tail, uneven flanks, one outward and one square, rebate, mitre at the other edge, hollow and chamfer at once."""


@cache
def job_of(*overrides: str) -> JointJob:
    (job,) = prove_layout(lay_out(parse_recipe(IRREGULAR, "recipe", overrides))).joints
    return job


def finished(job: JointJob) -> tuple[Mesh, Mesh]:
    return mesh(job.finished.tail_board), mesh(job.finished.pin_board)


def ell(layout: Layout) -> float:
    """The volume of the corner without a joint: the tail board as far as the corner, and the pin board past it."""
    recipe, planing = layout.recipe, layout.recipe.finish.planing
    thick, across = (board.thickness - planing for board in (recipe.tail_board, recipe.pin_board))
    return recipe.width * (recipe.tail_board.length * thick + (recipe.pin_board.length + thick) * across)


# --- a textbook's distances ------------------------------------------------------------------------


def test_the_eleven_distances_of_a_textbook_give_the_pins_of_its_other_view() -> None:
    """COMPTON sets out eleven distances on the line a b of piece A: five equal ones, four equal ones between them, and
    two half as long at the ends, on 5 11/16 in, in boards of 7/16 in. The pins of piece B are as wide there. He leaves
    the size of the four open; here it is 7/16 in. The slope of 1:6 is common practice."""
    wide, thick, space = (5 + 11 / 16) * INCH, 7 / 16 * INCH, 7 / 16 * INCH
    tail = (wide - 5 * space) / 5
    marks, x = [], space / 2
    for _ in range(5):
        marks += [[x - thick / 6, x], [x + tail + thick / 6, x + tail]]
        x += tail + space
    assert x - space / 2 == pytest.approx(wide)
    text = f"[joint]\nwidth = {wide}\nflanks = {marks}\nallow_thin_half_pin = true\n"
    text += f"[tail_board]\nthickness = {thick}\n[pin_board]\nthickness = {thick}\n"
    (job,) = prove_layout(lay_out(parse_recipe(text))).joints
    # Seen along Y, -X is to the right.
    seen = section(mesh(job.cut.pin_board), "y", 1e-7) & box(-wide - 1, 1.0, 1, 100)
    pins = sorted((-high, -low) for low, _, high, _ in (part.bounds for part in seen.geoms))
    assert [b - a for a, b in pins] == pytest.approx([space / 2, *[space] * 4, space / 2], abs=1e-5)
    assert [b for _, b in pins][:-1] == pytest.approx([foot for _, foot in marks[::2]], abs=1e-5)
    assert job.layout.ratios == pytest.approx([6.0])


# --- mitres ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("tail_board", "rebate", "pin_board"), [(12.0, 3.0, 12.0), (12.0, 0.0, 9.0), (20.0, 2.0, 13.5), (10.0, 2.5, 18.0)]
)
def test_a_mitre_of_unequal_boards_has_the_angles_of_its_right_triangle(
    tail_board: float, rebate: float, pin_board: float
) -> None:
    """Trigonometry: from the inside corner to the outside one it rises t_t - r over a run of t_p, so that the tangent
    of its angle on the tail board is (t_t - r)/t_p, and that on the pin board is the rest to 90 degrees. 9 over 12 is
    the triangle of 3, 4 and 5: 36.87 and 53.13 degrees, and 15 long."""
    sizes = (f"tail_board.thickness={tail_board}", f"tail_board.rebate={rebate}", f"pin_board.thickness={pin_board}")
    slopes = "joint.flanks=[[0, 0], [20, 18], [26, 27.5], [50, 50], [57, 56], [88, 85]]"
    job = job_of(*sizes, slopes)
    rise = tail_board - rebate
    degrees = math.degrees(math.atan(rise / pin_board))
    long = math.sqrt(rise**2 + pin_board**2)
    if (rise, pin_board) == (9.0, 12.0):
        assert (degrees, long) == pytest.approx((36.8699, 15.0), abs=1e-4)
    mitre = mitre_of(job.layout)
    assert math.degrees(mitre.on_tail_board) == pytest.approx(degrees)
    assert math.degrees(mitre.on_pin_board) == pytest.approx(90 - degrees)
    tails, pins = finished(job)
    angle = math.radians(degrees)
    for found, side in ((tails, 1.0), (pins, -1.0)):
        a, b, c = (found.points[found.triangles[:, i]] for i in range(3))
        areas = np.cross(b - a, c - a) / 2
        along = areas @ (side * np.array([0.0, math.sin(angle), -math.cos(angle)]))
        mitred = along > (1 - 1e-12) * np.linalg.norm(areas, axis=1)
        assert along[mitred].sum() == pytest.approx(6 * long)
        across = found.points[found.triangles[mitred]][..., 0]
        assert (across.min(), across.max()) == pytest.approx((94.0, 100.0))


# --- what the boards fill --------------------------------------------------------------------------


@pytest.mark.parametrize("name", CORNERS)
def test_finished_boards_fill_their_corner_by_mesh_booleans(name: str) -> None:
    """Flush boards without gaps, hollows or chamfers leave no air and do not overlap, whatever their joint is."""
    job = job_of(*CORNERS[name])
    tails, pins = (body_of(found.points, found.triangles) for found in finished(job))
    assert (tails + pins).volume() == pytest.approx(ell(job.layout), rel=1e-9)
    assert (tails ^ pins).volume() == pytest.approx(0.0, abs=1e-6)


def test_all_features_at_once_by_mesh_booleans() -> None:
    job = job_of(*WHOLE)
    for corner in (job.cut, job.finished):
        meant = tail_board_volume(job.layout, corner.state), pin_board_volume(job.layout, corner.state)
        for (_, solid), mm3 in zip(corner.boards, meant, strict=True):
            found = mesh(solid)
            body = body_of(found.points, found.triangles)
            assert len(body.decompose()) == 1
            assert body.volume() == pytest.approx(mm3, rel=1e-9)


def test_a_step_file_of_all_features_has_its_faces_by_a_parser_without_a_kernel() -> None:
    job = job_of(*WHOLE)
    file = p21.loads(made(job, "corner.step").decode("ascii"))
    names = [each.entity.name for each in file if isinstance(each, p21.SimpleEntityInstance)]
    assert names.count("MANIFOLD_SOLID_BREP") == 2
    assert names.count("ADVANCED_FACE") == sum(face_count(job.layout, job.layout.as_cut))


SCRIPT = """
import Part
for path in PATHS:
    shape = Part.read(path)
    whole = shape.Solids[0].fuse(shape.Solids[1])
    solids = [[solid.Volume, solid.isValid(), solid.isClosed(), len(solid.Faces)] for solid in shape.Solids]
    found[path] = [solids, whole.Volume, shape.Solids[0].common(shape.Solids[1]).Volume]
"""


class TestFreeCAD:
    """All in one run of it."""

    pytestmark = NEEDED

    @pytest.fixture(scope="class")
    def found(self, tmp_path_factory: pytest.TempPathFactory) -> dict[str, list]:
        folder, paths = tmp_path_factory.mktemp("freecad"), {}
        for name, overrides in {**CORNERS, "whole": WHOLE}.items():
            for file in ("corner.step", "corner-finished.step"):
                path = folder / f"{len(paths)}.step"
                path.write_bytes(made(job_of(*overrides), file))
                paths[str(path)] = f"{name}/{file}"
        return {paths[path]: told for path, told in found_by(SCRIPT, folder, PATHS=[*paths]).items()}

    @pytest.mark.parametrize("name", CORNERS)
    def test_finished_boards_fill_their_corner(self, found: dict[str, list], name: str) -> None:
        _, together, shared = found[f"{name}/corner-finished.step"]
        assert together == pytest.approx(ell(job_of(*CORNERS[name]).layout), rel=1e-9)
        assert shared == pytest.approx(0.0, abs=1e-6)

    @pytest.mark.parametrize("name", [*CORNERS, "whole"])
    def test_each_board_is_one_valid_closed_solid_of_its_volume_and_faces(
        self, found: dict[str, list], name: str
    ) -> None:
        layout = job_of(*(WHOLE if name == "whole" else CORNERS[name])).layout
        for state, file in ((layout.as_cut, "corner.step"), (layout.as_finished, "corner-finished.step")):
            solids, _, _ = found[f"{name}/{file}"]
            assert [valid and closed for _, valid, closed, _ in solids] == [True, True]
            volumes = [tail_board_volume(layout, state), pin_board_volume(layout, state)]
            assert [volume for volume, *_ in solids] == pytest.approx(volumes, rel=1e-9)
            assert tuple(faces for *_, faces in solids) == face_count(layout, state)
