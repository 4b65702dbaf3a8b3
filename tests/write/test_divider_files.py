"""The files of dividers, worked by hand for a box of 200 x 160 inside with one divider each way. Lengths in mm.

Both are in housings 3 deep, and stand 15 above the reference edge. Divider 1 runs across: it is 160 + 2 x 3 = 166 long,
50 high, 6 thick. Divider 2 runs along: 200 + 2 x 3 = 206 long, 30 high, 8 thick. They share the heights from 15 to 45,
and meet at 30: divider 1 is notched 65 - 30 = 35 deep from above, 8 wide; divider 2 30 - 15 = 15 deep from below, 6
wide.
"""

from __future__ import annotations

import io
import json
from functools import cache
from pathlib import Path

import cadquery as cq
import ezdxf
import pytest
import trimesh
from ezdxf.math import area

from solids.layout.box.refusals import lay_out_box
from solids.recipe.text.reading import check_box
from solids.write.files.table import Job, files_of, prove_layout, write_files
from tests.boxes import raw_from
from tests.part21 import read_step

BOX = """
title = "crossed"
[joint]
tails = 3
[tail_board]
thickness = 10
wood = "cherry"
[pin_board]
thickness = 10
wood = "cherry"
[box]
inside_length = 200
inside_width = 160
height = 80
groove.width = 4
panel.kind = "plywood"
"""
CROSSED = """
[[box.divider]]
runs = "across"
at = 70
thickness = 6
depth = 3
up = 15
height = 50
[[box.divider]]
runs = "along"
at = 60
thickness = 8
depth = 3
up = 15
height = 30
"""
AREAS = {"divider 1": 166 * 50 - 8 * 35, "divider 2": 206 * 30 - 6 * 15}
THICK = {"divider 1": 6, "divider 2": 8}


@cache
def job_of(dividers: str) -> Job:
    return prove_layout(lay_out_box(check_box(raw_from(BOX + dividers, "box"))))


def made(dividers: str, kind: str) -> dict[str, bytes]:
    """The files of one kind of the dividers, by what each is called."""
    files = files_of(job_of(dividers), "corner")
    return {
        Path(file.name).stem.replace("-", " "): file.make()
        for file in files
        if file.name.startswith("boards/divider") and file.name.endswith(kind)
    }


def crate(*places: tuple[str, float], more: str = "") -> str:
    """Dividers at some places, alike but for the way that they run."""
    return "".join(f'[[box.divider]]\nruns = "{runs}"\nat = {at}\nthickness = 6\n{more}\n' for runs, at in places)


# --- one divider each way, by hand ---------------------------------------------------------------


def test_the_outline_in_the_dxf_has_the_area_worked_by_hand() -> None:
    found = {}
    for name, data in made(CROSSED, "dxf").items():
        (ring,) = ezdxf.read(io.StringIO(data.decode())).modelspace().query("LWPOLYLINE")
        assert ring.dxf.layer == "flat outline"
        assert ring.closed
        found[name] = area(ring.vertices())  # ezdxf's own shoelace
    assert found == pytest.approx(AREAS)


def test_each_lies_with_its_upper_edge_toward_you_and_its_marked_face_up() -> None:
    """The front end of what runs across is on the left, and the right end of what runs along. So the notch of divider 1
    begins 3 + 60 from the left, that of divider 2 203 - 70 - 6 = 127."""
    rings = {}
    for name, data in made(CROSSED, "dxf").items():
        (ring,) = ezdxf.read(io.StringIO(data.decode())).modelspace().query("LWPOLYLINE")
        rings[name] = {(round(x, 6), round(y, 6)) for x, y in ring.vertices()}
    corners = {(0, 0), (166, 0), (166, -50), (0, -50)}
    assert rings["divider 1"] == corners | {(63, -50), (63, -15), (71, -15), (71, -50)}
    corners = {(0, 0), (206, 0), (206, -30), (0, -30)}
    assert rings["divider 2"] == corners | {(127, 0), (127, -15), (133, -15), (133, 0)}


