"""All that is fitted into a box, and all that is cut from its boards for it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from solids.layout.box.fitted.bodies import Cut, Fitting, Strip
from solids.layout.box.fitted.bottom import bottom
from solids.layout.box.fitted.carcase import carcase
from solids.layout.box.fitted.dividers import dividers
from solids.layout.box.fitted.feet import feet
from solids.layout.box.fitted.halves import SawnPart, sawn_parts
from solids.layout.box.fitted.hinges import BACK, mortises
from solids.layout.box.fitted.lid_board import lid_board
from solids.layout.box.fitted.lining import lining
from solids.layout.box.fitted.lip import lip
from solids.layout.box.fitted.slips import slips
from solids.layout.box.fitted.top import TOP_GROOVE, top
from solids.layout.box.fitted.volumes import grooved_volume
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.box_resolved import Side

KINDS: tuple[Callable[[BoxLayout], Fitting], ...] = (
    *(lip, bottom, slips, dividers, feet),
    partial(top, bottom=bottom),
    *(partial(lid_board, mortises=mortises), lining),
    carcase,
)
"""Each kind of fitting; none of a kind that the recipe does not ask for. In the order of the cut list."""


def fitting_of(box: BoxLayout) -> Fitting:
    """Every part that no dovetail holds, and every cut for it."""
    return box.once(_every_kind)


def _every_kind(box: BoxLayout) -> Fitting:
    found = [kind(box) for kind in KINDS]
    return Fitting(
        tuple(part for one in found for part in one.parts),
        tuple(cut for one in found for cut in one.cuts),
        tuple(strip for one in found for strip in one.strips),
    )


def cuts_in(box: BoxLayout, side: Side, *, finished: bool = False) -> tuple[Cut, ...]:
    """What is cut from a board for what is fitted into the box, before it is glued up or, `finished`, in all."""
    return tuple(cut for cut in fitting_of(box).cuts if cut.side == side and (finished or not cut.late))


def strips_of(box: BoxLayout, side: Side) -> tuple[Strip, ...]:
    """What a board has beyond the box."""
    return tuple(strip for strip in fitting_of(box).strips if strip.side == side)


def sawn_apart(box: BoxLayout) -> tuple[SawnPart, ...]:
    """What becomes of the boards once a lid is sawn off, with all that is cut from them. The groove of the top is in
    the lid's volumes already."""
    return tuple(_less_cuts(box, part) for part in sawn_parts(box, partial(grooved_volume, finished=True)))


def _less_cuts(box: BoxLayout, part: SawnPart) -> SawnPart:
    lid = box.recipe.lid
    assert lid is not None
    bodies = [cut.wood for cut in cuts_in(box, part.side) if cut.name != TOP_GROOVE]
    own = [body.volume for body in bodies if (body.extent.z[0] > lid.at) == part.is_on_lid]
    if part.side == BACK:
        own += (cut.wood.volume for cut in mortises(box, on_lid=part.is_on_lid))
    return replace(part, volume=part.volume - math.fsum(own))
