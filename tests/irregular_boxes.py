"""Random boxes with half tails, rebates, mitred shoulders, lists of pins and slopes and tails by eye, for the campaign.
Each is refused with a reason or proved whole, and its boards less their waste are the boards as cut."""

from __future__ import annotations

import random

from tests.properties import accepted_box_is_proved


def irregular_box_text(dice: random.Random) -> str:
    """A recipe of a box that is often accepted."""
    thick = dice.choice((8, 10, 12, 16, 19))
    half_blind = dice.random() < 0.15
    mitre = [0 if half_blind else dice.choice((0, 0, 4, 8, 14, 20)) for _ in range(2)]
    edges = ["half pin" if wide else dice.choice(("half pin", "half pin", "half tail")) for wide in mitre]
    joint = [f"mitre = {{ reference = {mitre[0]}, other = {mitre[1]} }}"] if any(mitre) else []
    joint += [f"edges = {edges}"] if "half tail" in edges else []
    joint += ['kind = "half-blind"'] if half_blind else []
    joint += _tails(dice)
    ends = dice.choice(("", 'ends = "proud"\nchamfer = 0.25', "planing = 0.2"))
    groove = dice.choice(("hidden", "stopped", "through", "plugged"))
    return "\n".join(
        (
            "[joint]",
            *joint,
            f"[tail_board]\nthickness = {thick}\nrebate = {dice.choice((0, 0, 1, 1.5, 2, thick / 4))}",
            f"[pin_board]\nthickness = {dice.choice((8, 10, 12, 14, 20))}",
            f"[fit]\nflank_gap = {dice.choice((0, 0, -0.03, 0.02, 0.05))}",
            f"[entry_chamfer]\nwidth = {dice.choice((0, 0, 0.8))}",
            f"[undercut]\ndepth = {dice.choice((0, 0, 0.2))}",
            f"[finish]\n{ends}",
            f"[box]\nlength = 320\nwidth = 220\nheight = {dice.choice((70, 90, 110, 140))}",
            f"back_above_bottom = {str(dice.random() < 0.3).lower()}",
            f'[box.groove]\nends = "{groove}"\ndepth = {dice.choice((2, 4, 5))}',
            f'[box.panel]\nkind = "{dice.choice(("plywood", "solid"))}"',
        )
    )


def _tails(dice: random.Random) -> list[str]:
    if dice.random() < 0.3:
        return ['spacing = "by eye"', f"seed = {dice.randint(1, 999)}"]
    if dice.random() < 0.4:
        return []
    tails = dice.choice((2, 3, 4))
    slopes = [f"1:{dice.uniform(4, 9):.2f}" for _ in range(2 * tails)]
    lists = [f"slope = {slopes}", f"pin = {[round(dice.uniform(3, 9), 2) for _ in range(tails - 1)]}"]
    return [f"tails = {tails}", *(each for each in lists if dice.random() < 0.6)]


def irregular_box(number: int) -> str:
    """One case of the campaign."""
    return accepted_box_is_proved(number, irregular_box_text)
