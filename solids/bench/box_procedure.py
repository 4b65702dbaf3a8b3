"""The order of work for a whole box, from boards to planing, in steps that a maker ticks off. Common practice, with
this box's own numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from solids.base.lengths import CALIPER, format_both, format_length
from solids.base.messages import capital
from solids.bench.procedure import CAUL, LAID_OUT, WAXED, Stage, WorkStep, joint_work, planing_words, pressing_words
from solids.layout import Layout
from solids.layout.box.bottom import slot_for
from solids.layout.box.kinds import and_so_on, kind_title
from solids.layout.box.loose import plug_slabs
from solids.layout.box.model import BoxCorner, BoxLayout
from solids.recipe.completing.choosing import round_up
from solids.recipe.tables.box_resolved import CORNERS, Glued


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
    cut = WorkStep("Cut the joints", f"Each kind of corner by its own setup sheet.{_pair_words(box)}")
    before = *_boards(box), cut, *_glue_up(box, "Lay out clamps and cauls first. ")
    return BoxWork(before, tuple(together), (_clamping(box, joints), *_after(box, joints)))


def box_stages(box: BoxLayout, joints: Sequence[Layout], together: Sequence[str]) -> tuple[Stage, ...]:
    """The same part by part, with the steps that cut each kind of joint."""
    pairs = _pair_words(box).strip()
    alike: dict[tuple[WorkStep, ...], list[str]] = {}
    for layout in joints:
        alike.setdefault(joint_work(layout), []).extend(layout.standing.corners)
    cuts = [Stage(f"Cut the joint: {kind_title(names)}", steps) for steps, names in alike.items()]
    if pairs:
        cuts[0] = replace(cuts[0], steps=(WorkStep("Saw in pairs", pairs), *cuts[0].steps))
    order = (WorkStep("", step) for step in together)
    return (
        Stage("Prepare the boards", tuple(_boards(box))),
        *cuts,
        Stage("Glue up", (_laid_out(box), *_glue_up(box), *order, _clamping(box, joints))),
        Stage("After the glue", tuple(_after(box, joints))),
    )


def _boards(box: BoxLayout) -> Iterator[WorkStep]:
    groove = groove_words(box)
    yield WorkStep(
        "Prepare the boards",
        'Plane them, saw them to the sizes under "saw to", square the ends, and mark them as listed.',
    )
    if groove:
        yield WorkStep("Plough the groove", f"{groove} Plough it, or at least lay it out, before any joint.")


def _glue_up(box: BoxLayout, first: str = "") -> Iterator[WorkStep]:
    yield WorkStep("Try it dry", "All of it, in the order below. Mark each joint, and take it apart the same way back.")
    glue = f"{first}Glue on the flanks{_groove_glue(box)}. Then, in this order and without a pause:"
    yield WorkStep("Glue", glue)


CLAMP_EVERY = 150.0
"""One clamp at each end of a tail board holds so much of its height (mm); two are the least. Common practice."""


def _laid_out(box: BoxLayout) -> WorkStep:
    """Clamps run along the pin boards and press the tail boards inward."""
    units, along = box.recipe.units, box.recipe.tails_on_sides
    opens = box.boards["front" if along else "left"].end_to_end(finished=False) + 2 * CAUL
    each = max(2, math.ceil(box.recipe.height / CLAMP_EVERY))
    pressed, run = ("left and right", "front and back") if along else ("front and back", "left and right")
    wide = format_length(round_up(opens, units), units)
    clamps = f"{2 * each} clamps that open {wide} or more, {each} along each of {run}"
    caul = f"Lay a straight caul of {format_length(box.recipe.height, units)} or longer over the tails"
    return WorkStep("Lay out", f"{LAID_OUT}; {clamps}. {caul} at each end of {pressed}. {WAXED}")


GROOVE_GLUE: dict[Glued, str] = {
    "all round": ", and in the groove too if you like: plywood hardly moves",
    "in the middle": ", in the groove only a dab in the middle of each end-grain edge of the bottom",
    "nowhere": ", none in the groove: the bottom stays loose",
}


def _groove_glue(box: BoxLayout) -> str:
    """Whether glue goes into the groove too; empty where there is none."""
    if box.panel is None:
        return ""
    return GROOVE_GLUE[box.recipe.panel.glued]


def _clamping(box: BoxLayout, joints: Sequence[Layout]) -> WorkStep:
    press = " ".join(dict.fromkeys(map(pressing_words, joints)))
    both = format_both(math.hypot(*box.recipe.inside), box.recipe.units, CALIPER)
    return WorkStep("Clamp and check", f"{press} Both diagonals inside are {both}: shift a clamp until they are.")


def _after(box: BoxLayout, joints: Sequence[Layout]) -> Iterator[WorkStep]:
    if fastening := _fastening_words(box):
        yield WorkStep("Fasten the bottom", fastening)
    if plug_slabs(box):
        yield WorkStep("Plug the groove", "Glue a plug of the same wood into each notch that shows.")
    yield WorkStep("Plane", " ".join(_planing(joints)) or "Nothing: the ends stay as they are.")


def _planing(joints: Sequence[Layout]) -> Iterator[str]:
    """What is planed, each sentence once, with the corners that it is for where it is not for all."""
    at: dict[str, list[str]] = {}
    for layout in joints:
        for words in planing_words(layout):
            at.setdefault(words, []).extend(layout.standing.corners)
    for words, names in at.items():
        everywhere = len(names) in (0, len(CORNERS))
        yield words if everywhere else f"{words.removesuffix('.')} (at the {kind_title(names)})."


def groove_words(box: BoxLayout) -> str:
    """Where the groove is and what becomes of its ends; empty where there is none."""
    units, groove = box.recipe.units, box.recipe.groove
    if box.panel is None:
        return ""
    width, depth, up = (format_both(size, units, CALIPER) for size in (groove.width, groove.depth, groove.up))
    where = "of all four boards"
    if box.recipe.back_above_bottom:
        where = "of front, left and right; the back stands above it"
    back = " At the back it runs out below the back board, open, so that the bottom slides in."
    return (
        f"{width} wide and {depth} deep, {up} above the reference edge, in the inside faces {where}. "
        f"{' '.join(_end_words(box))} It may be "
        "ploughed through the ends of the pin boards: there it falls into a socket, and the tail covers it."
        f"{back if box.recipe.back_above_bottom else ''}"
    )


def _end_words(box: BoxLayout) -> Iterator[str]:
    """What becomes of the groove at the ends of the tail boards, a sentence for each way, with the corners where they
    are not alike."""
    ways: dict[str, list[str]] = {}
    for name, corner in box.corners.items():
        if not box.is_open(corner):
            ways.setdefault(_way_out(box, corner), []).append(name)
    for way, names in ways.items():
        at = f" at the {kind_title(names)}" if len(ways) > 1 else ""
        yield f"In the tail boards{at} {way}."


def _way_out(box: BoxLayout, corner: BoxCorner) -> str:
    if not box.runs_out(corner):
        return "it stops as far past the baseline as it is deep: chop those ends first"
    return "plough it right through: the lap hides it" if corner.layout.is_half_blind else "it runs out at the ends"


def _pair_words(box: BoxLayout) -> str:
    """How both tail boards are sawn in one go at the ends where their tails are alike; empty where there is none.
    Source: W. Noyes, Handwork in Wood, 1910, p. 166, which clamps rights and lefts in pairs."""
    sides, ends = ("left", "right"), ("front", "back")
    boards, mates = (sides, ends) if box.recipe.tails_on_sides else (ends, sides)
    alike = []
    for mate in mates:
        first, second = (corner for name, corner in box.corners.items() if mate in name)
        alike += [f"at the {mate}"] if _tails(first) == _tails(second) else []
    if not alike:
        return ""
    return (
        f" {capital(and_so_on(boards))} have the same tails {and_so_on(alike)}: saw both boards at once. Lay their "
        "inside faces together, raw ends and reference edges flush, and clamp them. Lay out the tails on one, square "
        "the lines across both ends, and saw square across the pair. Then part them and chop each by itself."
    )


def _tails(corner: BoxCorner) -> tuple[float, ...]:
    """What must agree for two boards to be sawn together: where the joint begins, how deep it is, every flank."""
    layout = corner.layout
    flanks = (x for y in (layout.as_cut.tail_end, 0.0) for tail in layout.tails for x in layout.tail_edges(tail, y))
    return tuple(round(size, 6) for size in (corner.below, layout.as_cut.tail_end, *flanks))


def _fastening_words(box: BoxLayout) -> str:
    """How a bottom that runs out under the back is fastened; empty for any other, which its groove holds. Source: W.
    Noyes, Handwork in Wood, 1910, p. 190: to the front alone, so that it can shrink."""
    panel = box.recipe.panel
    if box.panel is None or not panel.under_back:
        return ""
    if not panel.free:
        return "When the glue has set, screw it up into the back. It hardly moves that way: it needs no slots."
    slot = format_both(slot_for(box), box.recipe.units)
    return (
        "When the glue has set, glue or screw it to the front alone. Each screw under the back goes through a slot in "
        f"the solid bottom, {slot} longer from front to back than the screw is thick, so that the bottom can move."
    )
