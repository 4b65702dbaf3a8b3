"""Drawers to an opening that tests share, and random ones: each is refused with a reason or proved whole."""

from __future__ import annotations

import random
from functools import cache

from solids.base import tolerances as tol
from solids.base.errors import RecipeError
from solids.layout.box.model import BoxLayout
from solids.layout.box.opening import Room, room_in
from solids.layout.box.refusals import lay_out_box
from solids.layout.plan import plan_of
from solids.proof.assembly import PieceProof, prove_piece
from solids.proof.waste import proved_waste
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.text.reading import check_box
from solids.recipe.text.toml import parse_toml, raw_in
from tests.properties import check_proved_box, check_reasons

OAK = """
title = "oak drawer"
[tail_board]
thickness = 10
wood = "white oak"
sawn = "quarter"
[pin_board]
thickness = 10
wood = "white oak"
[box]
[box.front]
thickness = 20
[box.panel]
wood = "white pine"
[climate]
shop = "70 F, 42 %"
home = { dry = "70 F, 30 %", damp = "70 F, 65 %" }
[opening]
width = 400
height = 100
depth = 450
"""
"""A front of flat-sawn white oak, sides of the same quarter-sawn, in an opening of 400 by 100 by 450."""

STICKS = ("opening.runner.width=22", "opening.kicker.width=22", "opening.guide.thickness=8")


@cache
def drawer(*overrides: str, text: str = OAK) -> BoxLayout:
    """The drawer laid out."""
    plan = plan_of(*raw_in(text, overrides=overrides), NO_SHOP)
    assert isinstance(plan, BoxLayout)
    return plan


@cache
def proved_drawer(*overrides: str) -> PieceProof:
    """The drawer proved, with runners, kickers and guides."""
    return prove_piece(drawer(*STICKS, *overrides))


def room(box: BoxLayout) -> Room:
    """The room that a drawer has in its opening."""
    assert box.recipe.opening
    return room_in(box, box.recipe.opening)


def _lip_text(dice: random.Random) -> str:
    """A lip, on every side or not, often so narrow that it is refused."""
    sides = [f"{side} = {dice.choice((0, 0, 2, 12))}" for side in ("top", "bottom", "left", "right")]
    thick = [f"thickness = {dice.choice((4, 6, 9, 14))}"] if dice.random() < 0.4 else []
    wide = [f"width = {dice.choice((0, 3, 8, 9.5, 15))}"] if dice.random() < 0.6 else []
    return "\n".join(("[box.front.lip]", *wide, *thick, *dice.sample(sides, dice.randint(0, 4))))


def drawer_text(dice: random.Random) -> str:
    """A recipe of a drawer that is often accepted."""

    def maybe(share: float, line: str) -> list[str]:
        return [line] if dice.random() < share else []

    wood = ("white oak", "red oak", "yellow-poplar", "maple", "white pine", "teak")
    thick = dice.choice((6, 8, 10, 12.5, 16))
    wide, high, deep = dice.randint(90, 900), dice.randint(40, 260), dice.randint(120, 700)
    damp = dice.choice((45, 60, 65, 75, 85))
    half_tail = 'edges = ["half pin", "half tail"]'
    sticks = [f"[opening.{name}]" for name in ("runner", "kicker", "guide") for _ in maybe(0.5, name)]
    return "\n".join(
        (
            "[joint]",
            *maybe(0.15, half_tail),
            *maybe(0.15, 'kind = "through"'),
            f'[tail_board]\nthickness = {thick}\nwood = "{dice.choice(wood)}"',
            f'sawn = "{dice.choice(("flat", "quarter"))}"\nrebate = {dice.choice((0, 0, 0, 1))}',
            f'[pin_board]\nthickness = {dice.choice((8, 10, 12, 15))}\nwood = "{dice.choice(wood)}"',
            f"[fit]\nflank_gap = {dice.choice((0, 0, -0.03, 0.05))}",
            f"[entry_chamfer]\nwidth = {dice.choice((0, 0, 0.8))}",
            f"[undercut]\ndepth = {dice.choice((0, 0, 0.2))}",
            f"[finish]\nplaning = {dice.choice((0, 0, 0.3))}",
            f'[climate]\nshop = "20 C, {dice.choice((40, 55, 65))} %"',
            f'home = {{ dry = "20 C, 30 %", damp = "22 C, {damp} %" }}',
            "[box]",
            *maybe(0.2, f"height = {high - dice.randint(-1, 6)}"),
            *maybe(0.2, f"length = {wide - dice.randint(-1, 6)}"),
            *maybe(0.15, "back_above_bottom = false"),
            f"[box.front]\nthickness = {dice.choice((16, 19, 22))}",
            *maybe(0.4, _lip_text(dice)),
            *maybe(0.6, f"[box.back]\ndown = {dice.choice((0, 2, 6, 14, high / 3))}"),
            *maybe(0.3, f'[box.panel]\nkind = "{dice.choice(("plywood", "solid"))}"'),
            f"[opening]\nwidth = {wide}\nheight = {high}\ndepth = {deep}",
            *maybe(0.3, f"play = {dice.choice((0, 0.5, 2, 5))}"),
            *maybe(0.3, f"side_play = {dice.choice((0, 0.2, 1.5))}"),
            *maybe(0.3, f"back_play = {dice.choice((0, 3, 25))}"),
            *maybe(0.3, f"plane = {dice.choice((0.3, 1, 4))}"),
            *maybe(0.3, f"rail = {dice.choice((15, 40, 90))}"),
            *sticks,
        )
    )


def has_its_play(box: BoxLayout) -> None:
    """A drawer has the play in its opening that it was to have."""
    opening, found = box.recipe.opening, room(box)
    assert opening
    assert found.damp >= opening.play - tol.ROUNDING
    assert found.sides >= opening.side_play - tol.ROUNDING
    assert found.behind >= opening.back_play - tol.ROUNDING
    assert found.dry >= found.damp - tol.ROUNDING


def random_drawer(number: int) -> str:
    """One drawer: "refused" with a reason, or "proved", with its waste, and with the play that it was to have."""
    try:
        box = lay_out_box(check_box(parse_toml(drawer_text(random.Random(number)), "the drawer")))
    except RecipeError as err:
        check_reasons(err)
        return "refused"
    has_its_play(box)
    proof = check_proved_box(box)
    if proof.passes:
        proved_waste(proof.assembly, proof.cut)
    return "proved"
