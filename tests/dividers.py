"""A tray with three dividers, which tests of dividers share."""

from __future__ import annotations

from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.text.reading import check_box
from tests.boxes import raw_from

TRAY = """
title = "divided tray"
[tail_board]
thickness = 10
wood = "cherry"
[pin_board]
thickness = 10
[box]
length = 300
width = 200
height = 80
[box.groove]
up = 6.5
[[box.divider]]
at = 90
[[box.divider]]
at = 190
joint = "sliding dovetail"
[[box.divider]]
runs = "along"
"""
"""Inside 280 x 180 mm, its bottom's upper face 12.5 mm up. Dividers 7 mm thick and 64.5 mm high, 3.5 mm in the boards;
the third crosses the others."""

CARCASE = """
title = "small carcase"
[tail_board]
thickness = 18
wood = "beech"
[pin_board]
thickness = 18
[box]
length = 600
width = 350
height = 220
[box.groove]
[box.panel]
kind = "plywood"
[[box.divider]]
thickness = 18
joint = "sliding dovetail"
[[box.divider]]
thickness = 18
joint = "sliding dovetail"
[[box.divider]]
thickness = 18
housing = "stopped"
"""
"""A carcase on its back, with three shelves."""


def recipe_of(text: str, *overrides: str) -> BoxRecipe:
    """The resolved recipe of a text with KEY=VALUE overrides."""
    return check_box(raw_from(text, "tray", *overrides))


def tray(*overrides: str, text: str = TRAY) -> BoxLayout:
    """A tray laid out."""
    return lay_out_box(recipe_of(text, *overrides))
