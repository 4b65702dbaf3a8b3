"""Boxes that tests share; each is proved once in a test run."""

from __future__ import annotations

from functools import cache

from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.model.kernel import Mesh, mesh
from solids.proof.assembly import PieceProof
from solids.recipe.text.reading import check_box
from solids.recipe.text.texts import preset_text
from solids.recipe.text.toml import Raw, apply_override, parse_toml
from solids.write.files.table import Job, prove_layout

ODD = """
title = "odd box"
[joint]
half_pin = 7
[tail_board]
thickness = 10
wood = "cherry"
proud = 0.4
[pin_board]
thickness = 13
wood = "maple"
proud = 0.7
[entry_chamfer]
width = 0.6
[undercut]
depth = 0.2
[box]
length = 233
inside_width = 171
height = 104
[box.front]
thickness = 17
wood = "white oak"
[box.back]
thickness = 11
[box.left]
thickness = 9
[box.right]
thickness = 12
wood = "walnut"
[box.joints.front_left]
kind = "half-blind"
lap = 5
tails = 3
[box.joints.front_right]
spacing = [24, 17, 33]
half_pin = 12
pin = 3
[box.joints.back_left]
tails = 2
slope = "1:6"
[box.joints.back_right]
spacing = [30, 18, 22]
half_pin = 11
pin = 6
[box.groove]
width = 4
depth = 4.5
up = 15
[box.panel]
wood = "red oak"
"""
"""Nothing in it is alike: four thicknesses, four woods, four corners, no spacing that is the same from both edges. Its
tails are counted at two corners and listed at two; those of `tests/layout/lopsided.py` are all listed, and unequal."""

CASES: dict[str, tuple[str, ...]] = {
    "keepsake": ("keepsake-box",),
    "drawer": ("desk-drawer",),
    "odd": ("odd",),
    "odd, tails on the ends": ("odd", "box.tails_on=ends", "undercut.depth=0", "box.joints.front_left.lap=2"),
    "through groove": ("keepsake-box", "box.groove.ends=through"),
    "plugged": ("keepsake-box", "box.groove.ends=plugged", "finish.planing=0.3"),
    "ends left proud": ("keepsake-box", "finish.ends=proud", "finish.chamfer=0.3", "box.groove.ends=through"),
    "tight": ("keepsake-box", "fit.flank_gap=-0.02"),
    "no bottom": ("keepsake-box", "box.groove.width=0"),
    "inches": ("keepsake-box", "box.length=9.5 in", "box.width=6 1/4 in", "stock.length=40 in"),
    "drawer, planed": ("desk-drawer", "finish.planing=0.4", "undercut.depth=0.3"),
}


def raw_of(name: str, *overrides: str) -> Raw:
    return raw_from(ODD if name == "odd" else preset_text(name), name, *overrides)


def raw_from(text: str, name: str, *overrides: str) -> Raw:
    """A recipe's text with KEY=VALUE overrides."""
    raw = parse_toml(text, name)
    for item in overrides:
        assert apply_override(raw, item) is None
    return raw


@cache
def box_of(name: str, *overrides: str) -> BoxLayout:
    """A box laid out."""
    return lay_out_box(check_box(raw_of(name, *overrides)))


@cache
def job_of_box(name: str, *overrides: str) -> Job:
    """A proved box."""
    return prove_layout(box_of(name, *overrides))


def box_case(name: str) -> Job:
    """One of CASES, proved."""
    return job_of_box(*CASES[name])


def meshes_of(proof: PieceProof) -> dict[str, Mesh]:
    """The kernel's triangles of every part as cut, in its place, by its name."""
    return {part.name: mesh(part.in_place) for part in proof.cut}
