"""The argument RECIPE of most commands, with its shell completion."""

from __future__ import annotations

import click
from click.shell_completion import CompletionItem


def _complete_recipe(_context: click.Context, _parameter: click.Parameter, typed: str) -> list[CompletionItem]:
    """Completes to presets and to any files the shell finds."""
    from solids.recipe import box_preset_names, preset_names

    names = [CompletionItem(name) for name in (*preset_names(), *box_preset_names()) if name.startswith(typed)]
    return [*names, CompletionItem(typed, type="file")]


recipe_argument = click.argument("recipe", metavar="RECIPE", shell_complete=_complete_recipe)
