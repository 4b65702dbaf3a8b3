"""The argument RECIPE of most commands, with its shell completion, and the maker's own shop behind the recipe."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem

if TYPE_CHECKING:
    from solids.recipe.completing.shop import Shop


def _complete_recipe(_context: click.Context, _parameter: click.Parameter, typed: str) -> list[CompletionItem]:
    """Completes to presets and to any files the shell finds."""
    from solids.recipe import box_preset_names, preset_names

    names = [CompletionItem(name) for name in (*preset_names(), *box_preset_names()) if name.startswith(typed)]
    return [*names, CompletionItem(typed, type="file")]


recipe_argument = click.argument("recipe", metavar="RECIPE", shell_complete=_complete_recipe)


def _shop(context: click.Context, _parameter: click.Parameter, left_out: bool) -> Shop:
    """The shop, read once for the whole run."""
    from solids.recipe.completing.shop import NO_SHOP
    from solids.recipe.text.shop_file import read_shop

    return NO_SHOP if left_out or context.resilient_parsing else read_shop()


shop_option = click.option(
    "--no-shop", "shop", is_flag=True, callback=_shop, help="Leave out your own settings (see `halfpin shop`)."
)
"""Gives a command the maker's `Shop`."""
