"""Necks and pins too thin to cut or to last: each limit from both sides, and every remedy that is told, taken."""

from __future__ import annotations

import re

import pytest

from solids.base.errors import RecipeError
from solids.base.findings import Finding, fails
from solids.bench.remarks import remarks
from solids.layout import frail_parts, holds, lay_out
from solids.layout.box.refusals import lay_out_box
from solids.recipe import parse_recipe, preset_names, preset_text
from solids.recipe.text.reading import check_box
from tests.boxes import box_of, raw_of
from tests.commands import halfpin
from tests.recipes import laid_out, only_problem

THIN_TRAY = """\
[joint]
width = 35.1
tails = 4
slope = "1:5"
[tail_board]
thickness = 10
[pin_board]
thickness = 10
"""
"""Beech. Half pins of 5 and three pins of 3 mm leave (35.1 - 10 - 9)/4 = 4.025 mm for a tail, of which the slope takes
2 x 10/5 = 4 mm."""


def frail(*overrides: str, text: str = THIN_TRAY) -> list[tuple[str, str]]:
    """Codes and severities of what is frail."""
    found = remarks(laid_out(*overrides, text=text))
    return [(finding.code, finding.severity) for finding in found if finding.code.startswith("thin-")]


def told(*overrides: str, text: str = THIN_TRAY) -> Finding:
    return next(f for f in remarks(laid_out(*overrides, text=text)) if f.code.startswith("thin-"))


# --- the case that began it ------------------------------------------------------------------------


def test_a_refused_neck_leads_to_a_joint_that_is_good() -> None:
    """Two tails of (35.1 - 10 - 3)/2 = 11.05 mm have necks of 7.05; three, of 6.37, have 2.37, under 3 mm. Four with
    3 mm need 4 x 7 + 19 = 47 mm."""
    remedy = only_problem(text=THIN_TRAY).remedy
    assert remedy == "take 2 tails (joint.tails), or a board 47 mm wide (joint.width)"
    for override in ("joint.tails=2", "joint.width=47"):
        assert frail(override) == []
    assert frail("joint.tails=3") == [("thin-neck", "warning")]
    assert frail("joint.width=46.9") == [("thin-neck", "warning")]


def test_a_slope_that_leaves_a_tenth_of_a_millimetre_fails() -> None:
    """4.025 - 20/5.1 = 0.1 mm."""
    found = told("joint.slope=1:5.1")
    assert (found.code, found.severity, found.place) == ("thin-neck", "fail", "tail 1")
    assert found.measured == pytest.approx(4.025 - 20 / 5.1)
    assert found.said == (
        "The neck of tail 1 is 0.1 mm (0.004 in) wide, under 1.5 mm (0.059 in): no chisel goes into the socket for it. "
        "No hand can cut that."
    )
    assert found.advice == "Take 2 tails (joint.tails), or a board 47 mm wide (joint.width)."


def test_a_pin_of_a_hair_fails() -> None:
    """0.06 mm. The nearest pin is 0.5 mm, which lets a knife in."""
    text = preset_text("tool-tray")
    found = told("joint.pin=0.06", "tail_board.proud=0", text=text)
    assert (found.code, found.severity) == ("thin-pin", "fail")
    assert found.measured == pytest.approx(0.06)
    pin = re.search(r"pins of ([\d.]+ mm) \(joint\.pin\)", found.advice)
    assert pin
    assert pin[1] == "0.5 mm"
    assert frail(f'joint.pin="{pin[1]}"', "tail_board.proud=0", text=text) == []


@pytest.mark.parametrize("name", preset_names())
def test_no_preset_is_frail(name: str) -> None:
    assert frail_parts(laid_out(text=preset_text(name))) == ()


# --- both sides of each limit ----------------------------------------------------------------------

ONE = """\
[joint]
width = 30
tails = 1
slope = "1:8"
half_pin = 10
[tail_board]
thickness = 8
proud = 0
wood = "beech"
[pin_board]
thickness = 8
wood = "beech"
"""
"""One tail as wide as the board is over 20 mm; its neck is 2 mm narrower."""

