"""A joint in which nothing is alike, worked out by hand: a half tail, a square flank, a rebate and a mitred shoulder.

Boards 96 mm wide; the tail board 10 thick, its ends 1.2 proud, the pin board 12 thick, its ends 0.8 proud, 0.5 planed
off both show faces. At the finished face Y = 12 and, 12/N further in, at the baseline Y = 0:

    tail 1, a half tail   0 to 20    right flank 1:6                          baseline  0    to 18
    tail 2               26 to 50    left flank 1:5, right flank square       baseline 28.4  to 50
    tail 3               56 to 80    left flank 1:8, right flank 1:9          baseline 57.5  to 80 - 4/3
    half pin             80 to 90    mitred from 90 to 96

The rebate is 2 deep, so that tails are 8 thick. The mitre runs from (0, 2) to (11.5, 9.5) in (Y, Z).
"""

from __future__ import annotations

import math
from functools import cache

from solids.layout import Layout, lay_out, place
from solids.recipe import parse_recipe
from solids.write.files.job import JointJob
from solids.write.files.table import prove_layout

TEXT = """
title = "by hand"
[joint]
width = 96
flanks = [0, [20, 18], [26, 28.4], [50, 50], [56, 57.5], [80, 78.66666666666667]]
edges = ["half tail", "half pin"]
mitre = { other = 6 }
[tail_board]
thickness = 10
length = 120
proud = 1.2
rebate = 2
wood = "cherry"
[pin_board]
thickness = 12
length = 120
proud = 0.8
wood = "maple"
[finish]
planing = 0.5
"""

FLANKS = ((20.0, 6.0), (26.0, -5.0), (50.0, math.inf), (56.0, -8.0), (80.0, 9.0))
"""Each flank by its X at the finished face, and by how many mm toward the baseline it moves 1 mm toward X = 0."""


@cache
def irregular(*overrides: str, mirrored: bool = False) -> Layout:
    """The layout, with KEY=VALUE overrides."""
    recipe = parse_recipe(TEXT, "by hand", overrides)
    return place(recipe, mirrored=True) if mirrored else lay_out(recipe)


@cache
def irregular_job(*overrides: str) -> JointJob:
    """The proved joint."""
    (joint,) = prove_layout(irregular(*overrides)).joints
    return joint


def at(y: float) -> list[float]:
    """The X of all flanks of the tails at Y = y, by hand."""
    return [x - (12.0 - y) / ratio for x, ratio in FLANKS]
