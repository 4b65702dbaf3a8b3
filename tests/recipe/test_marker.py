"""The keys of the marking template: read, refused with what would be accepted, kept, and the same from a shop."""

from __future__ import annotations

import pytest

from solids.base import tolerances as tol
from solids.base.errors import RecipeError
from solids.recipe import parse_recipe, preset_text
from solids.recipe.completing.shop import Shop
from solids.recipe.tables.resolved import Marker, Recipe
from solids.recipe.text.frozen import frozen_toml
from solids.recipe.text.reading import check_piece
from solids.recipe.text.shop_file import shop_of
from solids.recipe.text.toml import parse_toml


def read(*overrides: str, preset: str = "tool-tray") -> Recipe:
    return parse_recipe(preset_text(preset), preset, overrides)


def refusal(*overrides: str, preset: str = "tool-tray") -> str:
    with pytest.raises(RecipeError) as caught:
        read(*overrides, preset=preset)
    return str(caught.value)


ALL = (
    'aids.marker.body="waisted"',
    'aids.marker.slopes=["1:6", "8 deg"]',
    "aids.marker.thickest=25",
    "aids.marker.leg=30",
    'aids.marker.words="Ébène & Söhne"',
    "aids.marker.hang_hole=5",
)


def test_left_out_it_is_plain_and_follows_the_joint() -> None:
    assert read().marker == Marker("plain", (), 0.0, 0.0, "", 0.0)


def test_all_of_it_is_read() -> None:
    marker = read(*ALL).marker
    assert marker.slopes == pytest.approx((6.0, 7.115), abs=1e-3)
    assert (marker.body, marker.thickest, marker.leg) == ("waisted", 25.0, 30.0)
    assert (marker.words, marker.hang_hole) == ("Ébène & Söhne", 5.0)


@pytest.mark.parametrize(
    ("override", "told"),
    [
        ('aids.marker.body="round"', "aids.marker.body: 'round' is not known here; accepted is"),
        ('aids.marker.slopes=["1:1"]', "aids.marker.slopes: 1:1 is outside what wood holds; accepted is from 1:2"),
        ("aids.marker.slopes=[]", "aids.marker.slopes: the list has 0 slopes; give one slope or two in a list"),
        ('aids.marker.slopes=["1:6", "1:7", "1:8"]', "aids.marker.slopes: the list has 3 slopes"),
        ('aids.marker.slopes=["1:6", "1:6.0"]', "aids.marker.slopes: both slopes are the same"),
        ('aids.marker.slopes="1:6"', "aids.marker.slopes: '1:6' is not a list of slopes"),
        ("aids.marker.hang_hole=9", "aids.marker.hang_hole: 9 mm is over the most; it takes 0, or from 2 mm to 8 mm"),
        ("aids.marker.hang_hole=1", "aids.marker.hang_hole: 1 mm is under the least; it takes 0, or from 2 mm to 8 mm"),
        ('aids.marker.words="日本"', "aids.marker.words: the font for engraving lacks 日本; write it in letters"),
        ('aids.marker.words="  "', "aids.marker.words: the text to engrave is empty"),
        ("aids.marker.words=3", "aids.marker.words: 3 is not a text"),
        ("aids.marker.hole=3", "aids.marker.hole: is not a key of a recipe; the nearest known key is aids.marker.h"),
        ("aids.marker.thickest=11", "aids.marker.thickest: 11 mm is less than the 12 mm of a board here; accepted"),
        ("aids.marker.thickest=61", "aids.marker.thickest: 61 mm is over the most"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_with_what_can(override: str, told: str) -> None:
    assert refusal(override).startswith(told)


def test_legs_shorter_than_the_thickest_board_are_refused_and_the_length_that_is_told_is_taken() -> None:
    """A board of 12 mm whose ends stand 0.5 mm proud takes legs of 12.5 mm; one of 25 mm takes 25.5."""
    told = refusal("aids.marker.leg=12.4")
    assert (
        "legs of 12.4 mm do not reach across the thickest board, 12 mm, with 0.5 mm that its ends stand proud" in told
    )
    assert told.endswith("accepted is 12.5 mm or more, or leave it out")
    assert read("aids.marker.leg=12.5").marker.leg == 12.5
    assert "accepted is 25.5 mm or more" in refusal("aids.marker.leg=25", "aids.marker.thickest=25")
    assert read("aids.marker.leg=25.5", "aids.marker.thickest=25").marker.leg == 25.5
    # 14.9 + 0.3 is 15.200000000000001 in double precision.
    thick = [f"{board}_board.{size}" for board in ("tail", "pin") for size in ("thickness=14.9", "proud=0.3")]
    assert read("aids.marker.leg=15.2", *thick).marker.leg == 15.2


def test_the_corners_of_a_box_have_it_too_and_a_short_leg_is_told_once() -> None:
    box = check_piece(parse_toml(preset_text("keepsake-box"), "box") | {"aids": {"marker": {"body": "waisted"}}})
    assert {corner.marker.body for corner in box.corners.values()} == {"waisted"}  # type: ignore[union-attr]
    with pytest.raises(RecipeError) as caught:
        check_piece(parse_toml(preset_text("keepsake-box"), "box") | {"aids": {"marker": {"leg": 6}}})
    assert [told.key for told in caught.value.told] == ["aids.marker.leg"]


@pytest.mark.parametrize("overrides", [(), ALL])
def test_a_frozen_recipe_has_the_same_template(overrides: tuple[str, ...]) -> None:
    recipe = read(*overrides)
    assert parse_recipe(frozen_toml(recipe), "frozen").marker == recipe.marker


def shop(text: str) -> Shop:
    return shop_of(parse_toml(text, "shop.toml"))


def test_the_shop_stands_behind_the_recipe_key_by_key() -> None:
    usual = shop('[aids.marker]\nwords = "OAK"\nslopes = ["1:6", "1:8"]\nbody = "waisted"\n')
    recipe = parse_recipe(preset_text("tool-tray"), "tool-tray", ('aids.marker.body="plain"',), usual)
    assert recipe.marker == Marker("plain", (6.0, 8.0), 0.0, 0.0, "OAK", 0.0)
    listed = {choice.key: choice.value for choice in recipe.choices if choice.key.startswith("aids.")}
    assert listed == {"aids.marker.slopes": "1:6, 1:8", "aids.marker.words": "OAK"}
    assert parse_recipe(frozen_toml(recipe), "frozen").marker == recipe.marker


def test_limits_leave_wood_round_a_hole() -> None:
    assert tol.LEAST_HANG_HOLE < tol.WIDEST_HANG_HOLE
    assert read(f"aids.marker.hang_hole={tol.WIDEST_HANG_HOLE}").marker.hang_hole == tol.WIDEST_HANG_HOLE