TWO = ONE.replace("tails = 1", "tails = 2").replace("width = 30", "width = 60")
"""Pins 0.5 mm narrower on the raw end for 2 mm proud, and 2 mm wider at the baseline."""

BOTH_SIDES = [
    # text, what both share, good, what is said, a hair less
    (ONE, (), "joint.width=25", [("thin-neck", "warning")], "joint.width=24.99"),  # neck 3 mm
    (ONE, (), "joint.width=23.5", [("thin-neck", "fail")], "joint.width=23.49"),  # neck 1.5 mm
    # A socket is wider than the tail where flanks are loose: a neck of 1.4 mm, 0.05 s more on each side.
    (ONE, ("fit.flank_gap=-0.05",), "joint.width=23.7", [("thin-neck", "fail")], "joint.width=23.59"),
    # By the depth: a sixth of 24 mm in beech, a quarter in spruce; the neck is 2 x 24/8 = 6 mm narrower.
    (ONE, ("pin_board.thickness=24",), "joint.width=30", [("thin-neck", "warning")], "joint.width=29.99"),
    (
        ONE,
        ("pin_board.thickness=24", "tail_board.wood=spruce"),
        "joint.width=32",
        [("thin-neck", "warning")],
        "joint.width=31.99",
    ),
    # Whatever its tree: basswood gives across the grain (370 psi) as spruce does, longleaf pine (960 psi) does not.
    (
        ONE,
        ("pin_board.thickness=24", "tail_board.wood=basswood"),
        "joint.width=32",
        [("thin-neck", "warning")],
        "joint.width=31.99",
    ),
    (
        ONE,
        ("pin_board.thickness=24", "tail_board.wood=longleaf pine"),
        "joint.width=30",
        [("thin-neck", "warning")],
        "joint.width=29.99",
    ),
    # Pins: a knife of 0.5 mm at the raw end, a saw of 0.3 mm, and half-way a sixth or a quarter of the tail board.
    (TWO, (), "joint.pin=0.5", [("thin-pin", "warning")], "joint.pin=0.49"),
    (TWO, (), "joint.pin=0.3", [("thin-pin", "fail")], "joint.pin=0.29"),
    (TWO, ("tail_board.proud=2",), "joint.pin=0.8", [("thin-pin", "fail")], "joint.pin=0.79"),
    (TWO, ("tail_board.thickness=12",), "joint.pin=1", [("thin-pin", "warning")], "joint.pin=0.99"),
    (
        TWO,
        ("tail_board.thickness=12", "pin_board.wood=spruce"),
        "joint.pin=2",
        [("thin-pin", "warning")],
        "joint.pin=1.99",
    ),
    # A chisel between the tails: a pin of 1 mm on boards of 2 mm has 1 + 2 x 2/8 = 1.5 mm at the baseline.
    (
        TWO,
        ("pin_board.thickness=2", "tail_board.thickness=2"),
        "joint.pin=1",
        [("thin-pin", "fail")],
        "joint.pin=0.99",
    ),
    (
        ONE,
        ("joint.allow_thin_half_pin=true",),
        "joint.half_pin=0.3",
        [("thin-half-pin", "fail")],
        "joint.half_pin=0.29",
    ),
]


@pytest.mark.parametrize(("text", "shared", "good", "said", "less"), BOTH_SIDES)
def test_every_limit_from_both_sides(
    text: str, shared: tuple[str, ...], good: str, said: list[tuple[str, str]], less: str
) -> None:
    """What fails is next to what only warns."""
    before = frail(*shared, good, text=text)
    assert before == [] or (said[0][1] == "fail" and before == [(said[0][0], "warning")])
    assert frail(*shared, less, text=text) == said


# --- remedies --------------------------------------------------------------------------------------

