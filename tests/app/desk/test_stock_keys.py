"""The boards in the rack on the page: shown as one line of TOML, which can be typed back."""

from __future__ import annotations

import tomllib

from solids.app.desk.keys import controls, values_of
from solids.app.desk.piece import values
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.text.reading import check_recipe
from tests.recipes import MINIMAL

RACK = """
[[stock.board]]
name = "long one"
length = 2400
width = 120
thickness = 20
wood = "walnut"
avoid = [[310, 360]]
"""


def test_the_rack_is_shown_on_one_line_and_reads_back_as_it_was() -> None:
    tables = tomllib.loads(MINIMAL + RACK)
    shown = values.values_of(tables, check_recipe(tables), (), is_box=False)
    assert "\n" not in shown["stock.board"]["value"]
    assert values_of({"stock.board": shown["stock.board"]["value"]}) == {"stock.board": tables["stock"]["board"]}
    assert shown["stock.grain"]["shown"] == "round"
    assert shown["stock.kerf"]["by"] == "rule"


def test_its_example_can_be_typed() -> None:
    (control,) = [one for one in controls(NO_SHOP) if one["key"] == "stock.board"]
    for units, example in control["examples"].items():
        typed = values_of({"stock.board": example})["stock.board"]
        recipe = check_recipe({**tomllib.loads(MINIMAL), "stock": {"board": typed}})
        assert recipe.rack.boards[0].length > 2000, units
    assert control["piece"] == "both"
