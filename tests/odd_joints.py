"""Joints that nobody would cut first, for the campaign: flat slopes, wide gaps, chamfers wider than pins, broad lands.

Each is laid out and proved, or refused with a reason. What is proved must pass, but for what its own recipe makes fail.
"""

from __future__ import annotations

import random

from solids.base.errors import RecipeError
from solids.layout import lay_out
from solids.model.corner import make_corner
from solids.proof.joint.corner import prove
from solids.recipe import parse_recipe
from tests.properties import meant_to_fail


def odd_text(dice: random.Random) -> str:
    """A recipe with one to four tails, at the edges of what is accepted."""
    tails = dice.choice((1, 1, 2, 3, 4))
    thickness = [round(dice.uniform(3, 30), 2) for _ in range(2)]
    ratio = round(dice.choice((dice.uniform(3, 10), dice.uniform(15, 30), dice.uniform(6, 8))), 2)
    pin, half_pin = round(dice.choice((dice.uniform(0.3, 2), dice.uniform(2, 9))), 2), round(dice.uniform(3, 12), 2)
    tail = round(2 * thickness[1] / ratio + dice.uniform(1, 30), 2)
    half_blind = dice.random() < 0.5
    lines = [
        "[joint]",
        f'kind = "{"half-blind" if half_blind else "through"}"',
        f"width = {round(tails * tail + (tails - 1) * pin + 2 * half_pin, 4)}",
        f'tails = {tails}\nslope = "1:{ratio}"\npin = {pin}\nhalf_pin = {half_pin}\nallow_thin_half_pin = true',
    ]
    if half_blind:
        lines.append(f"lap = {round(thickness[1] * dice.uniform(0.1, 0.5), 2)}")
    for board, thick in zip(("tail_board", "pin_board"), thickness, strict=True):
        proud = 0 if half_blind and board == "tail_board" else dice.choice((0, 0.5))
        lines += [f"[{board}]", f'thickness = {thick}\nwood = "beech"\nproud = {proud}']
    if dice.random() < 0.5:
        lines += ["[entry_chamfer]", f"width = {dice.choice((0.5, 1, 2, 3, 5))}\nback = {dice.choice((0.5, 1, 2.5))}"]
    if dice.random() < 0.5:
        lines += ["[undercut]", f"depth = {dice.choice((0.1, 0.2, 0.4))}\nland = {dice.choice((0.5, 0.8, 1.5, 2, 3))}"]
    gap = dice.choice((0, 0.02, 0.1, 0.3, 0.6, 1, -0.02, -0.05, 0.05))
    return "\n".join([*lines, "[fit]", f"flank_gap = {gap}"])


def odd(number: int) -> str:
    """Proves one odd joint: "right", "lets go", "refused", or what is wrong with it."""
    try:
        layout = lay_out(parse_recipe(odd_text(random.Random(number))))
    except RecipeError as err:
        return "refused" if err.told else "wrong: refused without a reason"
    proof = prove(make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished))
    failing = {finding.code for finding in proof.findings if finding.severity == "fail"}
    if failing != meant_to_fail(layout):
        return f"wrong: {sorted(failing)}"
    return "lets go" if layout.lets_go else "right"
