"""A chest whose lid is sawn off, and boxes whose lids are boards of their own, for the tests that share them."""

from __future__ import annotations

from functools import cache

from hypothesis import strategies as st

from solids.base.errors import RecipeError
from solids.layout.box.model import BoxLayout
from solids.layout.plan import plan
from solids.proof.assembly import prove_piece

CHEST = """\
title = "tea chest"
units = "mm"
[tail_board]
thickness = 12
wood = "walnut"
[pin_board]
thickness = 12
wood = "walnut"
[box]
length = 300
width = 200
height = 140
[box.groove]
width = 5
[box.lid]
at = 95
"""
"""Half pins of 5, pins of 3, slopes of 1:8, three tails below the cut and two above it."""

HINGES = (
    "box.lid.hinge.leaf=40",
    "box.lid.hinge.width=9",
    "box.lid.hinge.thickness=1.5",
    "box.lid.hinge.barrel=4",
)
"""Two butt hinges, by rule as far from the ends as they are long."""

LINING = ("box.lid.lining.thickness=5", "box.lid.lining.stands=6", "box.lid.lining.clearance=0.2")
"""A lining that the lid goes over."""


LIFT_OFF = CHEST.replace("at = 95", 'kind = "lift off"')
"""Its lid is of walnut, 306 by 206 and 12 thick, and drops 6 between boards 276 and 176 apart."""

HINGED = CHEST.replace("at = 95", 'kind = "hinged"')
"""Its lid is of walnut, 306 by 203 and 12 thick; it takes `HINGES`."""


@cache
def chest(*overrides: str, text: str = CHEST) -> BoxLayout:
    """The chest laid out."""
    box = plan(text, overrides)
    assert isinstance(box, BoxLayout)
    return box


@st.composite
def lids(draw: st.DrawFn) -> tuple[str, ...]:
    """Changes of the chest: another height, cut, joint, bottom and top, with hinges, a lining, or neither."""
    height = draw(st.integers(60, 260))
    return (
        *draw(st.sampled_from([(), HINGES, LINING, LINING[1:]])),
        f"box.height={height}",
        f"box.lid.at={draw(st.floats(0.3, 0.9)) * height:.1f}",
        f"box.lid.kerf={draw(st.sampled_from([0.5, 1, 3.2]))}",
        f"box.lid.planing={draw(st.sampled_from([0, 0.3, 1]))}",
        f"tail_board.thickness={draw(st.integers(8, 20))}",
        f"pin_board.thickness={draw(st.integers(8, 20))}",
        f"joint.spacing={draw(st.sampled_from(['even', 'graduated', 'by eye']))}",
        f"joint.kind={draw(st.sampled_from(['through', 'half-blind']))}",
        f"box.tails_on={draw(st.sampled_from(['sides', 'ends']))}",
        f"box.groove.width={draw(st.sampled_from([0, 4, 6]))}",
        f"box.lid.panel.kind={draw(st.sampled_from(['solid', 'plywood']))}",
        f"fit.flank_gap={draw(st.sampled_from([0, 0, -0.02, 0.05]))}",
    )


@st.composite
def lid_boards(draw: st.DrawFn) -> tuple[str, ...]:
    """Changes of the chest: a lid that is a board of its own, another size, joint, wood and bottom, with a divider or
    without."""
    hinged = draw(st.booleans())
    own = HINGES if hinged else (f"box.lid.drop={draw(st.floats(0.5, 12)):.1f}",)
    return (
        *own,
        f"box.lid.kind={'hinged' if hinged else 'lift off'}",
        *(() if hinged else (f"box.lid.panel.clearance={draw(st.sampled_from([0, 0.1, 0.5]))}",)),
        *draw(st.sampled_from([(), ("box.divider=[{}]",)])),
        f"box.lid.overhang={draw(st.sampled_from([0, 3, 10]))}",
        f"box.lid.panel.kind={draw(st.sampled_from(['solid', 'plywood']))}",
        f"box.lid.panel.wood={draw(st.sampled_from(['walnut', 'beech', 'spruce']))}",
        f"box.height={draw(st.integers(30, 200))}",
        f"box.width={draw(st.sampled_from([80, 200, 700]))}",
        f"tail_board.thickness={draw(st.integers(8, 20))}",
        f"pin_board.thickness={draw(st.integers(8, 20))}",
        f"finish.planing={draw(st.sampled_from([0, 0.4, 1.5]))}",
        f"joint.kind={draw(st.sampled_from(['through', 'half-blind']))}",
        f"box.tails_on={draw(st.sampled_from(['sides', 'ends']))}",
        f"box.groove.width={draw(st.sampled_from([0, 4, 6]))}",
    )


def a_lid_board_is_proved_or_refused(overrides: tuple[str, ...]) -> None:
    a_lid_is_proved_or_refused(overrides, LIFT_OFF)


def a_lid_is_proved_or_refused(overrides: tuple[str, ...], text: str = CHEST) -> None:
    try:
        box = plan(text, overrides)
    except RecipeError as err:
        assert all(problem.key and problem.wrong and problem.remedy for problem in err.told)
        return
    failed = [each for each in prove_piece(box).findings if each.severity == "fail"]
    assert not [each.words for each in failed if each.code.startswith(("lid", "box", "ring", "order"))]
