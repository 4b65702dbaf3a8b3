"""Sound joints of odd shape pass their proof, and a joint that its own gap lets go is told so."""

from __future__ import annotations

import math

import pytest

from solids.layout import Layout
from solids.model.corner import make_corner
from solids.proof.joint.corner import Proof, prove
from tests.odd_joints import odd
from tests.recipes import MINIMAL, laid_out


def proved(*overrides: str) -> tuple[Layout, Proof]:
    layout = laid_out(*overrides, text=MINIMAL)
    return layout, prove(make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished))


FLAT = ("joint.slope=1:25", "joint.tails=1", "joint.width=40", "joint.half_pin=10")

SOUND: dict[str, tuple[str, ...]] = {
    "a chamfer wider than the half pin at the baseline": (
        *("joint.half_pin=4", "joint.tails=1", "joint.width=34", "joint.slope=1:27", "joint.allow_thin_half_pin=true"),
        *("tail_board.thickness=27", "pin_board.thickness=5", "entry_chamfer.width=5", "entry_chamfer.back=2"),
    ),
    "a flat slope, hollow and tight: the hollow's square wall lies almost in the flank": (
        *FLAT,
        *("undercut.depth=0.2", "undercut.land=1.5", "fit.flank_gap=-0.02"),
    ),
    "a pin narrower than the land, loose": (
        *("joint.pin=2", "undercut.depth=0.2", "undercut.land=3", "fit.flank_gap=0.3"),
    ),
    "a half pin of 2.5 + 8/8 - 0.8 x 1.008 = 2.69 mm at the baseline, over a land of 3 mm": (
        *("joint.tails=1", "joint.width=40", "joint.half_pin=2.5", "joint.allow_thin_half_pin=true", "joint.slope=1:8"),
        *("pin_board.thickness=8", "undercut.depth=0.2", "undercut.land=3", "fit.flank_gap=0.8"),
    ),
    "a gap whose play, 10.2 mm, is less than nine tenths of the 12 mm of the board": (
        "fit.flank_gap=0.6",
        "joint.slope=1:17",
    ),
}


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_joint_of_odd_shape_passes(name: str) -> None:
    _, proof = proved(*SOUND[name])
    assert [finding.said for finding in proof.findings if finding.severity == "fail"] == []


def test_a_gap_that_lets_go_is_named_and_nothing_else_is_blamed() -> None:
    """At 1:25 a gap of 0.6 mm plays 0.6 x sqrt(626) = 15.0 mm before the flanks meet; the tails are 12 mm deep."""
    layout, proof = proved(*FLAT, "fit.flank_gap=0.6")
    assert layout.free_play() == pytest.approx(0.6 * math.sqrt(626))
    assert layout.depth == 12
    failing = [finding for finding in proof.findings if finding.severity == "fail"]
    assert [finding.code for finding in failing] == ["lets-go"]
    assert "A gap of 0.6 mm" in failing[0].said
    assert "15.01 mm" in failing[0].said
    assert "only 12 mm" in failing[0].said
    assert failing[0].advice == "Take fit.flank_gap of 0, or a steeper slope and a smaller gap."
    assert proved(*FLAT, "fit.flank_gap=0")[1].passes, "the remedy, taken"


def test_just_below_and_just_above_what_lets_go() -> None:
    edge = 0.9 * 12 / math.sqrt(626)
    assert proved(*FLAT, f"fit.flank_gap={edge * 0.999}")[1].passes
    assert not proved(*FLAT, f"fit.flank_gap={edge * 1.001}")[1].passes


@pytest.mark.whole
def test_a_few_odd_joints_are_right_or_refused_or_let_go() -> None:
    """Fixed ones; the campaign tries thousands of others."""
    outcomes = [odd(number) for number in range(60)]
    assert set(outcomes) == {"right", "refused", "lets go"}
