"""`halfpin shop`: the maker's own settings, which stand behind every recipe."""

from __future__ import annotations

import json

import click

from solids.app.recipe_files import write_over
from solids.app.terminal import print_raw, say

UNITS = {"in": "inches", "mm": "millimetres", None: "millimetres"}


def _complete_setting(context: click.Context, parameter: click.Parameter, typed: str) -> list[str]:
    return [f"{key}=" for key in _complete_key(context, parameter, typed)]


def _complete_key(_context: click.Context, _parameter: click.Parameter, typed: str) -> list[str]:
    from solids.recipe.text.shop_file import shop_keys

    return [key for key in shop_keys() if key.startswith(typed)]


@click.command("shop")
@click.option(
    "--set",
    "values",
    metavar="KEY=VALUE",
    multiple=True,
    shell_complete=_complete_setting,
    help="Change a setting; may be repeated.",
)
@click.option(
    "--unset", metavar="KEY", multiple=True, shell_complete=_complete_key, help="Take a setting out; may be repeated."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON for a script.")
def shop_command(values: tuple[str, ...], unset: tuple[str, ...], as_json: bool) -> None:
    """Show or change your own settings: tools, printer, paper, air, units and woods.

    They stand behind every recipe: its own word goes first, then your shop's, then the tool's rule.
    """
    from solids.recipe.text.shop_edits import edited, settings_lines
    from solids.recipe.text.shop_file import shop_file, shop_text

    file = shop_file()
    before = shop_text(file)
    text, shop = edited(before or "", str(file), values, unset)
    if text != (before or ""):
        write_over(file, text)
        say(f"Wrote {file}.", err=True)
        if "units" in {item.partition("=")[0].strip() for item in (*values, *unset)}:
            now = UNITS[shop.asked.units]
            say(f"Note: plain numbers in it, and in recipes that name no units, are now {now}.", err=True)
    elif values or unset:
        say(f"{file} says so already. It was left unchanged.", err=True)
    is_there = before is not None or bool(text)
    if as_json:
        print_raw(json.dumps({"file": str(file), "is_there": is_there, "settings": shop.tables}, indent=2))
        return
    say(f"# {file}" if is_there else f"# {file} is not there yet; `halfpin shop --set KEY=VALUE` makes it")
    for line in settings_lines(shop):
        say(line)