WAYS = (
    (r"a slope of (1:[\d.]+) \(joint\.slope\)", "joint.slope"),
    (r"pins of ([\d.]+ (?:mm|in)) \(joint\.pin\)", "joint.pin"),
    (r"half pins of ([\d.]+ (?:mm|in)) \(joint\.half_pin\)", "joint.half_pin"),
    (r"(\d+) tails? \(joint\.tails\)", "joint.tails"),
    (r"a board ([\d.]+ (?:mm|in)) wide \(joint\.width\)", "joint.width"),
)


def overrides_in(remedy: str) -> list[list[str]]:
    """Each way that a remedy names, as overrides; one that joins two keys is one way."""
    joined = re.search(r"(\d+) tails? \(joint\.tails\) at a slope of (1:[\d.]+)", remedy)
    if joined:
        return [[f"joint.tails={joined[1]}", f"joint.slope={joined[2]}"]]
    found = [(key, match[1]) for pattern, key in WAYS if (match := re.search(pattern, remedy))]
    return [[f"{key}={value}" if key == "joint.tails" else f'{key}="{value}"'] for key, value in found]


THIN = ("joint.allow_thin_half_pin=true", "joint.half_pin=0.1")
HARD_CASES = [
    (*size, *tails, f"joint.slope=1:{slope}", *pins)
    for size in (("joint.width=20",), ("joint.width=35.1",), ("joint.width=50", "pin_board.thickness=25"))
    for tails in (("joint.tails=3",), ("joint.tails=6",), ("joint.tails=5", "joint.spacing=graduated"))
    for slope in (2, 5, 7, 20)
    for pins in ((), ("joint.pin=0.06",), ("joint.pin=0.4", "tail_board.proud=0"), THIN)
]


def remedies(overrides: tuple[str, ...], units: str) -> list[str]:
    """What is told about the necks and pins of a joint, be it refused, failed or warned of."""
    text = (
        THIN_TRAY if units == "mm" else f'units = "in"\n{THIN_TRAY.replace(" = 10", " = 0.4").replace("35.1", "1.4")}'
    )
    try:
        layout = laid_out(*overrides, text=text)
    except RecipeError as err:
        return [problem.remedy for problem in err.told if problem.key in ("joint.tails", "joint.width")]
    return [finding.advice for finding in remarks(layout) if finding.code.startswith("thin-")]


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.whole
def test_every_layout_that_is_told_holds(units: str) -> None:
    """Laid out and judged: nothing refused, nothing frail. Most of the cases are told something."""
    tried = 0
    base = (
        THIN_TRAY if units == "mm" else f'units = "in"\n{THIN_TRAY.replace(" = 10", " = 0.4").replace("35.1", "1.4")}'
    )
    for case in HARD_CASES:
        own = tuple(f"{item} mm" if units == "in" and LENGTHS.match(item) else item for item in case)
        for remedy in remedies(own, units):
            for way in overrides_in(remedy):
                tried += 1
                layout = lay_out(parse_recipe(base, "recipe", [*own, *way]))
                assert frail_parts(layout) == (), (own, way)
                assert holds(layout.recipe)
    assert tried > 100


LENGTHS = re.compile(r"\w+\.(width|pin|half_pin|thickness|proud)=")


def test_listed_tails_are_told_what_their_list_allows() -> None:
    """Tails of 4 and 9 mm at 1:5, 10 mm deep: 4 - 4 closes; at 1:8 they have 1.5 mm. The list alone would mend it."""
    listed = ("joint.spacing=[9, 4, 9]", "joint.tails=3", "joint.width=40")
    assert (
        only_problem(*listed, text=THIN_TRAY).remedy
        == "take fewer, wider tails (joint.spacing), or a wider board (joint.width)"
    )
    wider = ("joint.spacing=[9, 6.9, 9]", "joint.tails=3", "joint.width=43")
    assert told(*wider).advice == "Take a slope of 1:5.5 (joint.slope)."
    assert frail(*wider, "joint.slope=1:5.5") == []


