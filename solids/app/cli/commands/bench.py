"""`halfpin bench`: a page to design on, in the browser."""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from solids.app.cli.steps.recipe_argument import shop_option
from solids.app.exits import GOOD
from solids.app.terminal import say

if TYPE_CHECKING:
    from solids.recipe.completing.shop import Shop


@click.command(short_help="Open a page in the browser on which you design.")
@click.argument("place", metavar="[FOLDER or RECIPE]", type=click.Path(path_type=Path), required=False)
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="The port of the page; default: any free one.")
@click.option("--no-open", is_flag=True, help="Print the address, and leave the browser alone.")
@shop_option
def bench(place: Path | None, port: int, no_open: bool, shop: Shop) -> int:
    """Open a page in the browser on which you design: recipes of a folder, or one of them.

    Without an argument it takes the folder Halfpin in your own documents, and makes it if need be. The page is for the
    browser on this machine alone. Every change is saved in the recipe's file. Ctrl-C stops.
    """
    from solids.app.desk.hands import hands_of
    from solids.app.desk.sitting import Sitting
    from solids.app.desk.start import folder_of, serve

    folder, recipe = folder_of(place)
    with suppress(KeyboardInterrupt):
        serve(folder, recipe, lambda at: Sitting(at, shop, hands_of), port, partial(say, err=True), show=not no_open)
    return GOOD
