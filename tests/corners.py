"""Proved corners that tests of files share: each is built once in a test run."""

from __future__ import annotations

from functools import cache

from solids.layout import Layout, lay_out
from solids.recipe import parse_recipe, preset_names, preset_text
from solids.write.table import Job, prove_layout

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
def job_of(preset: str = "tool-tray", *overrides: str) -> Job:
    """The proved corner of a preset with KEY=VALUE overrides."""
    return prove_layout(layout_of(preset, *overrides))


def case(name: str) -> Job:
    """The proved corner of one of CASES."""
    return job_of(*CASES[name])


def titled(title: str) -> Job:
    """The tool tray under another title."""
    return job_of("tool-tray", "title=" + '"' + title.replace('"', '\\"') + '"')
