"""The order of work for a whole box, from boards to planing, in steps that a maker ticks off. Common practice, with
this box's own numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solids.base.lengths import CALIPER, format_both
from solids.bench.procedure import WorkStep, planing_words, pressing_words
from solids.layout import Layout
from solids.layout.box.loose import plug_slabs
from solids.layout.box.model import BoxLayout


@dataclass(frozen=True)
class BoxWork:
    """What comes before the box is put together, dry and then with glue; in which order that is done; and what comes
    after."""

    before: tuple[WorkStep, ...]
    together: tuple[str, ...]
    after: tuple[WorkStep, ...]


def box_work(box: BoxLayout, joints: Sequence[Layout], together: Sequence[str]) -> BoxWork:
    """All of it for one box. `joints` are its kinds of joint, `together` the steps in which it was proved to go
    together."""
    return BoxWork(tuple(_before(box)), tuple(together), tuple(_after(box, joints)))


def _before(box: BoxLayout) -> Iterator[WorkStep]:
    groove = groove_words(box)
    yield WorkStep(
        "Prepare the boards",
        'Plane them, saw them to the sizes under "saw to", square the ends, and mark them as listed.',
    )
    if groove:
        yield WorkStep("Plough the groove", f"{groove} Plough it, or at least lay it out, before any joint.")
    yield WorkStep("Cut the joints", "Each kind of corner by its own setup sheet.")
    loose = ", none in the groove: the bottom stays loose" if groove else ""
    yield WorkStep("Try it dry", "All of it, in the order below. Mark each joint, and take it apart the same way back.")
    glue = f"Lay out clamps and cauls first. Glue on the flanks{loose}. Then, in this order and without a pause:"
    yield WorkStep("Glue", glue)


def _after(box: BoxLayout, joints: Sequence[Layout]) -> Iterator[WorkStep]:
    press = " ".join(dict.fromkeys(map(pressing_words, joints)))
    both = format_both(math.hypot(*box.recipe.inside), box.recipe.units, CALIPER)
    yield WorkStep("Clamp and check", f"{press} Both diagonals inside are {both}: shift a clamp until they are.")
    if plug_slabs(box):
        yield WorkStep("Plug the groove", "Glue a plug of the same wood into each notch that shows.")
    planing = dict.fromkeys(words for layout in joints for words in planing_words(layout))
    yield WorkStep("Plane", " ".join(planing) or "Nothing: the ends stay as they are.")


def groove_words(box: BoxLayout) -> str:
    """Where the groove is and what becomes of its ends; empty where there is none."""
    units, groove = box.recipe.units, box.recipe.groove
    if box.panel is None:
        return ""
    width, depth, up = (format_both(size, units, CALIPER) for size in (groove.width, groove.depth, groove.up))
    where = "of all four boards"
    if box.recipe.back_above_bottom:
        where = "of front, left and right; the back stands above it"
    stops = "it stops as far past the baseline as it is deep: chop those ends first."
    out = "it runs out at the ends, or ends at the lap where there is one."
    ends = f"In the tail boards {stops if groove.ends == 'stopped' else out}"
    back = " At the back it runs out below the back board, open, so that the bottom slides in."
    return (
        f"{width} wide and {depth} deep, {up} above the reference edge, in the inside faces {where}. {ends} It may be "
        "ploughed through the ends of the pin boards: there it falls into a socket, and the tail covers it."
        f"{back if box.recipe.back_above_bottom else ''}"
    )
