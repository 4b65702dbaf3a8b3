"""The JSON Schema of a recipe: what a maker may write validates, what is refused key by key mostly does not."""

from __future__ import annotations

import tomllib
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings

from solids.base.errors import InputError
from solids.recipe import box_preset_names, preset_names, preset_text, recipe_schema
from solids.recipe.tables.schema import known_keys
from solids.recipe.text.reading import check_box
from solids.recipe.text.starter import starter_text
from solids.recipe.text.toml import apply_override
from tests.boxes import CASES, raw_of
from tests.recipes import MINIMAL, WHOLE, problems, recipe_texts, try_lay_out

VALIDATOR = jsonschema.Draft202012Validator(recipe_schema())


def raw(*overrides: str, text: str = MINIMAL) -> dict[str, Any]:
    tables = tomllib.loads(text)
    for item in overrides:
        assert apply_override(tables, item) is None
    return tables


def test_the_schema_is_itself_valid_and_says_which_draft() -> None:
    jsonschema.Draft202012Validator.check_schema(recipe_schema())
    assert recipe_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert recipe_schema()["$id"] == "urn:halfpin:recipe:1"


@pytest.mark.parametrize("name", [*preset_names(), *box_preset_names()])
def test_every_preset_and_its_starter_validate(name: str) -> None:
    VALIDATOR.validate(tomllib.loads(preset_text(name)))
    VALIDATOR.validate(tomllib.loads(starter_text(name)))


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_every_recipe_that_is_accepted_validates(text: str) -> None:
    if try_lay_out(text) is not None:
        VALIDATOR.validate(tomllib.loads(text))


GOOD = [
    ("joint.width=3 1/2 in",),
    ("joint.spacing=[12, 18, 12]",),
    ("joint.spacing=graduated",),
    ("joint.spacing=by eye", "joint.seed=12"),
    ("joint.spacing=[40]", "joint.width=60"),
    ("title=a",),
    ("joint.slope=8 deg",),
    ("joint.slope=1:6.5",),
    ("joint.allow_thin_half_pin=true",),
    ("tail_board.wood=Red Oak",),
    ('tail_board.wood={name = "pear", kind = "hardwood", density = 690}',),
    ('tail_board.wood={assumed = "beech"}', 'pin_board.wood={assumed = "beech"}'),
    ("fit.flank_gap=-0.03",),
    ("fit.flank_gap=-0.03 mm",),
    (
        'tail_board.wood={kind = "hardwood", density = 690, radial = 0.0016, tangential = 0.0031, shear = 14, '
        "bending = 98, compression = 8}",
    ),
    ("climate.shop=20 C, 50 %", "climate.home=68 F; 35 % RH"),
    ("climate.shop=-1 °C 50%",),
    ("paper.size=Letter", "paper.corner_relief=true", "kit.cutters=[3, 6.35]"),
    ("kit.chisels=[3, 6]", "print.bed=[220, 200]", "print.magnet={diameter = 10, thickness = 2}"),
]


@pytest.mark.parametrize("overrides", GOOD)
def test_what_the_tool_reads_the_schema_accepts(overrides: tuple[str, ...]) -> None:
    assert problems(*overrides) == ()
    VALIDATOR.validate(raw(*overrides))


BAD = [
    "joint.width=true",
    "joint.width=wide",
    "joint.tails=0",
    "joint.tails=101",
    "joint.tails=2.5",
    "joint.kind=mitred",
    "joint.slope=7",
    "joint.slope=7:1",
    "joint.grading=2.1",
    "joint.grading=-0.6",
    "joint.spacing=odd",
    "joint.seed=0",
    "joint.seed=1.5",
    "joint.spacing=[]",
    "joint.allow_thin_half_pin=yes",
    "joint.tials=4",
    "titel=x",
    'title=""',
    "title=" + 81 * "a",
    "units=cm",
    "tail_board.sawn=rift",
    "tail_board.wood=3",
    'pin_board.wood={kind = "hardwood"}',
    'pin_board.wood={assumed = "beech", density = 690}',
    'pin_board.wood={kind = "hardwood", density = 49}',
    'pin_board.wood={kind = "hardwood", density = 1501}',
    'pin_board.wood={kind = "hardwood", density = 690, radial = 0.03, tangential = 0.003}',
    'pin_board.wood={kind = "hardwood", density = 690, shear = 0.4, bending = 98}',
    'pin_board.wood={kind = "hardwood", density = 690, stiffness = 9}',
    "finish.ends=round",
    "climate.shop=20",
    "climate.shop=20 K, 50 %",
    "climate.home=50 %",
    "climate.home=[20, 50]",
    "climate.attic=20 C, 50 %",
    "paper.size=A5",
    "paper.size=letter",
    "paper.corner_relief=yes",
    "kit.cutters=6",
    "kit.chisels=3",
    "kit.knife=[3]",
    "print.bed=[220]",
    "print.bed=[220, 220, 220]",
    "print.magnet={diameter = 10}",
    "joint=3",
]


