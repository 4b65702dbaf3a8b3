"""Recipes for the tests: a small whole one, a minimal one, and random ones that are often but not always acceptable."""

from __future__ import annotations

import tomllib
from typing import Any

import tomlkit
from hypothesis import strategies as st

from solids.base.errors import InputError, RecipeError, Told
from solids.layout import Layout, lay_out, with_layout_problems
from solids.recipe import Recipe, parse_recipe

MINIMAL = """\
[joint]
width = 96
[tail_board]
thickness = 10
[pin_board]
thickness = 12
"""
"""The three required keys and no more: everything else is chosen by a rule."""

WHOLE = """\
title = "small tray"
[joint]
kind = "through"
width = 96
tails = 4
slope = "1:7"
pin = 3
half_pin = 6
spacing = "even"
[tail_board]
thickness = 10
length = 120
wood = "cherry"
sawn = "flat"
proud = 0.5
[pin_board]
thickness = 12
length = 110
wood = "maple"
sawn = "quarter"
proud = 0.25
[fit]
flank_gap = 0
sigma = "0.05 mm"
[finish]
ends = "flush"
planing = 0
"""
"""Nothing left out and no two sizes alike that could be confused: tails of (96 - 2 x 6 - 3 x 3) / 4 = 18.75 mm."""

HALF_BLIND = ("joint.kind=half-blind", "joint.lap=3", "tail_board.proud=0")
"""Overrides that make either text a half-blind joint of depth 12 - 3 = 9 mm."""

STANDING = ("tail_board.proud=3", "pin_board.proud=2", "finish.ends=proud", "finish.chamfer=1.5")
"""Overrides that leave the ends of either text standing, with chamfered edges."""

IRREGULAR = """\
[joint]
width = 100
flanks = [[0, 0], [20, 18], [26, 28], [50, 50], [57, 56], [88, 85]]
mitre = { other = 6 }
[tail_board]
thickness = 12
length = 100
proud = 0
rebate = 2
[pin_board]
thickness = 10
length = 50
proud = 0
"""
"""A half tail at the reference edge, a square flank, one that runs outward, a rebate and a mitre at the other edge."""

IRREGULAR_CASES: dict[str, tuple[str, ...]] = {
    "by hand": (),
    "tight": ("fit.flank_gap=-0.04",),
    "loose": ("fit.flank_gap=0.06",),
    "chamfered, hollow": ("entry_chamfer.width=1", "entry_chamfer.back=2", "undercut.depth=0.3", "undercut.land=1.5"),
    "planed": ("finish.planing=0.3", "tail_board.proud=0.6", "pin_board.proud=0.5"),
    "left proud": ("finish.ends=proud", "finish.chamfer=1", "tail_board.proud=2", "pin_board.proud=1.5"),
    "half-blind": ("joint.kind=half-blind", "joint.lap=3", "joint.mitre={}", "undercut.depth=0.2", "undercut.land=1"),
}
"""Overrides of that, by what is special about it."""


def recipe(*overrides: str, text: str = MINIMAL) -> Recipe:
    """The recipe in a text with KEY=VALUE overrides applied."""
    return parse_recipe(text, "recipe", overrides)


def laid_out(*overrides: str, text: str = MINIMAL) -> Layout:
    """The layout of a text with KEY=VALUE overrides applied."""
    return lay_out(recipe(*overrides, text=text))


def problems(*overrides: str, text: str = MINIMAL) -> tuple[Told, ...]:
    """Every problem of a text with overrides, keys and layout together as a maker sees them; none where accepted."""
    try:
        laid_out(*overrides, text=text)
    except RecipeError as err:
        return with_layout_problems(err).told
    return ()


def keys_of(found: tuple[Told, ...]) -> list[str]:
    """The keys that problems name, in order."""
    return [problem.key for problem in found]


def only_problem(*overrides: str, text: str = MINIMAL) -> Told:
    """The one problem that a text with overrides has."""
    (problem,) = problems(*overrides, text=text)
    return problem


def choice(key: str, *overrides: str, text: str = MINIMAL) -> tuple[str, str]:
    """The value in words and the rule of the one choice made for a key."""
    (made,) = (made for made in recipe(*overrides, text=text).choices if made.key == key)
    return made.value, made.rule


def try_lay_out(text: str) -> Layout | None:
    """The layout of a text, or None where it is refused with a message."""
    try:
        return laid_out(text=text)
    except InputError:
        return None


# --- random recipes ------------------------------------------------------------------------------


def sizes(least: float, most: float) -> st.SearchStrategy[float]:
    """Lengths in mm that a maker would write: steps of 0.05 mm."""
    return st.integers(round(least * 20), round(most * 20)).map(lambda steps: steps / 20)


WOOD_NAMES = ("beech", "cherry", "maple", "white oak", "walnut", "white pine", "douglas-fir", "spruce")
OWN_WOODS = (
    {"assumed": "ash"},
    {"name": "pear", "kind": "hardwood", "density": 690},
    {"name": "larch", "kind": "softwood", "density": 590.5},
    {"name": "plum", "kind": "hardwood", "density": 750, "radial": 0.0019, "tangential": 0.0034},
    {"kind": "softwood", "density": 420, "shear": 8.5, "bending": 70, "compression": 4},
)
GAPS = (-0.05, -0.02, 0, 0.0005, 0.01, 0.05, 0.1, 0.2)
AIRS = ("20 C, 50 %", "18.5 C, 62 %", "68 F, 35 %", "5 C, 80 %")
SLOPES = ("1:4", "1:5", "1:6", "1:7", "1:8", "1:7.5", "1:10", "8 deg", "10.5 deg")


