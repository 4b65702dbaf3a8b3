"""What the maker asks for, checked; the one place where input is refused.

Three layers, each importing only from those before it: what may be asked (`fields.py` the kinds of value, `schema.py`
the tables and keys, `resolved.py` the finished records), what completes it (`choices.py` a corner, `boxes.py` a box),
and what reads and writes it (`reading.py`, `freezing.py`). `read_recipe` goes from a file or a preset's name to a
`Recipe` with nothing left out.
"""

from solids.recipe.tables.resolved import Board, Choice, EntryChamfer, Finish, Hand, Recipe, Undercut, slug
from solids.recipe.tables.schema import recipe_schema
from solids.recipe.text.reading import ask, check_recipe, parse_recipe, read_recipe
from solids.recipe.text.texts import box_preset_names, preset_names, preset_text
from solids.recipe.text.toml import toml_of

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
