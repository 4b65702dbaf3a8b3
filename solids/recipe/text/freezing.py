"""Writes what was chosen into the text of a recipe, and keeps every comment, blank line and word of the maker.

The text is read back, and is not handed out unless it gives the very joint it was made from.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from solids.base.errors import FaultError
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.resolved import Recipe
from solids.recipe.text.editing import with_added
from solids.recipe.text.frozen import added
from solids.recipe.text.reading import check_piece
from solids.recipe.text.texts import is_report, source_text
from solids.recipe.text.toml import parse_toml

FROM_REPORT = "# The recipe of {title}, as its report holds it. Nothing is left to choose.\n\n"


def frozen_text(source: str | Path, recipe: Recipe | BoxRecipe) -> str:
    """The recipe's text with nothing left to choose; unchanged where nothing was. FaultError if it is another joint."""
    head = FROM_REPORT.format(title=recipe.title) if is_report(source) else ""
    text = head + with_added(source_text(source), added(recipe))
    _check(text, recipe)
    return text


def _check(text: str, recipe: Recipe | BoxRecipe) -> None:
    """Raises FaultError if a frozen text leaves something to choose, or is another joint."""
    again = check_piece(parse_toml(text, "the frozen recipe"))
    if added(again) or _bare(again) != _bare(recipe) or _told_woods(again) != _told_woods(recipe):
        raise FaultError("the frozen recipe does not read back as the joint it was made from; nothing was written")


def _bare(recipe: Recipe | BoxRecipe) -> Recipe | BoxRecipe:
    """The joint itself, without how the recipe came to it: what was chosen, and under which keys it was written."""
    if isinstance(recipe, Recipe):
        return replace(recipe, choices=())
    corners = {name: replace(corner, choices=()) for name, corner in recipe.corners.items()}
    return replace(recipe, choices=(), corners=corners, written={})


def _told_woods(recipe: Recipe | BoxRecipe) -> list[str]:
    """The woods as people are told them. Of two equal woods one may be assumed and the other not."""
    if isinstance(recipe, Recipe):
        return [recipe.tail_board.wood.told, recipe.pin_board.wood.told]
    fitted = [recipe.panel.wood.told, *(divider.wood.told for divider in recipe.dividers)]
    return [*fitted, *(told for corner in recipe.corners.values() for told in _told_woods(corner))]