def test_half_pins_that_leave_no_room_for_tails_are_told_with_what_does() -> None:
    """Half pins of 5 mm instead of 4 leave four tails of 6 mm at 1:7, 10 mm deep: 3.14 mm. In 41 mm they leave 5.5, and
    necks of 2.6 mm, so a flatter slope comes with them: 5.5 - 20/8 = 3 mm."""
    roomy, tight = ("joint.width=43", "joint.slope=1:7", "joint.half_pin=4"), ("joint.width=41", "joint.slope=1:7")
    assert only_problem(*roomy, text=THIN_TRAY).remedy.startswith("accepted is 5 mm or more, or insist")
    remedy = only_problem(*tight, "joint.half_pin=4", text=THIN_TRAY).remedy
    assert remedy.startswith("accepted is 5 mm or more, with a slope of 1:8 (joint.slope), or insist")
    assert frail(*tight, "joint.half_pin=5", "joint.slope=1:8") == []


def test_a_slope_remedy_names_only_slopes_that_hold() -> None:
    """Tails of 6 mm, 10 mm deep: 6 - 20/6.5 = 2.92, 6 - 20/7 = 3.14 mm. At 1:20 the joint holds little."""
    (found,) = (f for f in remarks(laid_out("joint.slope=1:20", "joint.width=43", text=THIN_TRAY)) if f.code == "slope")
    assert found.advice == "Take joint.slope from 1:7 to 1:8."


def test_a_wide_tail_is_told_how_many_more() -> None:
    """180 mm less half pins: one tail of 170 mm; four of (170 - 9)/4 = 40.25 mm are the first under 44.45 mm."""
    (found,) = remarks(laid_out("joint.width=180", "joint.tails=1", text=THIN_TRAY))
    assert found.advice == "Take 4 tails (joint.tails)."


# --- boxes and commands ----------------------------------------------------------------------------


BAD_BOX = ("joint.tails=6", "joint.slope=1:3", "box.groove.width=0")


def test_a_box_fails_by_the_same_code_and_is_told_under_its_own_keys() -> None:
    """Six tails of (80 - 12 - 15)/6 = 8.83 mm at 1:3, 12 mm deep: 0.83 mm of neck."""
    layout = (
        box_of("keepsake-box", "joint.tails=6", "joint.slope=1:3", "box.groove.width=0").corners["front left"].layout
    )
    assert fails(remarks(layout))
    sets = [part for override in BAD_BOX for part in ("--set", override)]
    done = halfpin("layout", "keepsake-box", *sets)
    code, out = done.returncode, done.stdout
    assert code == 1
    assert "No hand can cut that." in out
    assert "wide (box.height)" in out
    assert "joint.width" not in out


def test_a_corner_of_a_box_that_is_refused_is_told_under_its_own_keys() -> None:
    with pytest.raises(RecipeError) as caught:
        lay_out_box(check_box(raw_of("keepsake-box", "joint.tails=12", "joint.slope=1:4")))
    (problem,) = (found for found in caught.value.told if found.key == "joint.tails")
    assert "(box.height)" in problem.remedy
    tails = re.search(r"(\d+) tails \(joint\.tails\)", problem.remedy)
    assert tails
    assert (
        frail_parts(box_of("keepsake-box", f"joint.tails={tails[1]}", "joint.slope=1:4").corners["front left"].layout)
        == ()
    )


@pytest.mark.parametrize("command", ["layout", "check"])
def test_what_no_hand_can_cut_ends_badly(command: str, tmp_path) -> None:
    recipe = tmp_path / "thin.toml"
    recipe.write_text(THIN_TRAY, encoding="utf-8")
    done = halfpin(command, str(recipe), "--set", "joint.slope=1:5.1")
    assert done.returncode == 1
    assert "FAIL  The neck of tail 1 is 0.1 mm" in done.stdout
    assert halfpin(command, str(recipe), "--set", "joint.slope=1:8").returncode == 0, "which only warns"
