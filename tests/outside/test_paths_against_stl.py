"""Each path in the drawing of a board, run with the cutter that its layer names down to the depth that it names, leaves
the board of the STL file, level by level, but for the corners that a round cutter cannot reach.

The drawing is read with ezdxf, the STL with trimesh, and cut and compared with shapely. How a board is turned from one
setup to the next is written out here, from the words of the note.
"""

from __future__ import annotations

import io
import itertools
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

import ezdxf
import numpy as np
import pytest
import trimesh
from ezdxf.document import Drawing
from shapely import unary_union
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import polygonize

from solids.layout.setups import MachineBoard, Setup
from solids.write.files.job import Job
from solids.write.files.table import files_of
from tests.boxes import job_of_box
from tests.corners import job_of

ROUND = 128
"""Pieces of a quarter circle of a cutter's sweep."""

CUTTERS = "kit.cutters=[2, 3, 6, 10]"

SLACK = 2e-3
"""Millimetres: a sweep's polygon at 25 mm, single precision of an STL, and the thousandth to which a layer tells."""

CORNERS: dict[str, tuple[str, ...]] = {
    "through": ("tool-tray", "kit.cutters=[2.2, 6, 12]"),
    "three cutters": ("tool-tray", "kit.cutters=[3, 6, 8]", "joint.pin=5"),
    "half-blind": ("drawer-front", "kit.cutters=[3, 6, 12]"),
    "half-blind, one cutter": ("drawer-front", "kit.cutters=[3]"),
    "standing ends": ("shoe-bench", "kit.cutters=[6, 8, 16]"),
    "graduated": ("carcase", "kit.cutters=[4, 12]"),
    "listed, no symmetry": ("gauge-case", "joint.spacing=[10, 24, 15]", "joint.half_pin=13", "kit.cutters=[1.8, 6]"),
    "inches": ("tea-box", 'kit.cutters=["5/64", "3/32", "1/4"]'),
    "a file in inches": ("tool-tray", "kit.cutters=[2.2, 6, 12]", 'paper.dxf_units="in"'),
    "an old file": ("tool-tray", "kit.cutters=[2.2, 6, 12]", 'paper.dxf_version="R12"'),
    "a new file": ("tool-tray", "kit.cutters=[2.2, 6, 12]", 'paper.dxf_version="R2018"'),
    "one tail, thick and thin": ("tool-tray", "joint.width=60", "joint.tails=1", "kit.cutters=[3, 25]"),
    "loose": ("blanket-chest", "fit.flank_gap=0.1", "kit.cutters=[5, 12]"),
}
BOXES: dict[str, tuple[str, ...]] = {
    "keepsake-box": ("keepsake-box", CUTTERS),
    "its groove takes one round": ("keepsake-box", "kit.cutters=[2, 5]"),
    "stopped": ("keepsake-box", CUTTERS, 'box.groove.ends="stopped"'),
    "a back above the bottom": ("desk-drawer", CUTTERS),
}


@dataclass(frozen=True)
class Path:
    """A line of a drawing: the setup and part that its layer names, depth and diameter in mm, and where it runs."""

    setup: str
    part: str
    diameter: float
    depth: float
    line: LineString

    @property
    def taken(self) -> BaseGeometry:
        """What the cutter takes along it."""
        return self.line.buffer(self.diameter / 2, quad_segs=ROUND)


def file_of(job: Job, name: str) -> bytes:
    (file,) = [file for file in files_of(job, "corner") if file.name == name]
    return file.make()


def paths_of(doc: Drawing, mm: float, r12: bool) -> Iterator[Path]:
    pattern = (
        r"(.+)_(CLEAR|LAST|RELIEF)_D([\d_]+)_Z-([\d_]+)" if r12 else r"(.+) (clear|last|relief) D([\d.]+) Z-([\d.]+)"
    )
    for entity in doc.modelspace():
        found = re.fullmatch(pattern, entity.dxf.layer)
        if not found:
            continue
        if entity.dxftype() == "LINE":
            points = [tuple(entity.dxf.start)[:2], tuple(entity.dxf.end)[:2]]
        else:
            assert entity.is_closed if entity.dxftype() == "POLYLINE" else entity.closed
            flat = [tuple(v.dxf.location)[:2] for v in entity.vertices] if r12 else [p[:2] for p in entity.get_points()]
            ring = Polygon(flat)
            assert ring.is_valid, "a ring that touches itself"
            assert not ring.exterior.is_ccw, "the last round runs clockwise"
            points = [*flat, flat[0]]
        setup, part, diameter, depth = found.groups()
        figures = [float(told.replace("_", ".")) * mm for told in (diameter, depth)]
        line = LineString([(x * mm, y * mm) for x, y in points])
        yield Path(setup.replace("_", " ").lower(), part.lower(), *figures, line)


def turned(mesh: trimesh.Trimesh, board: MachineBoard, setup: Setup) -> trimesh.Trimesh:
    """The model as another setup holds it. It stands with one end up: upside down about the axis that points away from
    you the other end is up; and laid on its show face, with that first end to the right, the inside face is up."""
    made = mesh.copy()
    if setup is board.lies:
        return made
    x, y, z = made.vertices.T
    high = z.max() - z.min()
    made.vertices = np.column_stack((z + high, -x, -y) if setup.is_flat else (-x, y, -z - high))
    if np.linalg.det([[0, 0, 1], [-1, 0, 0], [0, -1, 0]]) < 0:
        made.invert()
    return made