def test_the_solids_have_the_volumes_worked_by_hand_and_lie_below_zero(tmp_path: Path) -> None:
    for name, data in made(CROSSED, "step").items():
        (tmp_path / "it.step").write_bytes(data)
        solid = cq.importers.importStep(str(tmp_path / "it.step")).val()
        assert solid.Volume() == pytest.approx(AREAS[name] * THICK[name], rel=1e-9)
        ends = solid.BoundingBox()
        assert (ends.xmin, ends.ymax, ends.zmax) == pytest.approx((0, 0, 0), abs=1e-6)
        assert ends.zmin == pytest.approx(-THICK[name])
        assert len(solid.Faces()) == 6 + 3 + 1, "a block, the three walls of a notch, and the edge that it parts in two"
    for name, data in made(CROSSED, "stl").items():
        mesh = trimesh.load(io.BytesIO(data), file_type="stl")
        assert mesh.is_volume
        assert mesh.volume == pytest.approx(AREAS[name] * THICK[name], rel=1e-6)
        assert mesh.bounds[1] == pytest.approx((*({"divider 1": (166, 0), "divider 2": (206, 0)}[name]), 0), abs=1e-4)


def test_dovetails_are_left_to_the_hand_and_drawn_as_deep_as_their_housings() -> None:
    data = made(crate(("across", 90), more='joint = "sliding dovetail"\ndepth = 4'), "dxf")["divider 1"]
    drawing = ezdxf.read(io.StringIO(data.decode())).modelspace()
    spans = {}
    for ring in drawing.query("LWPOLYLINE"):
        across = [x for x, _ in ring.vertices()]
        spans.setdefault(ring.dxf.layer, []).append((min(across), max(across)))
    ends = [pytest.approx((0, 4), abs=1e-9), pytest.approx((164, 168))]
    assert sorted(spans["flat dovetail by hand"]) == ends
    assert spans["flat outline"] == [pytest.approx((0, 168))]
    assert any("by hand" in text.dxf.text for text in drawing.query("TEXT"))


# --- alike ones share ----------------------------------------------------------------------------

SQUARE = "inside_length = 160"


@pytest.fixture(scope="module")
def four() -> Job:
    """Two each way, at the same places of a square box: those that run along are the others, turned over."""
    text = BOX.replace("inside_length = 200", SQUARE) + crate(
        ("across", 40), ("across", 114), ("along", 40), ("along", 114)
    )
    return prove_layout(lay_out_box(check_box(raw_from(text, "box"))))


def test_dividers_that_are_alike_share_the_files_of_the_first(four: Job) -> None:
    files = {file.name: file.holds for file in files_of(four, "corner") if "divider" in file.name}
    assert list(files) == [f"boards/divider-1.{kind}" for kind in ("step", "stl", "dxf", "svg")]
    assert all(holds.endswith("the same for divider 2, divider 3 and divider 4") for holds in files.values())


def test_in_the_whole_box_they_are_one_part_that_is_placed_four_times(four: Job) -> None:
    data = next(file for file in files_of(four, "corner") if file.name == "box.step").make()
    names = [record.values[1] for record in read_step(data).all("PRODUCT")]
    assert [name for name in names if "divider" in name] == ["divider 1 and divider 2 and divider 3 and divider 4"]
    assert four.proof.passes, "each is where it should be"
    ends = {part.name: part.in_place for part in four.proof.cut if part.name.startswith("divider")}
    x, y = four.proof.box.inside[0][0], four.proof.box.inside[1][0]
    assert cq.Solid(ends["divider 2"]).BoundingBox().xmin == pytest.approx(x + 114)
    assert cq.Solid(ends["divider 4"]).BoundingBox().ymin == pytest.approx(y + 114)


def test_the_report_and_the_note_say_whose_files_serve(tmp_path: Path, four: Job) -> None:
    folder = write_files(four, tmp_path, only=("box-note.md", "divider-1.stl")).folder
    note = (folder / "box-note.md").read_text("utf-8")
    assert "boards/divider-1.stl" in note
    assert "boards/divider-1.step" not in note, "it was not asked for"
    records = json.loads((folder / "report.json").read_bytes())
    assert [record["files_of"] for record in records["dividers"]] == ["divider 1"] * 4
    assert "boards/divider-1.stl" in [record["name"] for record in records["files"]]


@pytest.mark.parametrize(
    "dividers",
    [
        crate(("across", 60)) + crate(("across", 120)).replace("thickness = 6", "thickness = 5"),
        crate(("across", 60)) + crate(("across", 120), more='wood = "maple"'),
        crate(("across", 60)) + crate(("along", 60)),
        CROSSED,
    ],
)
def test_others_have_files_of_their_own(dividers: str) -> None:
    assert list(made(dividers, "stl")) == ["divider 1", "divider 2"]
