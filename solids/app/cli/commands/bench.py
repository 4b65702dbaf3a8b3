"""`halfpin bench`: a page to design on, in the browser."""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from pathlib import Path

import click

from solids.app.exits import GOOD
from solids.app.terminal import say


@click.command(short_help="Open a page in the browser on which you design.")
@click.argument("place", metavar="[FOLDER or RECIPE]", type=click.Path(path_type=Path), required=False)
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="The port of the page; default: any free one.")
@click.option("--no-open", is_flag=True, help="Print the address, and leave the browser alone.")
@click.option("--shortcut", is_flag=True, help="Put something on your desktop that opens it with a double-click.")
@click.option("--lan", is_flag=True, help="Offer the bench, to see and tick, in the local network; default: off.")
@click.option("--lan-address", metavar="ADDRESS", help="The same, at this address of several that this machine has.")
@click.option("--no-shop", is_flag=True, help="Leave out your own settings (see `halfpin shop`).")
def bench(
    place: Path | None, port: int, no_open: bool, shortcut: bool, lan: bool, lan_address: str | None, no_shop: bool
) -> int:
    """Open a page in the browser on which you design: recipes of a folder, or one of them.

    Without an argument it takes the folder Halfpin in your own documents, and makes it if need be. The page is for the
    browser on this machine alone. Every change is saved in the recipe's file. Ctrl-C stops, and so does the page.

    With --lan a phone or tablet in the same network can show a piece at the bench, with the order of work to tick off.
    It opens an address that is told here, or scans its code. It can change no recipe, and nothing is encrypted.
    """
    if shortcut:
        return _put_shortcut(place)
    from solids.app.desk.hands import hands_of
    from solids.app.desk.proofs import proofs_file
    from solids.app.desk.serving.lan import lan_of
    from solids.app.desk.serving.start import folder_of, serve
    from solids.app.desk.shop.own_shop import OwnShop
    from solids.app.desk.sitting import Sitting
    from solids.recipe.completing.shop import NO_SHOP
    from solids.recipe.text.shop_file import shop_file

    def sitting_of(at: Path) -> Sitting:
        own_shop = OwnShop(shop_file(), is_used=not no_shop)
        sitting = Sitting(at, NO_SHOP if no_shop else own_shop.shop, hands_of, proofs=proofs_file())
        own_shop.begin(sitting)
        return sitting

    folder, recipe = folder_of(place)
    offered = lan_of(lan_address) if lan or lan_address is not None else None
    with suppress(KeyboardInterrupt):
        serve(folder, recipe, sitting_of, port, partial(say, err=True), show=not no_open, lan=offered)
    return GOOD


def _put_shortcut(place: Path | None) -> int:
    from solids.app.desk.serving.shortcut import put_shortcut
    from solids.app.desk.serving.start import folder_of

    if place:
        folder_of(place)
    say(f"{put_shortcut(place)} opens the bench with a double-click.")
    say("If your desktop asks first, say that it may be launched.")
    return GOOD
