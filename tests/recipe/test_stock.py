"""The boards in the rack as a recipe or a shop has them: what is read, what is refused, and that freezing keeps it."""

from __future__ import annotations

import tomllib

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.base.errors import RecipeError
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.tables.schema import recipe_schema
from solids.recipe.text.editing import with_added
from solids.recipe.text.frozen import added, frozen_toml
from solids.recipe.text.reading import ask, check_box, check_recipe
from solids.recipe.text.shop_file import shop_of
from solids.recipe.text.starter import starter_text
from solids.recipe.text.toml import Raw, toml_of
from solids.wood.rack import NO_RACK, Rack
from tests.recipes import MINIMAL

BOX = "[tail_board]\nthickness = 12\n[pin_board]\nthickness = 12\n[box]\nlength = 300\nwidth = 200\nheight = 90\n"

RACK = """
[[stock.board]]
name = "plank"
length = 2400
width = 200
thickness = 27
wood = "european beech"
count = 2
avoid = [[900, 940], [310, 360]]

[[stock.board]]
length = "36 in"
width = 150
thickness = 15
wood = "walnut"
planed = true
"""


def rack_in(text: str, shop: Shop = NO_SHOP) -> Rack:
    return check_recipe(tomllib.loads(MINIMAL + text), shop=shop).rack


def with_boards(boards: object) -> Raw:
    return {**tomllib.loads(MINIMAL), "stock": {"board": boards}}


def board(**more: object) -> Raw:
    return {"length": 900, "width": 150, "thickness": 15, "wood": "beech", **more}


def refused(boards: object) -> str:
    with pytest.raises(RecipeError) as caught:
        check_recipe(with_boards(boards))
    return "; ".join(f"{one.key}: {one.wrong}; {one.remedy}" for one in caught.value.told)


# --- what is read --------------------------------------------------------------------------------


def test_boards_are_read_with_their_knots_in_order() -> None:
    plank, planed = rack_in(RACK).boards
    assert (plank.name, plank.count, plank.planed) == ("plank", 2, False)
    assert plank.wood.name == "european beech"
    assert plank.avoid == ((310.0, 360.0), (900.0, 940.0))
    assert plank.clear == ((0.0, 310.0), (360.0, 900.0), (940.0, 2400.0))
    assert (planed.length, planed.count, planed.planed) == (36 * 25.4, 1, True)
    assert planed.clear == ((0.0, 36 * 25.4),)


def test_knots_at_the_ends_leave_what_is_between_them() -> None:
    (one,) = check_recipe(with_boards([board(avoid=[[0, 30], [870, 900]])])).rack.boards
    assert one.clear == ((30.0, 870.0),)


def test_a_kerf_and_the_grain_are_chosen_where_there_are_boards_alone() -> None:
    kerfs = {"mm": 3.0, "in": 25.4 / 8}
    for units, kerf in kerfs.items():
        recipe = check_recipe(
            {**with_boards([board(length="900 mm", width="150 mm", thickness="15 mm")]), "units": units}
        )
        assert (recipe.rack.kerf, recipe.rack.grain) == (kerf, "round")
        assert {choice.key for choice in recipe.choices} >= {"stock.kerf", "stock.grain"}
    bare = check_recipe(tomllib.loads(MINIMAL))
    assert bare.rack == NO_RACK
    assert not [choice for choice in bare.choices if choice.key.startswith("stock.")]


def test_a_box_has_a_rack_and_its_corners_have_none() -> None:
    box = check_box(tomllib.loads(BOX + RACK))
    assert len(box.rack.boards) == 2
    assert all(corner.rack == NO_RACK for corner in box.corners.values())


# --- what is refused -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("boards", "words"),
    [
        ([], "[] is no list of boards"),
        (3, "3 is no list of boards"),
        (board(), "[[stock.board]]"),
        ([4], "board 1: 4 is not a table"),
        ([board(), board(length=0)], "board 2, length: 0 mm is under the least; it takes from 3 mm to 20000 mm"),
        ([board(width=-5)], "board 1, width: -5 mm is under the least"),
        ([board(thickness="thick")], "board 1, thickness: 'thick' is"),
        ([board(wood="chery")], "the nearest is 'cherry'"),
        ([board(count=0)], "board 1, count: 0 is under the limit; accepted is a whole number from 1 to 1000"),
        ([board(count=1001)], "1001 is over the limit"),
        ([board(planed="yes")], "write true or false"),
        ([board(name="")], "the name of the board is empty"),
        ([board(name="plank", widht=3)], "board 1 (plank): 'widht' is nothing that a board has"),
        ([{"length": 900}], "board 1 says nothing of width, thickness, wood"),
        ([board(avoid=[[850, 950]])], "reaches to 950 mm, and the board is 900 mm long; end it at 900 mm or before"),
        ([board(avoid=[[0, 500], [500, 900]])], "the spans cover all 900 mm of the board"),
        ([board(avoid=[[100, 200], [150, 300]])], "overlap; write them as one, [100 mm, 300 mm]"),
        ([board(avoid=[[200, 100]])], "the span from 200 mm to 100 mm has no length"),
        ([board(avoid=[100, 200])], "100 is no span; give pairs of places"),
        ([board(avoid=5)], "5 is no list of spans"),
        ([board(avoid=[[n, n + 0.5] for n in range(51)])], "the list has 51 spans; accepted are at most 50"),
        ([board()] * 3000, "the list has 3000 boards; accepted are at most 200; write boards that are alike as one"),
    ],
)
def test_what_no_rack_can_be_is_refused_with_what_can(boards: object, words: str) -> None:
    said = refused(boards)
    assert said.startswith("stock.board: ")
    assert words in said


