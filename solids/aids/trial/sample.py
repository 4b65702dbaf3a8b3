"""Sample boards: this joint with short boards, to print and slide together. Where the bed is too small for all tails,
the first from the reference edge."""

from __future__ import annotations

from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.engraving import engraved
from solids.aids.making.names import SAMPLE
from solids.aids.making.plates import finds_room, too_large
from solids.aids.trial.boards import (
    along,
    clearances,
    contacts,
    left_out,
    pin_body,
    pin_middle,
    pin_use,
    tail_body,
    tail_use,
    too_thin,
    trial_recipe,
)
from solids.base.amounts import clearance, in_mm
from solids.base.messages import Words, joined
from solids.layout import Layout
from solids.layout.joint.shape.placing import place, tails_in_words
from solids.layout.joint.shape.slopes import all_slopes
from solids.recipe.tables.resolved import Printing

LENGTH = 25.0
"""How much board a sample has behind the baseline (mm): enough to hold it by."""

ROOM = 4.0
"""What words leave free round them."""

CAUTIONS = ("Printed aids are not guards",)


def samples(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """A tail board and a pin board, or the reason why they would be too thin or too large."""
    joint = _short(layout, printing)
    refusal = too_thin(SAMPLE, joint, printing) or too_large(SAMPLE, joint.width, along(joint), printing)
    if refusal is not None:
        return [refusal]
    return [_tails(layout, joint), _pins(layout, joint)]


def _short(layout: Layout, printing: Printing) -> Layout:
    """The joint on short boards, with as many tails from the reference edge as the bed holds, and one at the least."""
    gap = clearances(printing)[1]
    boards = layout.recipe.tail_board, layout.recipe.pin_board
    length = min(LENGTH, *(board.length for board in boards))
    tails = layout.counted(layout.tails)

    def first(count: int) -> Layout:
        recipe = trial_recipe(layout, tails[:count], printing, gap, length, gap, mirrored=layout.mirrored)
        return place(recipe, mirrored=layout.mirrored)

    tried = (first(count) for count in range(len(tails), 1, -1))
    return next((joint for joint in tried if finds_room(joint.width, along(joint), printing)), first(1))


def _tails(layout: Layout, joint: Layout) -> Aid:
    words, length = f"{all_slopes(joint)} tails", joint.recipe.tail_board.length
    middle, room = (joint.width / 2, joint.as_cut.tail_end + length / 2), (joint.width - ROOM, length - ROOM)
    return Aid(
        name=f"{SAMPLE}-tails",
        title=f"Sample of the tail board, {tails_in_words(len(joint.tails))}",
        purpose=_PURPOSE,
        solid=engraved(tail_body(joint), words, middle, joint.as_cut.show_z, room),
        engraved=words,
        uses=(tail_use("Seated", joint, joint, contacts(joint), "sample of the pin board"),),
        how_to=_how_to(layout, joint),
        cautions=CAUTIONS,
        printing="Print it as it lies, on its show face, so that the flanks stand upright. It needs no support.",
        clearance=joint.recipe.flank_gap,
        figures=_figures(joint),
    )


def _pins(layout: Layout, joint: Layout) -> Aid:
    words, face = "pins", "show face" if joint.is_half_blind else "inside face"
    length = joint.recipe.pin_board.length
    middle, room = (joint.width / 2, pin_middle(joint)), (joint.width - ROOM, length - ROOM)
    return Aid(
        name=f"{SAMPLE}-pins",
        title=f"Sample of the pin board, {tails_in_words(len(joint.tails))}",
        purpose=_PURPOSE,
        solid=engraved(pin_body(joint), words, middle, joint.as_cut.show_y, room),
        engraved=words,
        uses=(pin_use("With the tails in their seats", joint, "sample of the tail board"),),
        how_to=_how_to(layout, joint),
        cautions=CAUTIONS,
        printing=f"Print it as it lies, on its {face}, so that the flanks stand upright. It needs no support.",
        clearance=joint.recipe.flank_gap,
        figures=_figures(joint),
    )


_PURPOSE = "It lets you feel how the joint goes together before you cut wood."


def _how_to(layout: Layout, joint: Layout) -> Words:
    count, of = len(joint.tails), len(layout.tails)
    told = [
        "Push the tails home by hand, as those of wood will go.",
        "It is to feel the fit and to see the layout, not for strength: do not strike it, and hang nothing on it.",
    ]
    if count < of:
        told.append(f"It has the first {count} of {of} tails from the reference edge; your bed holds no more.")
    told.append(f"Seen with the words upright, the reference edge is on your {joint.edge_side}.")
    told.append(f"{left_out(layout)}.")
    if joint.is_half_blind:
        told.append("The tails are a little short, so that their ends do not touch the lap.")
    return joined(told)


def _figures(joint: Layout) -> tuple[tuple[str, Words], ...]:
    return (
        ("clearance at each flank", clearance(joint.recipe.flank_gap)),
        ("board behind the baseline", in_mm(joint.recipe.tail_board.length)),
        ("width", in_mm(joint.width)),
    )
