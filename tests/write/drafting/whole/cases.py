"""Boxes of all kinds, drawn once in a test run."""

from __future__ import annotations

from functools import cache

from solids.layout.box.refusals import lay_out_box
from solids.recipe.text.reading import check_box
from solids.recipe.text.toml import parse_toml
from solids.write.drafting.whole.drawings import Drawings
from solids.write.files.table import Job, prove_layout
from tests.boxes import CASES as BOXES
from tests.boxes import job_of_box

INCHES = """
title = "a box for letters, papers and everything else that lies about on a desk"
units = "in"
[joint]
half_pin = "5/16"
[tail_board]
thickness = "13/32"
wood = "cherry"
[pin_board]
thickness = "1/2"
wood = "maple"
[box]
length = "13 9/16"
width = "9 11/32"
height = "4 3/8"
[box.groove]
width = "3/16"
depth = "7/32"
up = "1/2"
[box.panel]
wood = "white pine"
"""

CASES: dict[str, tuple[str, ...]] = {
    **BOXES,
    "Letter": ("keepsake-box", "paper.size=Letter"),
    "A3": ("odd", "paper.size=A3"),
    "rebated": ("keepsake-box", "tail_board.rebate=2"),
    "feet": ("keepsake-box", "box.feet.height=12", "box.feet.width=30"),
    "fails": ("keepsake-box", "fit.flank_gap=-0.08"),
    "old release": ("keepsake-box", "paper.dxf_version=R12", "paper.dxf_units=in"),
    "large": ("desk-drawer", "box.length=900", "box.inside_width=520", "box.height=170", "stock.width=400"),
    "long and low": ("keepsake-box", "box.length=900", "box.width=90", "box.height=46", "box.groove.up=7"),
    "small": (
        "keepsake-box",
        "box.length=90",
        "box.width=70",
        "box.height=40",
        "box.groove.up=8",
        "box.groove.depth=3",
    ),
}


@cache
def job(name: str) -> Job:
    """A proved box of `CASES`, or the one in inches."""
    if name == "in inches":
        return prove_layout(lay_out_box(check_box(parse_toml(INCHES, name))))
    return job_of_box(*CASES[name])


def drawings(name: str) -> Drawings:
    return job(name).drawings


NAMES = [*CASES, "in inches"]
