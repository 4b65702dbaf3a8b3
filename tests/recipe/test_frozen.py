"""A frozen recipe is the same joint to the last bit, has nothing left to choose, and keeps every word of the maker."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solids.base import tolerances as tol
from solids.base.errors import FaultError, InputError
from solids.base.lengths import MM_PER_INCH
from solids.base.messages import Units
from solids.base.parsing import parse_length
from solids.recipe import Recipe, box_preset_names, preset_names, preset_text
from solids.recipe.completing import boxes as box_rules
from solids.recipe.completing.choosing import round_up
from solids.recipe.completing.corner import choices as rules
from solids.recipe.completing.corner import looks
from solids.recipe.tables import air
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.text.freezing import frozen_text, with_added
from solids.recipe.text.frozen import added, frozen_tables, frozen_toml, inline_toml, written_length
from solids.recipe.text.reading import check_piece
from solids.recipe.text.starter import starter_text
from solids.recipe.text.toml import Raw, parse_toml, plain_value
from solids.wood import Climate, Wood
from tests.boxes import CASES, ODD, raw_from, raw_of
from tests.recipes import HALF_BLIND, MINIMAL, STANDING, WHOLE, raw_recipes, recipe, recipe_texts

SIZES = "[box]\nlength = 300\nwidth = 200\nheight = 96\n"
BOARDS = "[tail_board]\nthickness = 10\n[pin_board]\nthickness = 12\n"
SHORT_BOX = f"{BOARDS}{SIZES}[box.groove]\nwidth = 5\n"

MIXED = ("joint.kind=half-blind", "box.joints.back.kind=through", "undercut.depth=0.3", "entry_chamfer.width=0.8")
"""A keepsake box with laps at the front only: its corners choose a lap, a chamfer's end and proud ends differently."""

BOXES = {**CASES, "laps at the front": ("keepsake-box", *MIXED)}
TEXTS = {
    "minimal": MINIMAL,
    "whole": WHOLE,
    "odd box": ODD,
    **{name: preset_text(name) for name in (*preset_names(), *box_preset_names())},
    **{f"starter of {name}": starter_text(name) for name in preset_names()},
}


def joint_of(found: Recipe | BoxRecipe) -> Recipe | BoxRecipe:
    """A recipe as a joint: without what was chosen, and without the keys that the maker wrote it under."""
    if isinstance(found, Recipe):
        return replace(found, choices=())
    corners = {name: replace(corner, choices=()) for name, corner in found.corners.items()}
    return replace(found, choices=(), corners=corners, written={})


def chosen(found: Recipe | BoxRecipe) -> list[str]:
    """The keys that rules chose, those of a box's corners among them."""
    corners = found.corners.values() if isinstance(found, BoxRecipe) else ()
    return [choice.key for part in (found, *corners) for choice in part.choices]


def told_woods(found: Recipe | BoxRecipe) -> list[str]:
    """The woods as people are told them: of the boards, corner by corner, and of the bottom."""
    if isinstance(found, Recipe):
        return [found.tail_board.wood.told, found.pin_board.wood.told]
    return [*(told for corner in found.corners.values() for told in told_woods(corner)), found.panel.wood.told]


def read(text: str) -> Recipe | BoxRecipe:
    return check_piece(parse_toml(text, "recipe"))


def frozen(text: str) -> str:
    return with_added(text, added(read(text)))


def one_season_stays(before: str, after: str) -> bool:
    """Whether one air of the home has become one of both seasons in its place."""
    key, _, air = before.partition(" = ")
    return key == "home" and after.startswith("home = {") and air in after


def lines_taken_out(text: str, longer: str) -> list[str]:
    """The lines that a longer text has more; fails where the others are not the first text's, in its order."""
    more, left = [], iter(text.splitlines())
    wanted = next(left, None)
    for line in longer.splitlines():
        if line == wanted or one_season_stays(wanted or "", line):
            wanted = next(left, None)
        else:
            more.append(line)
    assert wanted is None, f"lost: {wanted}"
    return more


# --- the numbers -----------------------------------------------------------------------------------


