"""Random boxes with bottoms of every kind for the campaign: plain, rebated and fielded, in grooves, rebates and between
slips. Each is refused with a reason or proved whole, and its boards less their waste are the boards as cut."""

from __future__ import annotations

import random

from tests.properties import accepted_box_is_proved


def random_bottom_text(dice: random.Random) -> str:
    """A recipe of a box whose bottom is often accepted."""
    held = dice.choice(("groove", "groove", "rebate", "rebate", "slips"))
    mitre = dice.choice((0, 0, 0, 12, 16))
    joint = [f"mitre = {{ reference = {mitre} }}"] if mitre else []
    joint += ['edges = ["half tail", "half pin"]'] if not mitre and dice.random() < 0.3 else []
    joint += [f"half_pin = {dice.choice((6, 8, 10, 14))}"]
    joint += ['kind = "half-blind"'] if not mitre and dice.random() < 0.2 else []
    return "\n".join(
        (
            "[joint]",
            *joint,
            f"[tail_board]\nthickness = {dice.choice((8, 11, 14, 19))}\nrebate = {dice.choice((0, 0, 0, 2))}",
            f"[pin_board]\nthickness = {dice.choice((10, 12, 18))}",
            f"[fit]\nflank_gap = {dice.choice((0, 0, -0.03, 0.05))}",
            f"[entry_chamfer]\nwidth = {dice.choice((0, 0, 0.6))}",
            f"[finish]\nplaning = {dice.choice((0, 0, 0.2))}",
            f"[box]\nlength = {dice.choice((160, 320))}\nwidth = {dice.choice((120, 230))}\nheight = 120",
            *(["back_above_bottom = true"] if held == "groove" and dice.random() < 0.3 else []),
            f'tails_on = "{dice.choice(("sides", "sides", "ends"))}"',
            *_groove(dice, held),
            *_panel(dice, held),
        )
    )


def _groove(dice: random.Random, held: str) -> list[str]:
    lines = ["[box.groove]", f"depth = {dice.choice((3, 4, 6))}"]
    lines += [f"width = {dice.choice((4, 6, 7.5))}"] if dice.random() < 0.6 else []
    lines += [f"up = {dice.choice((9, 12, 20))}"] if held != "rebate" and dice.random() < 0.3 else []
    return [*lines, f'ends = "{dice.choice(("hidden", "hidden", "stopped", "through", "plugged"))}"']


def _panel(dice: random.Random, held: str) -> list[str]:
    lines = ["[box.panel]", f'held = "{held}"', f'kind = "{dice.choice(("solid", "plywood"))}"']
    lines += [f'grain = "{dice.choice(("length", "width"))}"'] if dice.random() < 0.4 else []
    lines += [f"thickness = {dice.choice((4, 6, 9, 12))}"] if dice.random() < 0.5 else []
    if held != "rebate" and dice.random() < 0.6:
        lines += [f'edge = "{dice.choice(("plain", "rebated", "fielded", "fielded"))}"']
    if dice.random() < 0.2:
        lines += ['face = "upper face"']
    return lines


def random_bottom(number: int) -> str:
    """One case of the campaign."""
    return accepted_box_is_proved(number, random_bottom_text)