@pytest.mark.parametrize("override", BAD)
def test_what_the_tool_refuses_key_by_key_the_schema_refuses(override: str) -> None:
    assert problems(override) != ()
    assert not VALIDATOR.is_valid(raw(override))


@pytest.mark.parametrize("key", ["width", "thickness"])
def test_the_three_required_keys_are_required(key: str) -> None:
    """Of all keys, these alone may not be taken out of a whole recipe."""
    for table in ("joint", "tail_board", "pin_board"):
        tables = raw(text=WHOLE)
        if tables[table].pop(key, None) is not None:
            assert not VALIDATOR.is_valid(tables)
    tables = raw(text=WHOLE)
    for optional in set(tables["joint"]) - {"width"}:
        del tables["joint"][optional]
    VALIDATOR.validate(tables)


# --- boxes -----------------------------------------------------------------------------------------

TABLES = ("joint", "tail_board", "pin_board")


@pytest.mark.parametrize("name", CASES)
def test_every_box_that_is_accepted_validates(name: str) -> None:
    check_box(raw_of(*CASES[name]))
    VALIDATOR.validate(raw_of(*CASES[name]))


def test_a_box_may_leave_out_what_a_corner_may_not() -> None:
    """Width from the height, thicknesses from single boards; the tables with them."""
    sides = {side: {"thickness": 12} for side in ("front", "back", "left", "right")}
    box = {"box": {"length": 300, "width": 200, "height": 96, **sides}}
    check_box(box)
    VALIDATOR.validate(box)


@pytest.mark.parametrize("text", [MINIMAL, preset_text("keepsake-box")])
@pytest.mark.parametrize("table", TABLES)
def test_a_corner_may_not_leave_out_what_a_box_may(text: str, table: str) -> None:
    tables = {**raw(text=text), "joint": {"width": 96}}
    tables.pop("box", None)
    VALIDATOR.validate(tables)
    for less in ({key: value for key, value in tables.items() if key != table}, {**tables, table: {}}):
        assert not VALIDATOR.is_valid(less)
        VALIDATOR.validate({**less, "box": {}})


BAD_BOX = [
    "box=3",
    "box.depth=20",
    "box.length=wide",
    "box.tails_on=lids",
    "box.back_above_bottom=yes",
    "box.top.thickness=3",
    "box.front.length=3",
    "box.front.wood=3",
    "box.joints.back.width=20",
    "box.joints.back.tails=0",
    "box.joints.middle.tails=3",
    "box.groove.with=3",
    "box.groove.ends=open",
    "box.panel.grain=across",
    "box.rough.height=3",
    "stock.thickness=20",
    "joint.tials=4",
    "tail_board.thick=4",
]


@pytest.mark.parametrize("override", BAD_BOX)
def test_what_the_tool_refuses_of_a_box_key_by_key_the_schema_refuses(override: str) -> None:
    tables = raw_of("keepsake-box", override)
    assert not VALIDATOR.is_valid(tables)
    with pytest.raises(InputError):
        check_box(tables)


def test_every_known_key_is_described_in_the_schema() -> None:
    schema = recipe_schema()
    for path in known_keys():
        node: dict[str, Any] = schema
        for part in path.split("."):
            while "$ref" in node or "anyOf" in node:
                node = schema["$defs"][node["$ref"].rsplit("/", 1)[1]] if "$ref" in node else node["anyOf"][0]
            node = node["properties"][part]
        assert node["description"], path
        assert node["examples"], path
