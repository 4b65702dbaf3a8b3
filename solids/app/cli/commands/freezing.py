"""`halfpin freeze`: writes every chosen value into the recipe."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from solids.app.cli.steps.recipe_argument import recipe_argument, shop_option
from solids.app.recipe_files import write_new, write_over
from solids.app.terminal import say
from solids.base.errors import InputError
from solids.base.messages import counted

if TYPE_CHECKING:
    from solids.recipe import Recipe
    from solids.recipe.completing.shop import Shop
    from solids.recipe.tables.box_resolved import BoxRecipe


@click.command()
@recipe_argument
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="FILE", help="Write a new file; leave the recipe unchanged."
)
@shop_option
def freeze(recipe: str, out: Path | None, shop: Shop) -> None:
    """Write every chosen value into the recipe, so that no better rule of a later version changes a joint half cut.

    Your own values and comments stay as they are. RECIPE may be the report.json of an earlier build.
    """
    from solids.recipe.text.editing import toml_value
    from solids.recipe.text.freezing import frozen_text
    from solids.recipe.text.frozen import added
    from solids.recipe.text.texts import is_report, recipe_file

    resolved, file = _cuttable_recipe(recipe, shop), recipe_file(recipe)
    if out is None and (file is None or is_report(recipe)):
        what = "a preset" if file is None else "a report"
        raise InputError(f"{recipe} is {what}, which is never changed; add --out FILE for the frozen recipe")
    items = added(resolved)
    if not items and out is None:
        say(f"{recipe} leaves nothing to choose. It was left unchanged.", err=True)
        return
    text = frozen_text(recipe, resolved)
    if out is not None:
        write_new(out, text)
    elif file is not None:
        write_over(file, text, "; or give --out FILE")
    for item in items:
        say(f"{item.key} = {toml_value(item.value)}: {item.why}")
    chosen = (
        f", with {counted(len(items), 'value')} that the recipe left out" if items else ". It left nothing to choose"
    )
    say(f"Wrote {out or file}{chosen}.", err=True)


def _cuttable_recipe(source: str, shop: Shop) -> Recipe | BoxRecipe:
    """The recipe of a source. RecipeError if it cannot be laid out: such a recipe is not worth freezing."""
    from solids.layout.plan import plan

    return plan(source, shop=shop).recipe