def test_a_rack_with_many_faults_tells_a_few_and_counts_the_others() -> None:
    said = refused([board(length=0) for _ in range(9)])
    assert "board 3, length" in said
    assert "board 4" not in said
    assert "and 6 more" in said


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.sampled_from(("length", "wood", "avoid", "x")), inner, max_size=3)
        ),
        max_leaves=8,
    )
)
def test_whatever_stands_there_is_read_or_refused_in_words(boards: object) -> None:
    try:
        check_recipe(with_boards([boards]))
    except RecipeError as err:
        assert all(one.wrong and one.remedy for one in err.told)


def test_the_schema_takes_what_the_tool_takes() -> None:
    validator = jsonschema.Draft202012Validator(recipe_schema())
    assert validator.is_valid(tomllib.loads(MINIMAL + RACK))
    for bad in ([board(count=0)], [{"length": 900}], [board(widht=3)], [], [board(avoid=[[1]])]):
        assert not validator.is_valid(with_boards(bad))


# --- as text -------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", [MINIMAL + RACK, BOX + RACK, BOX + "[stock]\ngrain = 'yield'\n" + RACK])
def test_freezing_keeps_the_rack(text: str) -> None:
    check = check_box if "[box]" in text else check_recipe
    recipe = check(tomllib.loads(text))
    for frozen in (frozen_toml(recipe), with_added(text, added(recipe))):
        again = check(tomllib.loads(frozen))
        assert again.rack == recipe.rack
        assert added(again) == ()


def test_what_was_asked_for_reads_back_from_its_text() -> None:
    asked = ask(MINIMAL + RACK)
    assert ask(toml_of(asked)).stock == asked.stock


def test_the_starter_shows_a_board_that_can_be_switched_on() -> None:
    text = starter_text("keepsake-box")
    (line,) = [line for line in text.splitlines() if line.startswith("# board = ")]
    assert len(check_box(tomllib.loads(text.replace(line, line[2:]))).rack.boards) == 1


# --- in the shop ---------------------------------------------------------------------------------


def test_the_rack_of_the_shop_stands_behind_a_recipe() -> None:
    shop = shop_of(tomllib.loads("[stock]\nkerf = 1.5\n" + RACK))
    recipe = check_recipe(tomllib.loads(MINIMAL), shop=shop)
    assert (len(recipe.rack.boards), recipe.rack.kerf) == (2, 1.5)
    (choice,) = [choice for choice in recipe.choices if choice.key == "stock.board"]
    assert (choice.value, choice.rule) == ("3 boards", "from your shop")
    assert check_recipe(tomllib.loads(frozen_toml(recipe))).rack == recipe.rack
    own = rack_in("[[stock.board]]\nlength = 500\nwidth = 100\nthickness = 20\nwood = 'ash'\n", shop)
    assert [one.wood.name for one in own.boards] == ["ash"], "the recipe's own rack goes first"
    assert own.kerf == 1.5


def test_inches_of_the_shop_are_inches_in_a_metric_recipe() -> None:
    shop = shop_of(
        tomllib.loads('units = "in"\n[[stock.board]]\nlength = 48\nwidth = 6\nthickness = 1\nwood = "ash"\n')
    )
    (one,) = check_recipe({**tomllib.loads(MINIMAL), "units": "mm"}, shop=shop).rack.boards
    assert (one.length, one.width, one.thickness) == pytest.approx((48 * 25.4, 6 * 25.4, 25.4))


def test_a_wood_of_the_shops_own_names_boards_in_both() -> None:
    woods = "[woods.plum]\nkind = 'hardwood'\ndensity = 750\n"
    plum = "[[stock.board]]\nlength = 500\nwidth = 100\nthickness = 20\nwood = 'Plum'\n"
    of_shop = check_recipe(tomllib.loads(MINIMAL), shop=shop_of(tomllib.loads(woods + plum))).rack
    of_recipe = rack_in(plum, shop_of(tomllib.loads(woods)))
    assert [rack.boards[0].wood.told for rack in (of_shop, of_recipe)] == ["plum", "plum"]
    assert of_shop.boards[0].wood.density == 750
