"""Advice that holds when it is taken: pieces to refuse, and each value that a refusal tells typed in as it is told."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from hypothesis import strategies as st

from solids.base.errors import RecipeError, Told
from solids.layout.plan import plan_of
from solids.recipe.text.toml import apply_override, parse_toml
from tests.recipe.test_boxes import PLAIN

CORNER = """
[joint]
width = 96
tails = 3
[tail_board]
thickness = 12
[pin_board]
thickness = 14
"""
CORNER_IN_INCHES = """
units = "in"
[joint]
width = "3 3/4 in"
tails = 3
[tail_board]
thickness = "1/2 in"
[pin_board]
thickness = "9/16 in"
"""
BOX_IN_INCHES = 'units = "in"\n' + re.sub(
    r"\b(length|width|height|thickness|half_pin|depth|up) = (\d+)", r'\1 = "\2 mm"', PLAIN
)
BOX_FROM_INSIDE = PLAIN.replace("height = 80", "inside_height = 65")

LENGTH = re.compile(r"-?\d+(?:\.\d+)?(?: \d+/\d+|/\d+)?(?: mm| in)\b")
EASY = re.compile(r"0|-?(?:\d+(?:\.\d\d?)? mm|\d+(?:\.\d\d?\d?)? in|(?:\d+ )?\d+/\d+ in|0\.0+\d\d?(?: mm| in))")


Refused = Callable[[Sequence[str]], Sequence[Told]]


def refused_of(text: str) -> Refused:
    """What is said against a recipe with some overrides."""

    def problems(overrides: Sequence[str]) -> Sequence[Told]:
        tables = parse_toml(text, "test")
        assert not [problem for item in overrides if (problem := apply_override(tables, item))]
        try:
            plan_of(tables)
        except RecipeError as err:
            return err.told
        return ()

    return problems


PIECES = {
    "corner": refused_of(CORNER),
    "corner in inches": refused_of(CORNER_IN_INCHES),
    "box": refused_of(PLAIN),
    "box in inches": refused_of(BOX_IN_INCHES),
    "box from inside": refused_of(BOX_FROM_INSIDE),
}


def advice_holds(refused: Refused, overrides: Sequence[str]) -> int:
    """How many values were told; each is typed in, and nothing is said against it again. What is said under another key
    was said before, or the remedy names that key."""
    told, first = 0, refused(overrides)
    there = {problem.key for problem in first}
    for problem in first:
        for value in problem.tries:
            told += 1
            assert value in problem.remedy, problem
            assert EASY.fullmatch(value), f"{overrides}: {problem}"
            taken = [*overrides, f"{problem.key}={value}"]
            for found in refused(taken):
                assert found.key != problem.key, f"{overrides}: {problem}, and then {found}"
                assert found.key in there or found.key in problem.remedy, f"{overrides}: {problem}, and then {found}"
        if "accepted is" in problem.remedy and LENGTH.search(problem.remedy):
            assert problem.tries, f"{problem} tells what nobody has tried"
    return told


LENGTHS = st.one_of(
    st.floats(-2, 60, allow_nan=False).map(lambda mm: f"{mm!r} mm"),
    st.integers(0, 192).map(lambda count: f"{count}/64 in"),
    st.floats(0, 3, allow_nan=False).map(lambda mm: f"{mm:.2f} mm"),
)
KEYS = (
    *("joint.pin", "joint.half_pin", "joint.width", "joint.lap", "finish.planing", "undercut.depth", "undercut.land"),
    *("entry_chamfer.width", "entry_chamfer.back", "tail_board.proud", "fit.flank_gap", "finish.chamfer"),
)
BOX_KEYS = (
    *("box.groove.up", "box.groove.depth", "box.groove.width", "box.panel.clearance", "box.length", "box.width"),
    *("finish.planing", "entry_chamfer.width", "joint.half_pin", "joint.pin"),
)
SWITCHES = (
    *((), ("joint.kind=half-blind", "tail_board.proud=0"), ("finish.ends=proud",), ("undercut.depth=0.2",)),
    *(("entry_chamfer.width=1",), ("joint.tails=2",), ("joint.slope=1:5",), ("joint.spacing=by eye",)),
)


def recipes(keys: Sequence[str]) -> st.SearchStrategy[list[str]]:
    values = st.dictionaries(st.sampled_from(keys), LENGTHS, min_size=1, max_size=3)
    return st.builds(
        lambda switch, typed: [*switch, *(f'{key}="{value}"' for key, value in typed.items())],
        st.sampled_from(SWITCHES),
        values,
    )


CORNER_CASES = st.tuples(st.sampled_from(["corner", "corner in inches"]), recipes(KEYS))
BOX_CASES = st.tuples(st.sampled_from(["box", "box in inches", "box from inside"]), recipes(BOX_KEYS))


def what_is_told_is_accepted(case: tuple[str, Sequence[str]]) -> None:
    name, overrides = case
    advice_holds(PIECES[name], overrides)
