"""An inch is 25.4 mm exactly, through the whole tool.

National Bureau of Standards Circular 572, addendum of 22 January 1960: since 1 July 1959 a yard is 0.9144 m exactly,
from which "it follows that 1 inch equals 25.4 millimeters".
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from solids.base.lengths import MM_PER_INCH, format_inch
from solids.base.parsing import parse_length
from solids.layout import lay_out
from solids.model.kernel import measure
from solids.recipe import parse_recipe
from solids.write.files.job import JointJob
from solids.write.files.table import prove_layout
from solids.write.formats import step, stl
from tests.corners import meshes, step_parts

YARD_M = Fraction(9144, 10_000)
INCH_MM = YARD_M * 1000 / 36

RECIPE = """
title = "inch"
units = "{units}"
[joint]
kind = "{kind}"
width = {width}
tails = 3
slope = "1:6"
pin = {pin}
half_pin = {half}
{lap}
[tail_board]
thickness = {thick}
length = {length}
{proud}
[pin_board]
thickness = {thick}
length = {length}
{proud}
[fit]
flank_gap = {gap}
"""

INCHES = {"width": "4 1/2", "pin": "1/8", "half": "5/16", "thick": "3/4", "length": "6", "gap": "-0.001"}


def amount(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def decimal(value: Fraction) -> str:
    """Exact: sixty-fourths of an inch end after eight decimals, in inches and in millimetres."""
    text = f"{float(value):.9f}"
    assert Fraction(text) == value
    return text


def job(units: str, values: dict[str, str], kind: str) -> JointJob:
    proud = "" if kind == "half-blind" else f"proud = {values['proud']}"
    lap = f"lap = {values['lap']}" if kind == "half-blind" else ""
    text = RECIPE.format(units=units, kind=kind, **{**values, "proud": proud, "lap": lap})
    if kind == "half-blind":
        text = text.replace("[fit]", f"proud = {values['proud']}\n[fit]")
    (joint,) = prove_layout(lay_out(parse_recipe(text))).joints
    return joint


ALL = {**INCHES, "proud": "1/32", "lap": "3/16"}
WAYS = {
    "fractions": ("in", {key: f'"{text}"' for key, text in ALL.items()}),
    "fractions with unit, in a recipe in mm": ("mm", {key: f'"{text} in"' for key, text in ALL.items()}),
    "decimal inches": ("in", {key: decimal(amount(text)) for key, text in ALL.items()}),
    "millimetres": ("mm", {key: decimal(amount(text) * INCH_MM) for key, text in ALL.items()}),
    "millimetres with unit, in a recipe in inches": (
        "in",
        {key: f'"{decimal(amount(text) * INCH_MM)} mm"' for key, text in ALL.items()},
    ),
}


def test_the_tools_inch_is_the_thirty_sixth_of_the_international_yard() -> None:
    assert INCH_MM == Fraction(254, 10) == MM_PER_INCH
    assert parse_length("1 in") == parse_length(1, "in") == 25.4


@pytest.mark.parametrize("kind", ["through", "half-blind"])
@pytest.mark.parametrize("way", WAYS)
def test_a_recipe_in_inches_gives_the_same_solids_and_files_as_one_in_millimetres(way: str, kind: str) -> None:
    metric = job(*WAYS["millimetres"], kind)
    found = job(*WAYS[way], kind)
    for ours, theirs in zip(found.cut.boards, metric.cut.boards, strict=True):
        assert measure(ours[1]).volume == pytest.approx(measure(theirs[1]).volume, rel=1e-14)
        assert measure(ours[1]).centroid == pytest.approx(measure(theirs[1]).centroid, abs=1e-12)
    assert step.step_bytes("t", "x", step_parts(found.cut)) == step.step_bytes("t", "x", step_parts(metric.cut))
    assert stl.stl_bytes("t", meshes(found)[0]) == stl.stl_bytes("t", meshes(metric)[0])


def test_every_sixty_fourth_of_a_foot_of_inches_prints_and_reads_back_to_the_bit() -> None:
    for number in range(1, 12 * 64 + 1):
        mm = float(Fraction(number, 64) * INCH_MM)
        assert parse_length(format_inch(mm)) == mm