def test_one_case_by_hand() -> None:
    """Boards of 10 and 12 mm, 96 wide. Pins of 3 mm; half pins half as wide again, 4.5, but 5 at the least. A board
    of 96 mm has 52 x 96 / (96 + 62) = 31.6 mm from tail to tail: three tails. Beech is hard, the joint 12 deep: 1:8."""
    values = {item.key: item.value for item in added(recipe())}
    assert {key: values[f"joint.{key}"] for key in ("pin", "half_pin", "tails", "slope", "kind")} == {
        "pin": 3,
        "half_pin": 5,
        "tails": 3,
        "slope": "1:8",
        "kind": "through",
    }
    assert values["tail_board.wood"] == values["pin_board.wood"] == {"assumed": "beech"}
    assert values["climate.home"] == {"dry": "21 C, 35 %", "damp": "22 C, 65 %"}
    assert values["entry_chamfer.width"] == 0, "what is off is kept off"
    assert "joint.width" not in values, "the maker gave it"


@pytest.mark.parametrize("name", TEXTS)
def test_the_joint_is_the_same_and_nothing_is_left_to_choose(name: str) -> None:
    text = TEXTS[name]
    once = frozen(text)
    assert joint_of(read(once)) == joint_of(read(text))
    assert chosen(read(once)) == []
    assert frozen(once) == once, "freezing twice changes nothing"


@pytest.mark.parametrize("name", BOXES)
def test_boxes_are_the_same_though_their_corners_choose_differently(name: str) -> None:
    raw = raw_of(*BOXES[name])
    box = check_piece(raw)
    again = read(frozen_toml(box))
    assert joint_of(again) == joint_of(box)
    assert chosen(again) == []
    assert chosen(box)


def test_where_corners_choose_differently_each_has_its_own() -> None:
    """Behind a lap of a quarter of 12 mm = 3 mm a tail stands 0 proud, so its chamfer ends 3 - 0 short of the raw end;
    through ends stand 0.5 proud, so 3 - 0.5."""
    box = check_piece(raw_from(preset_text("keepsake-box"), "box", *MIXED))
    values = {item.key: item.value for item in added(box)}
    assert values["box.joints.front.lap"] == 3
    assert values["box.joints.front.entry_chamfer.back"] == 3
    assert values["box.joints.back.entry_chamfer.back"] == 2.5
    assert values["tail_board.proud"] == 0.5, "that of the through corners; the others cannot stand proud"
    assert "joint.lap" not in values, "a through corner would refuse it"


@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(recipe_texts())
@pytest.mark.whole
def test_any_recipe_in_mm_or_inches_reads_back_to_the_last_bit(text: str) -> None:
    try:
        joint = read(text)
    except InputError:
        return
    once = frozen(text)
    assert joint_of(read(once)) == joint_of(joint)
    assert chosen(read(once)) == []
    assert frozen(once) == once
    assert joint_of(read(frozen_toml(joint))) == joint_of(joint), "as a report holds it"
    assert frozen_toml(joint) == tomlkit.dumps(frozen_tables(joint))


@st.composite
def boxes(draw: st.DrawFn) -> Raw:
    """A random corner made the corners of a box, some of them of their own kind, in mm or inches."""
    raw = draw(raw_recipes(max_tails=5))
    size = draw(st.sampled_from(("length", "inside_length"))), draw(st.sampled_from(("width", "inside_width")))
    raw["box"] = {size[0]: draw(st.integers(200, 600)) / 1.6, size[1]: 241.3}
    kind = st.sampled_from(({}, {}, {"kind": "half-blind"}, {"kind": "through"}, {"slope": "1:6"}))
    raw["box"]["joints"] = {"front": draw(kind), "back_left": draw(kind)}
    raw["box"] |= draw(st.sampled_from(({}, {"groove": {"width": 4}}, {"groove": {}, "back_above_bottom": True})))
    raw["box"] |= draw(st.sampled_from(({}, {"left": {"thickness": 9.3}}, {"front": {"wood": "white pine"}})))
    return raw


