"""`halfpin new`: writes a recipe to start from, of a preset or of a joint that is there already."""

from __future__ import annotations

import re
from pathlib import Path

import click

from solids.app.recipe_files import write_new
from solids.app.terminal import say
from solids.base.errors import InputError

PRESET = "tool-tray"
"""What a starter recipe begins from."""


def _complete_preset(_context: click.Context, _parameter: click.Parameter, typed: str) -> list[str]:
    from solids.recipe import box_preset_names, preset_names

    return [name for name in (*preset_names(), *box_preset_names()) if name.startswith(typed)]


@click.command(short_help="Write a starter recipe, or one from marks taken off a board.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--preset", shell_complete=_complete_preset, help=f"The preset to start from; default: {PRESET}.")
@click.option(
    "--measured",
    metavar="MARKS",
    type=click.Path(path_type=Path),
    help="A table of marks to make the recipe from, in place of a preset.",
)
def new(file: Path, preset: str | None, measured: Path | None) -> None:
    """Write a starter recipe, with a comment for every key.

    With --measured it is the recipe of a joint that is there already: of an old board that needs a new mate, or of
    tails as you really cut them. MARKS is a table (CSV) such as this:

    \b
      title,drawer side
      units,in
      taken from,tails
      outer marks at,raw end
      proud,1/32
      width,4 1/2
      tail board,3/8
      pin board,1/2
      outer,baseline
      1/4,11/32
      1 31/32,1 7/8

    Below "outer,baseline" each flank has a row, in any order: its distances from the reference edge, at the outer plane
    and at the baseline. Above stand, in any order:

    \b
      title            a name; may be left out
      units            mm or in; the unit of plain numbers
      taken from       tails or pins
      outer marks at   finished face (on pins the show face), or raw end
      proud            how far the raw end stands past the finished face
      width            of the joint
      tail board       thickness
      pin board        thickness
      lap              half-blind only: the wood left in front of the tails
      reference edge   half pin or half tail
      other edge       half pin or half tail

    Leave out both edges where every flank has a row: a flank at 0, or at the full width, is the edge of a half tail.
    What looks like a slip of the rule is named, and stands as a comment in the recipe.
    """
    if preset and measured:
        raise InputError("--preset and --measured both say what to start from; leave one out")
    name = re.sub(r"[-_]+", " ", file.stem).strip() or None
    write_new(file, _from_marks(measured, name) if measured else _from_preset(preset or PRESET, name))
    say(f"Wrote {file}. Change it, then try: halfpin layout {file}", err=True)


def _from_preset(preset: str, name: str | None) -> str:
    from solids.recipe.text.starter import starter_text

    return starter_text(preset, name)


def _from_marks(table: Path, name: str | None) -> str:
    """The recipe of some marks. What looks like a slip goes to stderr."""
    from solids.recipe.text.measured.reading import marks_in
    from solids.recipe.text.measured.writing import recipe_from

    text, slips = recipe_from(marks_in(table), name)
    for slip in slips:
        say(f"Note: {slip}.", err=True)
    return text
