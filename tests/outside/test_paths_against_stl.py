"""Each path of the drawing, run with the cutter that the note names for it, leaves the board of the STL file, but for
the corners that the note names.

The drawing is read with ezdxf, the STL with trimesh, and cut and compared with shapely; what is taken from us is the
text of the note alone: the layers, their cutters, where zero is, and how many corners a round cutter cannot reach.
"""

from __future__ import annotations

import io
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
from shapely.affinity import translate
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import polygonize

from solids.base.parsing import parse_length
from solids.write.drafting.views import shop_drawing
from solids.write.files.job import Job
from solids.write.formats import stl
from solids.write.notes import note
from solids.write.paper.dxf import dxf_bytes
from tests.boxes import job_of_box
from tests.corners import job_of, meshes

ROUND = 128
"""Pieces of a quarter circle of a cutter's sweep."""

CUTTERS = "kit.cutters=[2.4, 3, 6, 10]"

SLACK = 2e-3
"""Millimetres: a sweep's polygon at 25 mm, single precision of an STL, and the thousandth to which a layer tells."""

RECIPES: dict[str, tuple[str, ...]] = {
    "through": ("tool-tray", "kit.cutters=[2.2, 6, 12]"),
    "the case of the issue": ("tool-tray", "kit.cutters=[3, 6, 8]"),
    "half-blind": ("drawer-front", "kit.cutters=[3, 6, 12]"),
    "half-blind, one cutter": ("drawer-front", "kit.cutters=[3]"),
    "standing ends": ("shoe-bench", "kit.cutters=[6, 8, 16]"),
    "graduated": ("carcase", "kit.cutters=[4, 12]"),
    "listed, no symmetry": ("gauge-case", "joint.spacing=[10, 24, 15]", "joint.half_pin=13", "kit.cutters=[1.8, 6]"),
    "inches": ("tea-box", 'kit.cutters=["5/64", "3/32", "1/4"]'),
    "one tail, thick and thin": ("tool-tray", "joint.width=60", "joint.tails=1", "kit.cutters=[3, 25]"),
    "loose": ("blanket-chest", "fit.flank_gap=0.1", "kit.cutters=[5, 12]"),
}


@dataclass(frozen=True)
class Board:
    """What the note says of one board: layers and the diameters of their cutters, the move that takes the model to
    zero (X, Y, Z), and how many corners keep wood."""

    paths: tuple[tuple[str, float], ...]
    move: tuple[float, float, float]
    corners: int


def told(text: str) -> tuple[Board, Board]:
    """The tail board and the pin board, out of the words of the note."""
    flat = " ".join(text.split())
    tails, pins = re.split(r"## The pin board stands upright", flat.split("## The tail board lies flat")[1])
    pins = pins.split("## Feed and depth")[0]
    return _board(tails, r"This board has (\d+) such corners"), _board(pins, r"this board has (\d+) sharp corners")


def _board(words: str, counting: str) -> Board:
    paths = re.findall(r"`(CAM [^`]* D[^`]*)` for the ([^`]*?) cutter\b", words)
    move = re.search(r"move it by X (\S+) mm, Y (\S+) mm, Z (\S+) mm", words)
    assert move
    x, y, z = (float(step) for step in move.groups())
    count = re.search(counting, words)
    return Board(tuple((layer, parse_length(size)) for layer, size in paths), (x, y, z), int(count[1]) if count else 0)


def crosses(doc: Drawing) -> list[tuple[float, float]]:
    """The marks of zero: that of the tail board, and that of the pin board, which stands above it."""
    lines = [entity for entity in doc.modelspace().query("LINE") if entity.dxf.layer == "CAM zero"]
    level = [line for line in lines if abs(line.dxf.start.y - line.dxf.end.y) < 1e-9]
    middles = [((line.dxf.start.x + line.dxf.end.x) / 2, line.dxf.start.y) for line in level]
    return sorted(middles, key=lambda middle: middle[1])


def swept(doc: Drawing, board: Board, zero: tuple[float, float]) -> BaseGeometry:
    """All that the cutters take, from the note's zero."""
    taken = []
    for layer, diameter in board.paths:
        found = [entity for entity in doc.modelspace().query("LWPOLYLINE") if entity.dxf.layer == layer]
        assert found, layer
        for entity in found:
            assert entity.closed
            path = Polygon([(x, y) for x, y, *_ in entity.get_points()])
            taken.append(path.buffer(diameter / 2, quad_segs=ROUND))
    return translate(unary_union(taken), -zero[0], -zero[1])


