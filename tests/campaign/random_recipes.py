"""Random recipes by their number: the same number gives the same recipe."""

from __future__ import annotations

import random

from solids.base.errors import InputError
from solids.layout import Layout, lay_out
from solids.recipe import parse_recipe

GAPS = (0, 0, 0, 0.001, -0.001, 0.0005, -0.0005, 0.02, -0.02, 0.1, -0.05, -0.08)

OWN_WOODS = (
    '{ name = "pear", kind = "hardwood", density = 690 }',
    '{ kind = "softwood", density = 420, radial = 0.001, tangential = 0.002, shear = 8, bending = 70 }',
)


def random_text(dice: random.Random, most_tails: int = 40) -> str:
    """A recipe that is often accepted: sizes are drawn so that necks and pins usually stay open."""
    tails = dice.choice((1, 2, 3, 4, 5, 6, 8, 10, 12, dice.randint(1, most_tails)))
    thickness = [round(dice.uniform(4, 30), dice.choice((0, 1, 2))) for _ in range(2)]
    ratio = round(dice.uniform(4, 12), 2)
    pin, half_pin = round(dice.uniform(1, 9), 2), round(dice.uniform(5, 15), 2)
    widths = [round(2 * thickness[1] / ratio + dice.uniform(1, 40), 2) for _ in range(tails)]
    half_blind = dice.random() < 0.4
    spacing = dice.choice(('"even"', '"graduated"', '"by eye"', str(widths)))
    joint = {
        "kind": '"half-blind"' if half_blind else '"through"',
        "width": round(sum(widths) + (tails - 1) * pin + 2 * half_pin, 4),
        "slope": f'"1:{ratio}"',
        "pin": pin,
        "spacing": spacing,
    }
    if not spacing.startswith("["):
        joint |= {"tails": tails, "half_pin": half_pin}
    if half_blind:
        joint["lap"] = round(thickness[1] * dice.uniform(0.1, 0.6), 2)
    proud = [0 if half_blind else dice.choice((0, 0.5, round(dice.uniform(0.01, 4), 2))), dice.choice((0, 0.5, 2))]
    ends = "proud" if not half_blind and dice.random() < 0.3 else "flush"
    planing = 0 if ends == "proud" else dice.choice((0, 0, 0.2))
    wood = dice.choice(('"beech"', '"walnut"', '"spruce"', '"white pine"', *OWN_WOODS))
    lines = ["[joint]", *(f"{key} = {value}" for key, value in joint.items())]
    for board, i in (("tail_board", 0), ("pin_board", 1)):
        lines += [f"[{board}]", f"thickness = {thickness[i]}", f"proud = {proud[i]}", f"wood = {wood}"]
    if dice.random() < 0.3:
        lines += [
            "[entry_chamfer]",
            f"width = {dice.choice((0.3, 0.5, 1, 1.5))}",
            f"back = {dice.choice((0.5, 1, 2.5))}",
        ]
    if dice.random() < 0.3:
        lines += ["[undercut]", f"depth = {dice.choice((0.1, 0.2, 0.4))}", f"land = {dice.choice((0.8, 1.5, 2))}"]
    if dice.random() < 0.3:
        shop, home = (f'"{dice.randint(5, 30)} C, {dice.randint(20, 80)} %"' for _ in range(2))
        lines += ["[climate]", f"shop = {shop}", f"home = {home}"]
        lines += ["[kit]", f"cutters = {sorted(dice.sample((2, 3, 4, 6, 8, 12), 2))}"]
        lines += ["[paper]", f'size = "{dice.choice(("A4", "Letter", "A3"))}"']
    lines += ["[fit]", f"flank_gap = {dice.choice(GAPS)}", "[finish]", f'ends = "{ends}"', f"planing = {planing}"]
    return "\n".join(lines)


def accepted(number: int) -> Layout:
    """The accepted layout that belongs to a number: draws until one is accepted."""
    dice = random.Random(number)
    while True:
        try:
            return lay_out(parse_recipe(random_text(dice)))
        except InputError:
            continue