@st.composite
def boards(draw: st.DrawFn) -> dict[str, Any]:
    """The table of one board, most of it often left out."""
    return draw(
        st.fixed_dictionaries(
            {"thickness": st.one_of(sizes(5, 28), sizes(5, 28).map(lambda mm: [round(mm - 0.3, 2), mm]))},
            optional={
                "length": sizes(20, 300),
                "wood": st.sampled_from((*WOOD_NAMES, *OWN_WOODS)),
                "sawn": st.sampled_from(("flat", "quarter")),
                "proud": st.sampled_from((0, 0.25, 0.5, 1, 2.5)),
                "cup": st.sampled_from((0, 0.2, 1)),
            },
        )
    )


@st.composite
def raw_recipes(draw: st.DrawFn, max_tails: int = 12) -> dict[str, Any]:
    """The tables of a recipe of at most `max_tails` tails, all lengths in mm."""
    tails = draw(st.integers(1, max_tails))
    pin, half_pin = draw(sizes(1, 8)), draw(sizes(5, 16))
    widths = draw(st.lists(sizes(8, 40), min_size=tails, max_size=tails))
    joint: dict[str, Any] = {
        "width": round(sum(widths) + (tails - 1) * pin + 2 * half_pin, 2),
        "pin": pin,
        "slope": draw(st.sampled_from(SLOPES)),
        "kind": draw(st.sampled_from(("through", "through", "half-blind"))),
        "spacing": draw(st.sampled_from(("even", "even", "graduated", "by eye", widths))),
    }
    if isinstance(joint["spacing"], str):
        joint |= {"tails": tails, "half_pin": half_pin}
    if joint["spacing"] == "graduated":
        joint["grading"] = draw(st.sampled_from((-0.1, 0, 0.1, 0.25, 1)))
    if joint["spacing"] == "by eye" and draw(st.booleans()):
        joint["seed"] = draw(st.integers(1, 999_999))
    for key in draw(st.lists(st.sampled_from(("pin", "slope", "kind", "half_pin", "grading")), max_size=3)):
        joint.pop(key, None)
    raw = {
        "joint": joint,
        "tail_board": draw(boards()),
        "pin_board": draw(boards()),
        "fit": draw(st.fixed_dictionaries({}, optional={"flank_gap": st.sampled_from(GAPS)})),
        "finish": draw(finishes()),
        "entry_chamfer": draw(st.sampled_from(({}, {}, {"width": 0.5}, {"width": 1, "back": 2}))),
        "undercut": draw(st.sampled_from(({}, {}, {"depth": 0.2}, {"depth": 0.4, "land": 1.5}))),
        "climate": draw(
            st.fixed_dictionaries({}, optional={"shop": st.sampled_from(AIRS), "home": st.sampled_from(AIRS)})
        ),
        "paper": draw(st.sampled_from(({}, {}, {"size": "A3"}, {"size": "Letter", "corner_relief": True}))),
        "kit": draw(st.sampled_from(({}, {}, {"cutters": [3, 6.35]}, {"chisels": [4, 10], "cutters": [12]}))),
    }
    if joint.get("kind") == "half-blind":
        raw["tail_board"].pop("proud", None)
        if draw(st.booleans()):
            joint["lap"] = draw(sizes(1, 8))
    return raw


@st.composite
def finishes(draw: st.DrawFn) -> dict[str, Any]:
    """The table `finish`: mostly flush, at times standing proud or planed."""
    return draw(
        st.sampled_from(
            (
                {},
                {"ends": "flush"},
                {"ends": "flush", "planing": 0.3},
                {"ends": "proud"},
                {"ends": "proud", "chamfer": 0.2},
                {"ends": "proud", "chamfer": 0},
            )
        )
    )


def in_inches(raw: dict[str, Any]) -> dict[str, Any]:
    """The same recipe as an inch recipe whose lengths carry their own unit."""
    lengths = ("width", "pin", "half_pin", "lap", "thickness", "length", "proud", "flank_gap", "chamfer", "planing")
    lengths += ("back", "depth", "land", "cup")

    def in_mm(value: Any) -> Any:
        return [f"{item} mm" for item in value] if isinstance(value, list) else f"{value} mm"

    whole: dict[str, Any] = {"units": "in"}
    for name, table in raw.items():
        own = (*lengths, "width") if name == "entry_chamfer" else lengths
        whole[name] = {key: in_mm(value) if key in own else value for key, value in table.items()}
        if name == "kit":
            whole[name] = {key: in_mm(values) for key, values in table.items()}
    if isinstance(raw["joint"]["spacing"], list):
        whole["joint"]["spacing"] = in_mm(raw["joint"]["spacing"])
    return whole


@st.composite
def recipe_texts(draw: st.DrawFn, max_tails: int = 12) -> str:
    """A TOML text of a recipe of at most `max_tails` tails: kinds, spacings, gaps, finishes, woods and units vary.
    It parses as TOML and holds known keys only; most of the texts can be laid out, the others are refused."""
    raw = draw(raw_recipes(max_tails))
    text = tomlkit.dumps(in_inches(raw) if draw(st.booleans()) else raw)
    tomllib.loads(text)
    return text
