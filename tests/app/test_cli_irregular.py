"""What a maker reads who gives flanks, lists, edges, mitres or rebates that cannot be: which one is wrong, where, and
what would be accepted. Exit code 2, and never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import refused

TEXT = """\
{units}
[joint]
width = 70
{joint}
[tail_board]
thickness = 12
{tails}
[pin_board]
thickness = 15
"""

GOOD = "[[8, 10], [28, 26], [36, 38], [60, 58]]"

FLANKS: dict[str, tuple[str, ...]] = {
    "[[8, 10], [28, 26], [27, 38], [60, 58]]": (
        "flank 3 (tail 2, left) lies at 27 mm at the show face, and flank 2 (tail 1, right) at 28 mm",
        "give them in order from the reference edge",
    ),
    "[[8, 10], [28, 26], [30, 25], [60, 58]]": ("flank 3 (tail 2, left) lies at 25 mm at the baseline",),
    "[[8, 10], [28, 26], [28.06, 30], [60, 58]]": ("flank 3 (tail 2, left) lies at 27.9953 mm at the raw end",),
    "[[8, 10], [28, 26], [36, 38], [90, 58]]": ("the other edge lies at 70 mm at the show face, and flank 4",),
    "[[0, 2], [28, 26], [36, 38], [60, 58]]": ("flank 1 (tail 1, left) lies at 0 mm", "and the reference edge at 0 mm"),
    "[[8, 8], [28, 28]]": ("nothing locks this joint", "between flank 1 (tail 1, left) and flank 2 (tail 1, right)"),
    "[[8, 10], [28, 30]]": ("nothing locks this joint", "lean the same way or not at all"),
    "[[0, 0], [28, 26]]": ("nothing locks this joint", "along flank 2 (tail 1, right), with nothing on its other side"),
    "[[8, 2.75], [62, 56]]": ("nothing locks this joint: the tail board turns out",),
    "[[8, 6], [28, 29]]": ("tail 1 is 20 mm wide at the show face and 23 mm at the baseline",),
    "[[8, 20], [60, 58]]": ("flank 1 (tail 1, left) leans 39 degrees", "up to 26.6 degrees either way"),
    "[[8, 10], [28, 26], [36, 38]]": ("3 flanks make no whole tails", "give two for each tail"),
    "[8]": ("1 flank makes no whole tails",),
    "[]": ("the list has 0 flanks", "give two for each tail"),
    str([round(i * 0.07, 3) for i in range(1000)]): ("the list has 1000 flanks; accepted are up to 200",),
    '"8, 28"': ("'8, 28' is no list of flanks",),
    "8": ("8 is no list of flanks",),
    '[8, "wide"]': ("flank 2: 'wide' is not a length",),
    "[[8, nan], [28, 26]]": ("flank 1: at the baseline, nan is not a finite number",),
    "[[inf, 8], [28, 26]]": ("flank 1: at the finished face, inf is not a finite number",),
    "[[8, 10], [28, [26]]]": ("flank 2: at the baseline, [26] is not a length",),
    "[[[8, 10]], [28, 26]]": ("flank 1: [[8, 10]] is no flank", "as in [8, 9.5]"),
    "[[8, 10, 12], [28, 26]]": ("flank 1: [8, 10, 12] is no flank",),
    "[[8, 10], [-28, 26]]": ("flank 2: at the finished face, -28 mm is under the least",),
    "[[8, 10], [1e300, 26]]": ("flank 2: at the finished face, 1e+300 mm is over the most",),
}
"""Flanks, and what is said of them under their key."""

OTHERS: dict[str, tuple[str, str]] = {
    f"flanks = {GOOD}\npin = 3": ("joint.pin", "has no effect here: the flanks say where all tails and pins are"),
    f"flanks = {GOOD}\nmitre = {{ other = 12 }}": ("joint.flanks", "the mitre at the other edge lies at 58 mm"),
    f"flanks = {GOOD}\nmitre = {{ other = 8 }}": ("joint.flanks", "a half pin of 2 mm at the other edge is under 5 mm"),
    "tails = 2\nmitre = { other = 60 }": ("joint.width", "mitres of 60 mm in all (joint.mitre) take 73 mm"),
    "tails = 2\nmitre = { other = 200 }": ("joint.width", "or narrower mitres (joint.mitre)"),
    "tails = 2\nmitre = { other = nan }": ("joint.mitre.other", "nan is not a finite number"),
    "tails = 2\nmitre = { near = 6 }": ("joint.mitre.near", "[joint.mitre] takes reference, other"),
    'edges = ["half tail", "half pin"]\nmitre = { reference = 6 }': ("joint.mitre", "where a half tail stands"),
    'edges = ["half tail"]': ("joint.edges", "does not name both edges"),
    'tails = 1\nedges = ["half tail", "half tail"]': ("joint.edges", "nothing locks this joint"),
    'tails = 2\npin = 80\nedges = ["half tail", "half tail"]': (
        "joint.width",
        "once pins of 80 mm (joint.pin) take 80 mm",
    ),
    "tails = 3\npin = [3, nan]": ("joint.pin", "pin 2: nan is not a finite number"),
    "tails = 3\npin = [3, 4, 5]": ("joint.pin", "3 pins do not stand between 3 tails; give 2"),
    "tails = 3\nhalf_pin = [8, 2]": ("joint.half_pin", "a half pin of 2 mm at the other edge is under 5 mm"),
    'tails = 3\nslope = ["1:6", "steep"]': ("joint.slope", "slope 2: 'steep' is not a slope"),
    'tails = 3\nslope = ["1:6", "1:7"]': ("joint.slope", "2 slopes do not go with 3 tails; give 6, one for each flank"),
}
"""Other keys of the joint: which one is named, and what is said."""


def told(folder: Path, joint: str, tails: str = "", units: str = "") -> str:
    (folder / "recipe.toml").write_text(TEXT.format(joint=joint, tails=tails, units=units))
    return refused("layout", "recipe.toml", cwd=folder)


@pytest.mark.parametrize("flanks", FLANKS)
def test_flanks_that_cannot_be_are_named_by_number_and_place(tmp_path: Path, flanks: str) -> None:
    said = told(tmp_path, f"flanks = {flanks}")
    assert said.startswith("Error: joint.flanks: ")
    assert [words for words in FLANKS[flanks] if words not in said] == []
    assert "; " in said, "what would be accepted"


@pytest.mark.parametrize("joint", OTHERS)
def test_other_lists_edges_and_mitres_that_cannot_be(tmp_path: Path, joint: str) -> None:
    key, words = OTHERS[joint]
    said = told(tmp_path, joint)
    assert f"{key}: " in said
    assert words in said


@pytest.mark.parametrize(
    ("rebate", "words"),
    [
        ("4", "4 mm is deeper than a quarter of a tail board of 12 mm; accepted is 0 to 3 mm"),
        ("nan", "nan is not a finite number"),
        ("-1", "-1 mm is under the least"),
        ('"a quarter"', "'a quarter' is not a length"),
    ],
)
def test_rebates_that_cannot_be(tmp_path: Path, rebate: str, words: str) -> None:
    assert f"Error: tail_board.rebate: {words}" in told(tmp_path, "tails = 3", f"rebate = {rebate}")


def test_in_inches_places_are_told_in_inches(tmp_path: Path) -> None:
    """1 in is right of 0.9 in, whatever unit each is given in."""
    inches = 'units = "in"'
    joint = 'flanks = [["8 mm", "10 mm"], ["25.4 mm", "24 mm"], ["0.9", "1"], [2.5, 2.4]]'
    (tmp_path / "recipe.toml").write_text(
        f'{inches}\n[joint]\nwidth = 3\n{joint}\n[tail_board]\nthickness = "1/2"\n[pin_board]\nthickness = "1/2"\n'
    )
    said = refused("layout", "recipe.toml", cwd=tmp_path)
    assert "flank 3 (tail 2, left) lies at 0.9 in at the show face, and flank 2 (tail 1, right) at 1 in" in said
    assert "0.002 in or more between flanks" in said


def test_a_flank_may_be_wrong_on_the_command_line_too(tmp_path: Path) -> None:
    (tmp_path / "recipe.toml").write_text(TEXT.format(joint=f"flanks = {GOOD}", tails="", units=""))
    said = refused("check", "recipe.toml", "--set", "joint.flanks=[[8, 10], [28, nan]]", cwd=tmp_path)
    assert "joint.flanks: flank 2: at the baseline, nan is not a finite number" in said