def section(job: Job, which: int, board: Board) -> tuple[BaseGeometry, float]:
    """The board of the STL file, moved as the note says, cut level half-way down the cut; and the depth told by Z."""
    mesh_of = (meshes(job)[0], meshes(job)[1])[which]
    mesh = trimesh.load(io.BytesIO(stl.stl_bytes("board", mesh_of)), file_type="stl")
    mesh.apply_translation(board.move)
    depth = float(re.search(r" Z-([\d.]+)$", board.paths[0][0])[1])  # type: ignore[index]
    cut = trimesh.intersections.mesh_plane(mesh, plane_normal=(0, 0, 1), plane_origin=(0, 0, -depth / 2))
    pieces = [LineString(np.round(segment[:, :2], 5)) for segment in cut if math.dist(*segment) > 1e-4]
    return unary_union(list(polygonize(pieces))), depth


def check(job: Job, text: str, doc: Drawing, which: int) -> int:
    """Runs the paths of one board; returns how many there were."""
    board, zero = told(text)[which], crosses(doc)[which]
    if not board.paths:
        return 0
    meant, _ = section(job, which, board)
    left = box(*meant.bounds).difference(swept(doc, board, zero))
    assert meant.difference(left.buffer(SLACK)).area == 0, "no path cuts into the board"
    rest = left.difference(meant.buffer(SLACK))
    pieces = [piece for piece in getattr(rest, "geoms", [rest]) if piece.area > 0]
    last = board.paths[-1][1]
    angle = math.pi / 2 - job.layout.slope_rad
    square = int(job.layout.below > 0) if which == 0 else 0
    assert len(pieces) == board.corners + square
    for piece in pieces:
        assert piece.area <= max(_left(last, angle), _left(last, math.pi / 2)) + 0.05
        low_x, low_y, high_x, high_y = piece.bounds
        along = last / 2 / math.tan(angle / 2)
        assert max(high_x - low_x, high_y - low_y) <= along + SLACK
    return len(board.paths)


def _left(diameter: float, angle: float) -> float:
    radius = diameter / 2
    return radius**2 * (1 / math.tan(angle / 2) - (math.pi - angle) / 2)


def read(data: bytes) -> Drawing:
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


@pytest.mark.parametrize("name", RECIPES)
def test_the_paths_of_a_corner_leave_the_boards_of_the_stl_but_for_the_corners_named(name: str) -> None:
    job = job_of(*RECIPES[name])
    doc = read(dxf_bytes(shop_drawing(job.layout, "A4")))
    text = note.note_bytes(job.layout, job.proof, ()).decode("utf-8")
    runs = [check(job, text, doc, which) for which in (0, 1)]
    assert sum(runs) == len({e.dxf.layer for e in doc.modelspace() if " path D" in e.dxf.layer}) > 0


def corners_of_boxes() -> Iterator[tuple[str, int]]:
    """Presets and their kinds of corner: the drawer's back stands above its bottom, so that its sides run on there."""
    yield from (("keepsake-box", 0), ("desk-drawer", 0), ("desk-drawer", 1))


@pytest.mark.parametrize(("name", "which"), corners_of_boxes())
def test_the_paths_of_a_box_leave_the_ends_of_its_boards(name: str, which: int) -> None:
    """As for a corner, and by the same code; the note of a box tells no move, since its models stand in the box, so the
    corner's own note is asked for that."""
    corner = job_of_box(name, CUTTERS).joints[which]
    doc = read(dxf_bytes(shop_drawing(corner.layout, "A4")))
    text = note.note_bytes(corner.layout, corner.proof, ()).decode("utf-8")
    assert sum(check(corner, text, doc, board) for board in (0, 1)) > 0


def test_a_path_for_another_cutter_is_found_out() -> None:
    """The paths for 8 mm run with the 12 mm that a list of usual sizes would name."""
    job = job_of(*RECIPES["the case of the issue"])
    doc = read(dxf_bytes(shop_drawing(job.layout, "A4")))
    text = note.note_bytes(job.layout, job.proof, ()).decode("utf-8")
    assert "for the 8 mm cutter" in text
    with pytest.raises(AssertionError, match="no path cuts into the board"):
        check(job, text.replace("for the 8 mm cutter", "for the 12 mm cutter"), doc, 1)


def test_a_zero_that_is_off_is_found_out() -> None:
    job = job_of(*RECIPES["through"])
    doc = read(dxf_bytes(shop_drawing(job.layout, "A4")))
    for line in doc.modelspace().query("LINE"):
        if line.dxf.layer == "CAM zero":
            line.translate(0.01, 0, 0)
    text = note.note_bytes(job.layout, job.proof, ()).decode("utf-8")
    with pytest.raises(AssertionError):
        check(job, text, doc, 0)
