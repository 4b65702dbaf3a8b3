"""A corner that a lid is sawn off: the box below the cut and the lid above it are each laid out as a joint of their
own, and the pin between them is two half pins, and what saw and plane take.

    |half pin  tails  half pin| planing kerf planing |half pin  tails  half pin|

So every spacing, look and limit holds on both sides of the cut as it does at any edge. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.errors import Problem, RecipeError
from solids.base.messages import Key, message
from solids.recipe.tables.accepted import no_less_than, no_more_than
from solids.recipe.tables.lid_resolved import Lid
from solids.recipe.tables.listed_fields import MitreTable
from solids.recipe.tables.resolved import Choice, Recipe
from solids.recipe.tables.schema import Asked, JointTable

Resolve = Callable[[Asked], Recipe]

NAMES = ("box", "lid")


def parted(asked: Asked, lid: Lid, resolve: Resolve) -> Recipe:
    """The corner of a box that a lid is sawn off, as `resolve` completes it. Where the maker lists tails, pins or
    flanks one by one, they are as the maker has them. RecipeError holds what is wrong."""
    joint = asked.joint
    whole = resolve(asked.model_copy(update={"joint": joint.model_copy(update={"lid_tails": None})}))
    if any(isinstance(given, tuple) for given in (joint.flanks, joint.pin, joint.spacing, joint.slope)):
        if joint.lid_tails is not None:
            told = "has no effect here: the list says which tails are above the cut"
            raise RecipeError([Problem("joint.lid_tails", told, "leave it out")], asked.units)
        return whole
    counts = _counts(joint, lid, whole)
    widths = lid.low, whole.width - lid.high
    if min(widths) < tol.LEAST_WIDTH:
        wrong = message("{} leaves no wood on one side of the cut", typed(lid.at))
        raise RecipeError([Problem("box.lid.at", wrong, "move the cut away from the edges")], asked.units)
    box, top = (
        resolve(_half(asked, whole, end, width, tails))
        for end, (width, tails) in enumerate(zip(widths, counts, strict=True))
    )
    _refuse_without_room(lid, whole, (box, top))
    split = 2 * whole.half_pin + lid.lost
    pins = *box.pins, split, *top.pins
    return replace(
        whole,
        tail_shares=(*_tail_widths(box), *_tail_widths(top)),
        listed=replace(whole.listed, pins=pins),
        choices=_choices(joint, whole, len(box.tail_shares), len(top.tail_shares)),
    )


def _counts(joint: JointTable, lid: Lid, whole: Recipe) -> tuple[int | None, int | None]:
    """How many tails below the cut and above it; None where the look chooses."""
    given, on_lid = joint.tails, joint.lid_tails
    if given is None:
        return None, on_lid
    problem = None
    if given < len(NAMES):
        told = f"{given} tail cannot stand both below the cut and above it"
        problem = Problem("joint.tails", told, "accepted is 2 or more, one for the box and one for its lid")
    elif on_lid is not None and on_lid >= given:
        told = f"{on_lid} of {given} tails on the lid leave none on the box"
        problem = Problem("joint.lid_tails", told, f"accepted is 1 to {given - 1}")
    if problem:
        raise RecipeError([problem], whole.units)
    if on_lid is None:
        share = (whole.width - lid.high) / (whole.width - lid.lost)
        on_lid = min(max(round(given * share), 1), given - 1)
    return given - on_lid, on_lid


def _half(asked: Asked, whole: Recipe, end: int, width: float, tails: int | None) -> Asked:
    """The box's half of the corner, or the lid's, with the pins of the whole, and a half pin at the cut."""
    half_pins, edges = [*(whole.listed.half_pins or (whole.half_pin,) * 2)], [*whole.listed.edges]
    half_pins[1 - end], edges[1 - end] = whole.half_pin, "half pin"
    mitre = [*whole.mitre]
    mitre[1 - end] = 0.0
    own = {
        "width": width,
        "tails": tails,
        "lid_tails": None,
        "pin": whole.pin,
        "half_pin": tuple(half_pins),
        "edges": tuple(edges),
        "mitre": MitreTable(reference=mitre[0], other=mitre[1]),
    }
    return asked.model_copy(update={"joint": asked.joint.model_copy(update=own)})


def _refuse_without_room(lid: Lid, whole: Recipe, halves: tuple[Recipe, Recipe]) -> None:
    """A half too low for its half pins and a tail is told by where the cut lies."""
    for end, half in enumerate(halves):
        short = tol.LEAST_FEATURE * len(half.tail_shares) - half.tail_room
        if short <= tol.ROUNDING:
            continue
        takes = typed(half.width - half.tail_room)
        wrong = message(
            "{} makes the {} {} high, and its pins and half pins alone take {} there ({})",
            *(typed(lid.at), NAMES[end], typed(half.width), takes, Key("joint.half_pin")),
        )
        remedy, tries = no_more_than(lid.at - short) if end else no_less_than(lid.at + short)
        raise RecipeError([Problem("box.lid.at", wrong, remedy, tries)], whole.units)


def _tail_widths(half: Recipe) -> tuple[float, ...]:
    unit = half.tail_room / sum(half.tail_shares)
    return tuple(share * unit for share in half.tail_shares)


def _choices(joint: JointTable, whole: Recipe, below: int, above: int) -> tuple[Choice, ...]:
    """The choices of the whole, but with the tails counted on both sides of the cut."""
    found = [choice for choice in whole.choices if choice.key != "joint.tails"]
    if joint.tails is None:
        rule = "as many as suit the box and its lid, each by itself"
        found.append(Choice("joint.tails", str(below + above), rule, below + above))
    if joint.lid_tails is None:
        rule = "its share of all tails" if joint.tails else "as many as suit the lid by itself"
        found.append(Choice("joint.lid_tails", str(above), rule, above))
    return tuple(found)
