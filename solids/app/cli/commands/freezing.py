"""`halfpin freeze`: every chosen value is written into the recipe."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from solids.app.cli.steps.recipe_argument import recipe_argument
from solids.app.cli.steps.written import write_new, write_over
from solids.app.terminal import say
from solids.base.errors import InputError

if TYPE_CHECKING:
    from solids.recipe import Recipe
    from solids.recipe.tables.box_resolved import BoxRecipe


@click.command()
@recipe_argument
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="FILE", help="Write a new file, and leave the recipe as it is."
)
def freeze(recipe: str, out: Path | None) -> None:
    """Write every chosen value into the recipe, so that no better rule of a later version moves a joint half cut.

    Nothing you wrote is changed, and comments stay. RECIPE may be the report.json of a joint that was made.
    """
    from solids.recipe.text.freezing import frozen_text, toml_value
    from solids.recipe.text.frozen import added
    from solids.recipe.text.texts import is_report, recipe_file

    sound, file = _sound(recipe), recipe_file(recipe)
    if out is None and (file is None or is_report(recipe)):
        what = "a preset" if file is None else "a report"
        raise InputError(f"{recipe} is {what}, which stays as it is; add --out FILE for the frozen recipe")
    items = added(sound)
    if not items and out is None:
        say(f"Nothing is left to choose in {recipe}. It was left as it is.", err=True)
        return
    text = frozen_text(recipe, sound)
    if out is not None:
        write_new(out, text)
    elif file is not None:
        write_over(file, text)
    for item in items:
        say(f"{item.key} = {toml_value(item.value)}: {item.why}")
    say(f"Wrote {out or file}, with {len(items)} values that rules had chosen.", err=True)


def _sound(source: str) -> Recipe | BoxRecipe:
    """The recipe behind a source, where its joint can be laid out; what cannot be cut is not worth keeping."""
    from solids.layout.plan import plan

    return plan(source).recipe