def section(mesh: trimesh.Trimesh, z: float) -> BaseGeometry:
    cut = trimesh.intersections.mesh_plane(mesh, plane_normal=(0, 0, 1), plane_origin=(0, 0, z))
    pieces = [LineString(np.round(segment[:, :2], 5)) for segment in cut if math.dist(*segment) > 1e-4]
    found = list(polygonize(pieces))
    holes = [Polygon(ring) for piece in found for ring in piece.interiors]
    return unary_union([piece for piece in found if not any(piece.equals(hole) for hole in holes)])


def check(job: Job, board: MachineBoard, spoil: float = 0.0) -> int:
    """Runs the paths of one board; returns how many there were. `spoil` moves them."""
    name, paper = board.name.replace(" ", "-"), board.recipe.paper
    text = file_of(job, f"boards/{name}.dxf").decode("utf-8")
    doc = ezdxf.read(io.StringIO(text))
    mesh = trimesh.load(io.BytesIO(file_of(job, f"boards/{name}.stl")), file_type="stl")
    paths = list(paths_of(doc, 25.4 if paper.dxf_units == "in" else 1.0, paper.dxf_version == "R12"))
    for setup in board.setups:
        own = [path for path in paths if path.setup == setup.name]
        here = turned(mesh, board, setup)
        assert here.bounds[1][2] == pytest.approx(0.0, abs=1e-4)
        depths = sorted({0.0, *(path.depth for path in own)})
        for above, below in itertools.pairwise(depths):
            meant = section(here, -(above + below) / 2)
            blank = box(setup.x[0], setup.y[0], setup.x[1], setup.y[1])
            swept = unary_union([path.taken for path in own if path.depth >= below - 1e-9])
            left = blank.difference(_moved(swept, spoil))
            if setup.is_flat and not setup.joints:  # its ends are cut upright
                right, left_end = (each.joints[0].layout.as_cut.pin_end for each in board.setups[:2])
                between = box(left_end, setup.y[0], setup.x[1] - right, 0.0)
                meant, left = meant.intersection(between), left.intersection(between)
            assert meant.difference(left.buffer(SLACK)).area == 0, "no path cuts into the board"
            rest = left.difference(meant.buffer(SLACK))
            pieces = [piece for piece in getattr(rest, "geoms", [rest]) if piece.area > 0]
            assert len(pieces) == expected_corners(board, setup, below)
            last = [path.diameter for path in own if path.part == "last"]
            assert all(piece.area <= (max(last) / 2) ** 2 for piece in pieces)
    return len(paths)


def _moved(shape: BaseGeometry, by: float) -> BaseGeometry:
    from shapely.affinity import translate

    return translate(shape, by, 0.0)


def expected_corners(board: MachineBoard, setup: Setup, depth: float) -> int:
    """Acute corners of the sockets that go so deep: two to a tail; one more, square, beside a strip that runs on; and
    two at each stopped end of a groove."""
    count = 0
    for joint in setup.joints:
        layout = joint.layout
        acute = joint.kind == "tail board" or layout.is_half_blind
        count += 2 * len(layout.tails) * acute + (joint.kind == "tail board" and layout.below > 0)
    for groove in setup.grooves:
        if depth <= groove.depth + 1e-9:
            count += 2 * sum(groove.stops)
    return count


@pytest.mark.parametrize("name", [*CORNERS, *BOXES])
def test_the_paths_leave_the_boards_of_the_stl_but_for_the_corners(name: str) -> None:
    job = job_of(*CORNERS[name]).job if name in CORNERS else job_of_box(*BOXES[name])
    runs = [check(job, board) for board in job.boards.values() if board.name != "bottom"]
    assert any(runs)


def test_a_path_that_is_off_is_found_out() -> None:
    job = job_of(*CORNERS["through"]).job
    with pytest.raises(AssertionError):
        check(job, job.boards["tail board"], spoil=0.01)


@pytest.mark.parametrize("name", [*CORNERS, *BOXES])
def test_nothing_stands_in_the_middle_of_what_is_cleared(name: str) -> None:
    """All of each area but the corners is swept: a piece that is left free could be thrown."""
    job = job_of(*CORNERS[name]).job if name in CORNERS else job_of_box(*BOXES[name])
    for board in job.boards.values():
        paper = board.recipe.paper
        mm, r12 = 25.4 if paper.dxf_units == "in" else 1.0, paper.dxf_version == "R12"
        file = f"boards/{board.name.replace(' ', '-')}.dxf"
        doc = ezdxf.read(io.StringIO(file_of(job, file).decode("utf-8")))
        paths = list(paths_of(doc, mm, r12))
        drawn, swept = {path.setup for path in paths}, unary_union([path.taken for path in paths])
        for entity in doc.modelspace():
            setup = re.split(r"[ _](?:sockets|groove)[ _]", entity.dxf.layer, flags=re.IGNORECASE)[0]
            if setup.replace("_", " ").lower() not in drawn:
                continue
            if not re.search(r"[ _](sockets|groove)[ _]Z", entity.dxf.layer, re.IGNORECASE):
                continue
            flat = [tuple(v.dxf.location)[:2] for v in entity.vertices] if r12 else [p[:2] for p in entity.get_points()]
            area = Polygon([(x * mm, y * mm) for x, y in flat])
            rest = area.difference(swept.buffer(SLACK))
            corners = unary_union([LineString([point, point]).buffer(7.0) for point in area.exterior.coords])
            assert rest.difference(corners).area == 0, entity.dxf.layer