@settings(max_examples=80, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(boxes(), st.booleans())
@pytest.mark.whole
def test_any_box_reads_back_to_the_last_bit(raw: dict[str, Any], inch: bool) -> None:
    if inch:  # lengths without a unit are inches then, so each gets its own
        raw = {"units": "in", **_with_units(raw)}
    text = tomlkit.dumps(raw)
    try:
        box = read(text)
    except InputError:
        return
    once = frozen(text)
    assert joint_of(read(once)) == joint_of(box)
    assert chosen(read(once)) == []
    assert frozen(once) == once
    assert frozen_toml(box) == tomlkit.dumps(frozen_tables(box))


STRANGE: dict[str, Any] = {
    "words": 'a "b" \\ c',
    "not to print": "a\x7fb\tc\u2028d",
    "小": "plain",
    "numbers": [1, -0.0, 1e-07, 1e22, True],
    "nothing": [],
}


@pytest.mark.parametrize("key", STRANGE)
def test_values_are_written_as_tomlkit_does(key: str) -> None:
    assert tomllib.loads(f"x = {inline_toml(STRANGE[key])}") == {"x": STRANGE[key]}
    assert inline_toml(STRANGE[key]) == tomlkit.item(STRANGE[key]).as_string()


def test_tables_in_a_list_are_written_in_its_line() -> None:
    assert tomllib.loads(f"x = {inline_toml([{'a': 1}, {'b': ['c']}])}") == {"x": [{"a": 1}, {"b": ["c"]}]}


def _with_units(value: Any, key: str = "") -> Any:
    if isinstance(value, dict):
        return value if key == "wood" else {name: _with_units(item, name) for name, item in value.items()}
    if isinstance(value, list):
        return [_with_units(item) for item in value]
    no_length = isinstance(value, bool | str) or key in ("tails", "grading", "seed")
    return value if no_length else f"{value} mm"


def test_enough_random_boxes_are_accepted() -> None:
    """Or the test above would prove nothing."""
    seen: list[bool] = []

    @settings(max_examples=80, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
    @given(boxes())
    def look(raw: dict[str, Any]) -> None:
        try:
            check_piece(raw)
        except InputError:
            seen.append(False)
        else:
            seen.append(True)

    look()
    assert sum(seen) >= 20, f"{sum(seen)} of {len(seen)}"


@given(st.floats(0.01, 5000), st.sampled_from(("mm", "in")))
def test_any_length_reads_back_to_the_last_bit(mm: float, units: Units) -> None:
    assert parse_length(written_length(mm, units), units) == mm


@pytest.mark.parametrize(
    ("mm", "units", "text"),
    [
        (3.0, "mm", 3),
        (0.5, "mm", 0.5),
        (25.4 / 8, "in", "1/8 in"),
        (38.1, "in", "1 1/2 in"),
        (0.0, "in", "0 in"),
        (2.54, "in", "0.1 in"),
        (220.0, "in", "220 mm"),
        (-0.05, "mm", -0.05),
    ],
)
def test_a_length_is_written_as_a_maker_writes_it(mm: float, units: Units, text: object) -> None:
    assert written_length(mm, units) == text


@pytest.mark.parametrize("steps", [1, 7, 45, 1437])
def test_a_length_that_a_rule_chose_in_inches_is_a_fraction(steps: int) -> None:
    """In 1/32 in, as on a rule; 45/32 in is 1 13/32 in."""
    text = written_length(round_up(steps * 25.4 / 32 - 0.01, "in"), "in")
    assert parse_length(text) == float(steps * MM_PER_INCH / 32)
    assert text.endswith(" in")


@pytest.mark.parametrize(
    "overrides", [(), HALF_BLIND[:1], STANDING[:3], ("undercut.depth=0.3", "entry_chamfer.width=1")]
)
def test_frozen_keys_go_with_each_kind_of_joint(overrides: tuple[str, ...]) -> None:
    joint = recipe(*overrides)
    assert joint_of(read(frozen_toml(joint))) == joint_of(joint)


@pytest.mark.parametrize(
    "overrides", [(), ("climate.home=21 C, 35 %",), ("climate.assumed=true", "climate.home=5 C, 80 %")]
)
def test_air_that_nobody_measured_still_warns_nobody(overrides: tuple[str, ...]) -> None:
    """`remarks` warns only of air that the maker named, and a rule's air does not become theirs by being written."""
    joint = recipe(*overrides)
    again = read(frozen_toml(joint))
    assert isinstance(again, Recipe)
    assert again.air_is_assumed == joint.air_is_assumed == (overrides != ("climate.home=21 C, 35 %",))


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        (MINIMAL, ("tail_board.wood", "pin_board.wood")),
        (SHORT_BOX, ("tail_board.wood", "pin_board.wood", "box.panel.wood")),
        (f"{SHORT_BOX}[box.front]\nwood = 'cherry'\n", ("tail_board.wood", "pin_board.wood", "box.panel.wood")),
    ],
    ids=["corner", "box", "box with a cherry front"],
)
def test_a_wood_that_nobody_named_stays_unnamed(text: str, keys: tuple[str, ...]) -> None:
    """Else a frozen recipe would tell the figures of beech alone, as if the maker had chosen it."""
    before, after = read(text), read(frozen(text))
    assert joint_of(after) == joint_of(before)
    assert told_woods(after) == told_woods(before)
    assert "beech (assumed)" in told_woods(before)
    written = {item.key: item.value for item in added(before) if item.key in keys}
    assert written == {key: {"assumed": "beech"} for key in keys}
    why = "no wood was named; a plain hardwood is assumed (common practice)"
    assert f'wood = {{assumed = "beech"}} # {why}' in frozen(text)


