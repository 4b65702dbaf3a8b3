"""What the maker asks for, checked; the one place where input is refused.

`read_recipe` goes from a file or a preset's name to a `Recipe` with nothing left out. The keys stand in `schema.py`,
the kinds of value in `fields.py`, the rules that fill in what is left out in `choices.py`.
"""

from solids.recipe.reading import ask, check_recipe, parse_recipe, read_recipe
from solids.recipe.resolved import Board, Choice, EntryChamfer, Finish, Hand, Recipe, Undercut, slug
from solids.recipe.schema import recipe_schema
from solids.recipe.texts import box_preset_names, preset_names, preset_text
from solids.recipe.toml import toml_of

__all__ = [
    "Board",
    "Choice",
    "EntryChamfer",
    "Finish",
    "Hand",
    "Recipe",
    "Undercut",
    "ask",
    "box_preset_names",
    "check_recipe",
    "parse_recipe",
    "preset_names",
    "preset_text",
    "read_recipe",
    "recipe_schema",
    "slug",
    "toml_of",
]
