"""A box in which nothing is alike: four thicknesses, four woods, four corners with listed tails of unequal widths, no
list the same from both edges; and its ways to stop, show or plug the groove, plane the faces and carry the tails."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from solids.layout.box.refusals import lay_out_box
from solids.recipe.text.reading import check_box
from solids.recipe.text.toml import Raw
from solids.write.files.table import Job, prove_layout
from tests.boxes import raw_from

TEXT = """
title = "lopsided box"
[joint]
slope = "1:7"
pin = 4
[tail_board]
thickness = 10
proud = 0.4
[pin_board]
thickness = 13
proud = 0.7
[entry_chamfer]
width = 0.6
[undercut]
depth = 0.2
[box]
length = 251
inside_width = 163
height = 112
[box.front]
thickness = 16
wood = "white oak"
[box.back]
thickness = 12.5
wood = "maple"
[box.left]
thickness = 11
wood = "cherry"
[box.right]
thickness = 13.5
wood = "walnut"
[box.joints.front_left]
spacing = [33, 15, 21, 11]
[box.joints.front_right]
spacing = [27, 39, 18]
slope = "1:6"
[box.joints.back_left]
spacing = [36, 22, 16]
pin = 6
slope = "1:8"
[box.joints.back_right]
spacing = [31, 44]
pin = 9
[box.groove]
width = 4.5
depth = 4
up = 17
[box.panel]
wood = "red oak"
"""

HALF_BLIND = ("box.joints.front_left.kind=half-blind", "box.joints.front_left.lap=5")

OVERRIDES: dict[str, tuple[str, ...]] = {
    "stopped": (*HALF_BLIND, "box.groove.ends=stopped", "finish.planing=0.3"),
    "hidden": (*HALF_BLIND, "box.groove.ends=hidden"),
    "through": (*HALF_BLIND, "box.groove.ends=through", "fit.flank_gap=0.04"),
    "plugged": (*HALF_BLIND, "box.groove.ends=plugged", "finish.planing=0.5"),
    "tails on the ends": ("box.tails_on=ends", "box.groove.depth=3.5", "finish.planing=0.2"),
    "ends left proud": ("finish.ends=proud", "box.groove.ends=through"),
    "back above the bottom": (
        *HALF_BLIND,
        "box.back_above_bottom=true",
        "finish.planing=0.2",
        "box.joints.back_left.spacing=[26, 20, 14]",
        "box.joints.back_right.spacing=[28, 33]",
    ),
}


def raw_lopsided(name: str, *overrides: str) -> Raw:
    return raw_from(TEXT, "lopsided", *OVERRIDES[name], *overrides)


LOPSIDED: dict[str, Callable[[], Raw]] = {name: lambda name=name: raw_lopsided(name) for name in OVERRIDES}  # type: ignore[misc]


@cache
def lopsided(name: str) -> Job:
    """One of OVERRIDES, proved once in a test run."""
    return prove_layout(lay_out_box(check_box(raw_lopsided(name))))
