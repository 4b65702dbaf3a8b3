"""The order of work for a whole box, from boards to planing, in steps that a maker ticks off. Common practice, with
this box's own numbers."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from solids.base.geometry import as_compared
from solids.base.messages import capital
from solids.bench.box_bottom import bottom_grooving, bottom_shaping, fastening_words, groove_glue
from solids.bench.dividers import CUT_HOUSINGS, housing_steps, late_steps
from solids.bench.gluing.goes import Gluing, gluing_of
from solids.bench.gluing.words import (
    amount_words,
    diagonal_words,
    goes_words,
    laid_out_words,
    pressed_words,
    with_pauses,
)
from solids.bench.procedure import SAW_TAILS, Stage, WorkStep, joint_work, planing_words, pressing_words
from solids.bench.procedure.lid import lid_steps, top_groove_steps
from solids.bench.procedure.opening import fitting_steps, lip_steps, stop_steps
from solids.layout import Layout
from solids.layout.assembly import assembly_of
from solids.layout.box.kinds import and_so_on, kind_title
from solids.layout.box.loose import plug_slabs
from solids.layout.box.model import BoxCorner, BoxLayout
from solids.recipe.tables.box_resolved import CORNERS

FIT_BOTTOM = "Fit the bottom"
FEET = (
    "Bore and countersink two holes in each foot, one under each board, near its outside and clear of joint and "
    "groove: none goes into the bottom, which has to move. Glue and screw each foot under its corner, from below."
)


@dataclass(frozen=True)
class BoxWork:
    """What comes before the box is put together, dry and then with glue; in which order that is done; and what comes
    after."""

    before: tuple[WorkStep, ...]
    together: tuple[str, ...]
    after: tuple[WorkStep, ...]


def box_work(box: BoxLayout, joints: Sequence[Layout], together: Sequence[str], parts: Sequence[str] = ()) -> BoxWork:
    """All of it for one box. `joints` are its kinds of joint, `together` the steps in which it was proved to go
    together, and `parts` the part of each step."""
    gluing = gluing_of(assembly_of(box), parts)
    cut = WorkStep("Cut the joints", f"Each kind of corner by its own setup sheet.{_pair_words(box)}")
    before = *_boards(box), cut, *_housings(box), *_glue_up(box, gluing, "Lay out clamps and cauls first. ")
    glued, later = _glued(gluing, together)
    return BoxWork(before, glued, (_clamping(gluing, joints), *later, *_after(box, joints)))


def box_stages(
    box: BoxLayout, joints: Sequence[Layout], together: Sequence[str], parts: Sequence[str] = ()
) -> tuple[Stage, ...]:
    """The same part by part, with the steps that cut each kind of joint."""
    gluing = gluing_of(assembly_of(box), parts)
    alike: dict[tuple[WorkStep, ...], list[str]] = {}
    for layout in joints:
        alike.setdefault(joint_work(layout), []).extend(layout.standing.corners)
    cuts = [
        Stage(f"Cut the joint: {kind_title(names)}", tuple(_with_pairs(steps, _pair_words(box, names).strip())))
        for steps, names in alike.items()
    ]
    laid_out = WorkStep("Get ready", laid_out_words(gluing.clamping, box.recipe.units))
    glued, later = _glued(gluing, together)
    order = (WorkStep("", step) for step in glued)
    return (
        Stage("Prepare the boards", tuple(_boards(box))),
        *cuts,
        *([Stage(CUT_HOUSINGS, housings)] if (housings := _housings(box)) else []),
        Stage("Glue up", (laid_out, *_glue_up(box, gluing), *order, _clamping(gluing, joints), *later)),
        Stage("After the glue", tuple(_after(box, joints))),
    )


def _housings(box: BoxLayout) -> tuple[WorkStep, ...]:
    return tuple(WorkStep(*step) for step in housing_steps(box))


def _boards(box: BoxLayout) -> Iterator[WorkStep]:
    yield WorkStep(
        "Prepare the boards",
        'Plane them, saw them to the sizes under "saw to", square the ends, and mark them as listed. Triangle A is '
        "drawn once across front and back, laid edge to edge, show faces up and reference edges toward you, with the "
        "front beyond the back; B likewise across left and right, with the left beyond.",
    )
    yield from lip_steps(box)
    yield from (WorkStep(name, how) for name, how in bottom_grooving(box))
    yield from top_groove_steps(box)
    yield from (WorkStep(name, how) for name, how in bottom_shaping(box))


def _glue_up(box: BoxLayout, gluing: Gluing, first: str = "") -> Iterator[WorkStep]:
    yield WorkStep("Try it dry", "All of it, in the order below. Mark each joint, and take it apart the same way back.")
    amount = amount_words(gluing)
    goes = goes_words(gluing) if len(gluing.goes) > 1 else ""
    then = f"{goes} Each go" if goes else "Then,"
    how = f"{first}Glue on the flanks{groove_glue(box)}. {amount} {then} in this order and without a pause:"
    yield WorkStep("Glue", how)


def _glued(gluing: Gluing, together: Sequence[str]) -> tuple[tuple[str, ...], tuple[WorkStep, ...]]:
    """The steps until the last corner is closed, with pauses; and what goes in when the clamps are on."""
    first = len(together) - len(gluing.after)
    later = (
        WorkStep(capital(seat.part), f"{words} {pressed_words(seat, gluing.clamping)}".rstrip())
        for seat, words in zip(gluing.after, together[first:], strict=True)
    )
    return with_pauses(gluing, together[:first]), tuple(later)


def _clamping(gluing: Gluing, joints: Sequence[Layout]) -> WorkStep:
    press = " ".join(_each_once(joints, lambda layout: [pressing_words(layout)]))
    return WorkStep("Clamp and check", f"{press} {diagonal_words(gluing.clamping, gluing.units)}")


def _after(box: BoxLayout, joints: Sequence[Layout]) -> Iterator[WorkStep]:
    """What is planed, gauged and tried comes before what would be in the way of it: a drawer is planed over a board and
    tried before its bottom is in, and a gauge runs along a lower edge without feet."""
    fastening, slides_in = fastening_words(box), box.recipe.panel.under_back
    yield from (WorkStep(*step) for step in late_steps(box))
    if fastening and not slides_in:
        yield WorkStep(FIT_BOTTOM, fastening)
    if plug_slabs(box):
        yield WorkStep("Plug the groove", "Glue a plug of the same wood into each notch that shows.")
    yield WorkStep("Plane", " ".join(_each_once(joints, planing_words)) or "Nothing: the ends stay as they are.")
    yield from lid_steps(box)
    if box.recipe.feet:
        yield WorkStep("Fit the feet", FEET)
    yield from fitting_steps(box)
    if fastening and slides_in:
        yield WorkStep(FIT_BOTTOM, fastening)
    yield from stop_steps(box)


def _each_once(joints: Sequence[Layout], told: Callable[[Layout], Iterable[str]]) -> Iterator[str]:
    """What is told of each joint, each sentence once, with the corners that it is for where it is not for all."""
    at: dict[str, list[str]] = {}
    for layout in joints:
        for words in told(layout):
            at.setdefault(words, []).extend(layout.standing.corners)
    for words, names in at.items():
        everywhere = len(names) in (0, len(CORNERS))
        yield words if everywhere else f"{words.removesuffix('.')} (at the {kind_title(names)})."


def _with_pairs(steps: Iterable[WorkStep], words: str) -> Iterator[WorkStep]:
    """The steps of a joint, and before the tails are sawn how two boards are sawn at once."""
    for step in steps:
        if step.what == SAW_TAILS and words:
            yield WorkStep("Saw in pairs", words)
        yield step


def _pair_words(box: BoxLayout, corners: Collection[str] = CORNERS) -> str:
    """How both tail boards are sawn in one go at the ends where their tails are alike, each end told with the first of
    its corners; empty where there is none among these. Source: W. Noyes, Handwork in Wood, 1910, p. 166, which clamps
    rights and lefts in pairs."""
    sides, ends = ("left", "right"), ("front", "back")
    boards, mates = (sides, ends) if box.recipe.tails_on_sides else (ends, sides)
    alike = []
    for mate in mates:
        here = [name for name in box.corners if mate in name]
        first, second = (_tails(box.corners[name]) for name in here)
        alike += [f"at the {mate}"] if first == second and here[0] in corners else []
    if not alike:
        return ""
    return (
        f" {capital(and_so_on(boards))} have the same tails {' and the same '.join(alike)}: saw both boards at once. "
        "Lay their inside faces together, raw ends and reference edges flush, and clamp them. Lay out the tails on "
        "one, square the lines across both ends, and saw square across the pair. Then part them and chop each by "
        "itself."
    )


def _tails(corner: BoxCorner) -> tuple[float, ...]:
    """What must agree for two boards to be sawn together: where the joint begins, how deep it is, every flank."""
    layout = corner.layout
    flanks = (x for y in (layout.as_cut.tail_end, 0.0) for tail in layout.tails for x in layout.tail_edges(tail, y))
    return tuple(map(as_compared, (corner.below, corner.above, layout.as_cut.tail_end, *flanks)))
