"""Random boxes with dividers that run both ways, in housings and in sliding dovetails, open and stopped, for the
campaign. Each is refused with a reason or proved whole, and its boards less their waste are the boards as cut."""

from __future__ import annotations

import random

from tests.properties import accepted_box_is_proved


def divided_box_text(dice: random.Random) -> str:
    """A recipe of a box with one to five dividers, often accepted."""
    bottom = dice.random() < 0.75
    parts = [
        f'units = "{dice.choice(("mm", "mm", "in"))}"',
        f'[joint]\nkind = "{dice.choice(("through", "through", "half-blind"))}"',
        *(f'[{name}]\nthickness = "{dice.choice((8, 10, 12, 16, 19))} mm"' for name in ("tail_board", "pin_board")),
        f'[undercut]\ndepth = "{dice.choice((0, 0, 0.2))} mm"',
        f'[finish]\nplaning = "{dice.choice((0, 0, 0.4))} mm"',
        f'[box]\nlength = "{dice.choice((220, 320, 500))} mm"\nwidth = "{dice.choice((180, 260))} mm"',
        f'height = "{dice.choice((60, 90, 140))} mm"\ntails_on = "{dice.choice(("sides", "ends"))}"',
        f"back_above_bottom = {str(bottom and dice.random() < 0.25).lower()}",
        *(['[box.groove]\ndepth = "4 mm"'] if bottom else []),
    ]
    evenly = {"across": dice.random() < 0.5, "along": dice.random() < 0.5}
    parts += (_divider(dice, evenly) for _ in range(dice.randint(1, 5)))
    return "\n".join(parts).replace('tails_on = "ends"\nback_above_bottom = true', "back_above_bottom = true")


def _divider(dice: random.Random, evenly: dict[str, bool]) -> str:
    runs = dice.choice(("across", "along"))
    joint = dice.choice(("housing", "housing", "sliding dovetail"))
    keys = [f'runs = "{runs}"', f'joint = "{joint}"']
    keys += [] if evenly[runs] else [f'at = "{dice.randint(2, 40) * 6} mm"']
    if dice.random() < 0.4:
        keys.append(f'thickness = "{dice.choice((6, 8, 10))} mm"')
    if dice.random() < 0.3:
        keys.append(f'height = "{dice.randint(15, 70)} mm"')
    if dice.random() < 0.2:
        keys.append(f'up = "{dice.randint(12, 40)} mm"')
    if dice.random() < 0.3:
        keys.append(f'depth = "{dice.choice((2, 3, 5))} mm"')
    if joint == "housing" and dice.random() < 0.25:
        keys.append('housing = "stopped"')
    if joint == "sliding dovetail" and dice.random() < 0.5:
        keys += [f'taper = "{dice.choice((0, 0.8, 2))} mm"', f'slope = "1:{dice.choice((6, 8, 10))}"']
    if dice.random() < 0.3:
        keys.append(f'wood = "{dice.choice(("beech", "cherry", "spruce"))}"')
    return "\n".join(("[[box.divider]]", *keys))


def divided_box(number: int) -> str:
    """One case of the campaign."""
    return accepted_box_is_proved(number, divided_box_text)
