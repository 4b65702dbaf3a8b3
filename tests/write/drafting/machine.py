"""Boards as they lie in the machine, for tests of what is drawn of them."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from solids.layout.setups import MachineBoard, machine_boards
from solids.write.drafting.layers import ZERO
from solids.write.drafting.outlines import outlines
from solids.write.drafting.sheet import Item, Stroke
from tests.boxes import CASES as BOXES
from tests.boxes import box_of
from tests.corners import CASES, layout_of

EVERY = [*(("corner", name) for name in CASES), *(("box", name) for name in BOXES)]
"""The corners and boxes that tests share."""


@cache
def boards_of(*asked: str) -> dict[str, MachineBoard]:
    return machine_boards(layout_of(*asked))


@cache
def boards_of_box(*asked: str) -> dict[str, MachineBoard]:
    return machine_boards(box_of(*asked))


def boards_named(piece: str, name: str, *more: str) -> list[MachineBoard]:
    found = boards_of(*CASES[name], *more) if piece == "corner" else boards_of_box(*BOXES[name], *more)
    return list(found.values())


def own(*diameters: float) -> str:
    """The maker's cutters, in mm whatever the units of the recipe."""
    return f"kit.cutters={[f'{diameter} mm' for diameter in diameters]}".replace("'", '"')


def strokes_of(items: Iterable[Item]) -> list[Stroke]:
    return [item for item in items if isinstance(item, Stroke)]


def areas_of(board: MachineBoard) -> list[Stroke]:
    return [stroke for stroke in strokes_of(outlines(board)) if stroke.layer != ZERO]


def layers_of(strokes: Iterable[Stroke]) -> list[str]:
    """Each layer once, in order."""
    return list(dict.fromkeys(stroke.layer for stroke in strokes))
