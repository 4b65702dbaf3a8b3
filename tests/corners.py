"""Proved corners that tests of files share: each is built once in a test run."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from solids.layout import Layout, lay_out
from solids.model.corner import Corner, corner_parts
from solids.model.kernel import Mesh, mesh
from solids.proof.joint.corner import Proof
from solids.recipe import parse_recipe, preset_names, preset_text
from solids.write.files.job import JointJob
from solids.write.files.table import GROUPS, Job, files_of, prove_layout
from solids.write.files.writing import File
from solids.write.formats.step import Product

PRESETS = preset_names()

CASES: dict[str, tuple[str, ...]] = {
    "through": ("tool-tray",),
    "half-blind": ("drawer-front",),
    "ends left proud, chamfered": ("shoe-bench",),
    "graduated": ("carcase",),
    "listed, no symmetry": ("gauge-case", "joint.spacing=[10, 24, 15]", "joint.half_pin=13"),
    "inches": ("tea-box",),
    "tight": ("tool-tray", "fit.flank_gap=-0.03"),
    "loose": ("tool-tray", "fit.flank_gap=0.1"),
    "tight half-blind": ("drawer-front", "fit.flank_gap=-0.04"),
    "one tail": ("tool-tray", "joint.width=30", "joint.tails=1"),
    "faces planed": ("drawer-front", "finish.planing=0.7"),
    "unequal ends": ("tool-tray", "tail_board.proud=1.3", "pin_board.proud=0"),
}
"""A preset's name and what is set otherwise, by what is special about the joint."""


@cache
def layout_of(preset: str = "tool-tray", *overrides: str) -> Layout:
    """The layout of a preset with KEY=VALUE overrides; no kernel."""
    return lay_out(parse_recipe(preset_text(preset), preset, overrides))


@cache
def piece_of(preset: str = "tool-tray", *overrides: str) -> Job:
    """The proved piece of a preset with KEY=VALUE overrides."""
    return prove_layout(layout_of(preset, *overrides))


def job_of(preset: str = "tool-tray", *overrides: str) -> JointJob:
    """Its one joint."""
    (joint,) = piece_of(preset, *overrides).joints
    return joint


def meshes(job: JointJob) -> tuple[Mesh, Mesh]:
    """The kernel's triangles of the tail board and the pin board as cut."""
    return mesh(job.cut.tail_board), mesh(job.cut.pin_board)


def step_parts(corner: Corner) -> list[Product]:
    """Both boards as a STEP file takes them."""
    return [Product(part.name, part.solid, part.wood, faces=part.faces) for part in corner_parts(corner)]


def file_named(job: JointJob, name: str) -> File:
    """One of the files of its piece."""
    return next(file for group in GROUPS for file in files_of(job.job, group) if file.name == name)


def made(job: JointJob, name: str) -> bytes:
    """Its bytes."""
    return file_named(job, name).make()


def judged(piece: Job, proof: Proof) -> Job:
    """The same piece with another proof of its joint."""
    (joint,) = piece.proof.joints
    other = replace(joint, proof=proof, passes=proof.passes)
    return Job(replace(piece.proof, joints=(other,), findings=proof.findings))


CORNER_FILES = (
    *("corner.step", "corner-finished.step", "waste.step", "boards/tail-board.step", "boards/pin-board.step"),
    *(f"boards/{board}.{kind}" for kind in ("stl", "dxf", "svg") for board in ("tail-board", "pin-board")),
    *("bill-of-materials.csv", "cnc-jig-note.md", "booklet.pdf"),
)
"""What comes with every corner, in the order of the table."""
STEP_FILES = tuple(name for name in CORNER_FILES[:5] if name != "waste.step")
"""Those with whole boards in them."""


def case(name: str) -> JointJob:
    """The proved corner of one of CASES."""
    return job_of(*CASES[name])


def titled(title: str) -> JointJob:
    """The tool tray under another title."""
    return titled_piece(title).joints[0]


def titled_piece(title: str) -> Job:
    """The same as a piece."""
    return piece_of("tool-tray", "title=" + '"' + title.replace('"', '\\"') + '"')
