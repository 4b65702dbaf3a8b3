"""Irregular joints that tests of aids share: one that is worked out by hand, and random ones."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import cache

from solids.aids.making.aid import Aid, Refusal
from solids.layout import Layout
from solids.layout.joint.shape.placing import place
from solids.recipe.tables.resolved import EdgeName, Listed, Recipe
from tests.corners import layout_of

SQUARE = math.inf


@cache
def uneven(*, rebate: float = 0.0, mitre: float = 0.0) -> Layout:
    """Boards of 12 mm whose ends stand 0.5 mm proud, 100 mm wide: a half tail from X = 0 to 20 with a flank of 1:6; a
    tail from 30 to 50 with flanks of 1:5 and 1:8; one from 62 to 84 with a square flank and one of 1:6. A mitre lies
    at X = 100."""
    recipe = layout_of("tool-tray").recipe
    assert recipe.tail_board.proud == recipe.pin_board.proud == 0.5
    assert recipe.depth == 12.0
    recipe = replace(recipe, tail_board=replace(recipe.tail_board, thickness=12.0))
    listed = Listed(
        ratios=(SQUARE, 6.0, 5.0, 8.0, SQUARE, 6.0),
        faces=((0.0, 20.0), (30.0, 50.0), (62.0, 84.0)),
        edges=("half tail", "half pin"),
    )
    return place(replace(recipe, width=100.0, listed=listed, rebate=rebate, mitre=(0.0, mitre)))


@cache
def mitred(tails: float = 18.0, pins: float = 12.0, rebate: float = 0.0, planing: float = 0.0) -> Layout:
    """The tool tray of boards of two thicknesses, its shoulders mitred over 8 mm at X = 0 and over 6 mm at X = W."""
    recipe = layout_of("tool-tray").recipe
    recipe = replace(
        recipe,
        mitre=(8.0, 6.0),
        rebate=rebate,
        tail_board=replace(recipe.tail_board, thickness=tails),
        pin_board=replace(recipe.pin_board, thickness=pins),
        finish=replace(recipe.finish, planing=planing),
    )
    return place(recipe)


def random_recipe(seed: int) -> Recipe:
    """One to five tails by their flanks, in boards of any thickness, with half tails, rebates and mitres."""
    dice = random.Random(seed)
    preset = dice.choice(("tool-tray", "tool-tray", "drawer-front"))
    recipe, is_through = layout_of(preset).recipe, preset == "tool-tray"
    tails, pins = (round(dice.uniform(8, 22), 1) for _ in range(2))
    count = dice.randint(1, 5)
    kinds: tuple[EdgeName, ...] = ("half pin", "half pin", "half tail") if count > 1 else ("half pin",)
    edges = (dice.choice(kinds), dice.choice(kinds))
    mitres = [
        round(dice.uniform(3, 10), 1) if is_through and edge == "half pin" and dice.random() < 0.3 else 0.0
        for edge in edges
    ]
    rooms = [round(dice.uniform(5, 9), 1) if edge == "half pin" else 0.0 for edge in edges]
    slopes = (5.0, 6.0, 7.0, 8.0, round(dice.uniform(4, 12), 2), SQUARE, -round(dice.uniform(15, 40), 1))
    left, faces = mitres[0] + rooms[0], []
    for _ in range(count):
        width = round(dice.uniform(10, 30), 1)
        faces.append((round(left, 3), round(left + width, 3)))
        left += width + round(dice.uniform(4, 14), 1)
    return replace(
        recipe,
        width=round(faces[-1][1] + rooms[1] + mitres[1], 3),
        listed=Listed(ratios=tuple(dice.choice(slopes) for _ in range(2 * count)), faces=tuple(faces), edges=edges),
        mitre=(mitres[0], mitres[1]),
        rebate=dice.choice((0.0, 0.0, 2.0, round(tails / 4, 1))),
        lap=0.0 if is_through else round(pins / 4, 2),
        tail_board=replace(recipe.tail_board, thickness=tails),
        pin_board=replace(recipe.pin_board, thickness=pins),
        kit=replace(recipe.kit, bush=12.0, cutters=(3.0, 5.0, 6.0)),
    )


@cache
def random_joints(count: int) -> tuple[Layout, ...]:
    """So many random joints that lock, whose tails are not narrower at the finished face than at the baseline."""
    found: list[Layout] = []
    seed = 0
    while len(found) < count:
        layout = place(random_recipe(seed))
        seed += 1
        if layout.hold > 0 and all(layout.tail_width(tail, 0.0) <= tail.width for tail in layout.tails):
            found.append(layout)
    return tuple(found)


def made(items: list[Aid | Refusal]) -> dict[str, Aid]:
    """The aids that are made, by their names."""
    return {item.name: item for item in items if isinstance(item, Aid)}