def test_a_named_wood_is_written_by_its_name() -> None:
    text = MINIMAL.replace("[pin_board]", "[pin_board]\nwood = 'cherry'")
    assert 'wood = "cherry" # the same wood as the board it meets (common practice)' in frozen(text)
    assert told_woods(read(frozen(text))) == ["cherry", "cherry"]


@pytest.mark.parametrize("text", [MINIMAL, SHORT_BOX], ids=["corner", "box"])
def test_a_text_that_makes_an_assumed_wood_the_makers_own_is_not_handed_out(
    text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both are beech, and the joint is the same: only the names as they are told differ."""
    source = tmp_path / "recipe.toml"
    source.write_text(text)
    assert "assumed" in frozen_text(source, read(text))
    named = "solids.recipe.text.frozen.plain_value"
    monkeypatch.setattr(named, lambda key, value: value.name if isinstance(value, Wood) else plain_value(key, value))
    with pytest.raises(FaultError, match="does not read back"):
        frozen_text(source, read(text))


# --- a rule that gets better -----------------------------------------------------------------------

CHANGED: dict[str, tuple[object, str, object]] = {
    "pins": (tol, "PIN_USUAL", 4.0),
    "half pins": (looks, "PIN_TO_HALF_PIN", 2.5),
    "number of tails": (looks, "WIDEST_PITCH", 35.0),
    "length": (rules, "LENGTH_USUAL", 200.0),
    "air at home": (air, "DAMPEST", Climate(24.0, 75.0)),
    "proud ends": (tol, "PROUD_USUAL", 1.0),
    "groove": (box_rules, "GROOVE_UP", 3.0),
    "rough sizes": (box_rules, "ROUGH_LENGTH", 20.0),
}


@pytest.mark.parametrize("rule", CHANGED)
@pytest.mark.parametrize("text", [MINIMAL, SHORT_BOX], ids=["corner", "box"])
def test_a_changed_rule_moves_no_frozen_recipe(rule: str, text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    place, name, value = CHANGED[rule]
    kept, before = frozen(text), joint_of(read(text))
    monkeypatch.setattr(place, name, value)
    moves = rule not in {"groove", "rough sizes"} if text is MINIMAL else rule != "length"
    assert (joint_of(read(text)) != before) == moves, "the rule speaks of this recipe"
    assert joint_of(read(kept)) == before


def test_a_drawer_frozen_under_an_older_rule_keeps_its_stopped_grooves() -> None:
    """Grooves were once stopped by rule behind a lap too, and a bottom could not be of plywood: what was frozen then
    names the one and not the other, and does not move."""
    old = frozen_tables(read(preset_text("desk-drawer")))
    old["box"]["groove"]["ends"] = "stopped"
    del old["box"]["panel"]["kind"]
    again = check_piece(old)
    assert isinstance(again, BoxRecipe)
    assert again.groove.ends == "stopped"
    assert again.panel == read(preset_text("desk-drawer")).panel
    assert [item.key for item in added(again)] == ["box.panel.kind"]


@pytest.mark.parametrize("written", ["", "wood = 'cherry'\n", "sawn = 'quarter'\n"])
def test_a_plywood_bottom_reads_back_the_same(written: str) -> None:
    text = f"{SHORT_BOX}[box.panel]\nkind = 'plywood'\n{written}"
    assert joint_of(read(frozen(text))) == joint_of(read(text))
    assert read(frozen(text)).panel == read(text).panel
    assert 'kind = "solid"' in frozen(SHORT_BOX)


@pytest.mark.parametrize(
    "written",
    [
        "thickness = 9\n",
        "edge = 'fielded'\n",
        "held = 'rebate'\nthickness = 5\n",
        "held = 'slips'\nkind = 'plywood'\nedge = 'rebated'\n",
    ],
)
def test_a_bottom_of_any_kind_reads_back_the_same(written: str) -> None:
    text = f"{SHORT_BOX}[box.panel]\n{written}"
    again = read(frozen(text))
    assert isinstance(again, BoxRecipe)
    assert again.panel == read(text).panel
    assert again.groove == read(text).groove
    assert added(again) == ()


# --- the text --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TEXTS)
def test_every_line_of_the_maker_stays_in_its_order(name: str) -> None:
    text = TEXTS[name]
    keys = {item.key.rpartition(".")[2] for item in added(read(text))}
    for line in lines_taken_out(text, frozen(text)):
        assert not line or line.startswith("[") or line.partition(" = ")[0] in keys


def test_a_key_goes_below_the_comment_that_shows_it_with_its_reason() -> None:
    lines = frozen(starter_text("tool-tray")).splitlines()
    shown = lines.index('# spacing = "even"')
    assert lines[shown + 1].startswith('spacing = "even" # tails of one width')


def test_a_comment_above_the_next_table_stays_above_it() -> None:
    text = "[joint]\nwidth = 96 # wide\n\n# the sides\n[tail_board]\nthickness = 10\n[pin_board]\nthickness = 12\n"
    assert "\n\n# the sides\n[tail_board]\n" in frozen(text)


@pytest.mark.parametrize(
    "text",
    [
        "joint = { width = 96 }\ntail_board = { thickness = 10 }\npin_board = { thickness = 12 }\n",
        "joint.width = 96 # wide\ntail_board.thickness = 10\npin_board.thickness = 12",
        '["joint"]\n"width" = 96\n[tail_board]\nthickness=10\n  [pin_board]\n  thickness=12 # last',
        MINIMAL.replace("\n", "\r\n"),
        "[joint]\nwidth = 96\nspacing = [\n  20, # first\n  20,\n]\n" + BOARDS,
        f"{SIZES}{BOARDS}[box.groove]\nwidth=4\n[stock]\nlength=900\n",
        f"{SIZES}groove={{width=4}}\n{BOARDS}",
        f"box = {{length=300,width=200,height=96}}\n{BOARDS}",
        "[print]\nmagnet.diameter = 8\nmagnet.thickness = 3\n" + MINIMAL,
    ],
    ids=[
        "inline",
        "dotted",
        "quoted",
        "CRLF",
        "list over lines",
        "torn apart",
        "inline groove",
        "inline box",
        "magnet",
    ],
)
def test_other_ways_to_write_toml(text: str) -> None:
    once = frozen(text)
    assert joint_of(read(once)) == joint_of(read(text))
    assert chosen(read(once)) == []
    assert frozen(once) == once
    assert ("\r\n" in once) == ("\r\n" in text)
    assert once.count("\n") == once.count("\r\n") or "\r\n" not in once
    assert once.count("#") >= text.count("#")
