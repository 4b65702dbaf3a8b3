"""Recipes with every kind of joint, and what a move makes of them."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from solids.app.desk.piece.moves import moved
from solids.app.desk.piece.state import Reading, read, state_of
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.tables.keys import take_at
from solids.recipe.text.frozen import inline_toml
from solids.recipe.text.toml import Raw, apply_override


def corner(joint: str, tail_board: str = "", pin_board: str = "", head: str = "", width: str = "96") -> str:
    """A corner 96 wide, of boards 10 and 12 thick, with more lines in its tables."""
    thick = ("10", "12") if "in" not in head else ('"3/8 in"', '"1/2 in"')
    return (
        f"{head}\n[joint]\nwidth = {width}\n{joint}\n[tail_board]\nthickness = {thick[0]}\n{tail_board}\n"
        f"[pin_board]\nthickness = {thick[1]}\n{pin_board}\n"
    )


EVEN = corner("tails = 4\npin = 3\nhalf_pin = 6\nslope = '1:7'", "length = 150")
"""Tails of (96 - 12 - 9) / 4 = 18.75 mm; their necks are 2 x 12/7 = 3.43 mm narrower."""

KINDS = {
    "even": EVEN,
    "flanks": corner("flanks = [6, 24, 28, 46, 50, 68, 72, 90]"),
    "with feet": corner("flanks = [[6, 8], [24, 22.5], [28, 29], [46, 44], [50, 52], [90, 88]]"),
    "half tail": corner('tails = 4\nedges = ["half tail", "half pin"]'),
    "measured half tail": corner("flanks = [0, [19, 17], [23, 24], [41, 39], [45, 46], [64, 62], [68, 70], [90, 88]]"),
    "mitred": corner("mitre = { reference = 0, other = 8 }", "rebate = 2"),
    "pins": corner("pin = [3, 4, 5]\nhalf_pin = [6, 8]"),
    "slopes": corner('tails = 2\nslope = ["1:6", "1:7", "1:8", "1:7"]'),
    "widths": corner("spacing = [20, 25, 20]"),
    "by eye": corner('spacing = "by eye"\ntails = 4'),
    "graduated": corner('spacing = "graduated"\ntails = 5'),
    "half-blind": corner('kind = "half-blind"'),
    "inches": corner("", head='units = "in"', width="4"),
    "one tail": corner("tails = 1"),
    "proud": corner("", "proud = 2\n[finish]\nends = 'proud'"),
}


def page(text: str, *, live: bool = False) -> tuple[Reading, dict[str, Any]]:
    """A recipe as it is understood, and what the page shows of it."""
    reading = read(text, NO_SHOP, live=live)
    return reading, state_of(reading, None)


def after(tables: Mapping[str, Any], changes: Mapping[str, str | None]) -> str:
    """The text of a recipe after some changes of its keys, as a page's document makes them."""
    found: Raw = copy.deepcopy(dict(tables))
    for key, value in changes.items():
        if value is None:
            take_at(found, key)
        else:
            assert apply_override(found, f"{key}={value}") is None, f"{key} has its place"
    values = "".join(f"{key} = {inline_toml(value)}\n" for key, value in found.items() if not isinstance(value, dict))
    return values + "".join(
        f"{key} = {inline_toml(value)}\n" for key, value in found.items() if isinstance(value, dict)
    )


def move(text: str, handle: str, by_mm: float) -> tuple[dict[str, str | None], Reading, dict[str, Any]]:
    """What a move changes, and the page after it."""
    reading = read(text, NO_SHOP)
    assert reading.tables is not None, reading.problems
    assert reading.plan is not None, reading.problems
    changes = moved(reading.tables, reading.plan, handle, by_mm)
    return changes, *page(after(reading.tables, changes))


def handles(state: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """The handles of a page by their names."""
    return {handle["name"]: handle for handle in state["handles"]}
