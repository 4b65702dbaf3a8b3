"""The kinds of corner of a box, each once, as used for papers and aids."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.base.lengths import CALIPER, format_both, format_sizes
from solids.layout.box.model import BoardKind, BoxLayout, with_top
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.placing import place
from solids.layout.joint.shape.states import GrooveHere, Standing
from solids.recipe.completing.box_keys import end_of, keys_of
from solids.recipe.tables.box_resolved import CORNERS, SIDES, CornerName, Side
from solids.recipe.tables.lip_resolved import NO_LIP
from solids.recipe.tables.resolved import Recipe


def box_headline(box: BoxLayout) -> str:
    """The box in one sentence."""
    long, wide = (format_both(size, box.recipe.units, CALIPER) for size in box.outside)
    height = format_both(box.recipe.closed_height, box.recipe.units, CALIPER)
    pair = "left and right" if box.recipe.tails_on_sides else "front and back"
    feet = box.recipe.feet
    on = f" on feet of {format_both(feet.height, box.recipe.units, CALIPER)}" if feet else ""
    closed, lid = " once its lid is sawn off" if box.recipe.lid else "", box.recipe.lid_board
    if lid:
        closed = f" under a lid that rises {format_both(lid.rises, box.recipe.units, CALIPER)} above it"
    return f"Outside {long} long, {wide} wide, {height} high{on}{closed}; the tails are on {pair}.{_lip_words(box)}"


def _lip_words(box: BoxLayout) -> str:
    lip, units = box.recipe.lip, box.recipe.units
    if not lip:
        return ""
    long, high = (mm + more for mm, more in zip((box.outside[0], box.recipe.height), (lip.long, lip.high), strict=True))
    return f" The front with its lip measures {format_sizes((long, high), units, CALIPER)}."


def kinds_of_corner(box: BoxLayout) -> list[tuple[CornerName, ...]]:
    """The names of the corners, grouped by kind. A joint that is not its own mirror image counts as another kind at the
    corners where it is the other way round."""
    kinds: dict[tuple[Recipe, bool | None], list[CornerName]] = {}
    for name, corner in box.corners.items():
        hand = None if corner.is_symmetrical else corner.upright
        plain = replace(corner.layout.recipe, title="", choices=(), notices=())
        kinds.setdefault((plain, hand), []).append(name)
    return [tuple(names) for names in kinds.values()]


def kind_title(names: Sequence[str]) -> str:
    """ "front left and front right", "all four corners"."""
    return "all four corners" if len(names) == len(CORNERS) else and_so_on(names)


def made_alike(box: BoxLayout) -> tuple[tuple[CornerName, ...], ...]:
    """The names of the corners, those together that are made alike, whichever way round they stand."""
    found: dict[Recipe, list[CornerName]] = {}
    for name, recipe in box.recipe.corners.items():
        found.setdefault(replace(recipe, title="", choices=(), notices=()), []).append(name)
    return tuple(map(tuple, found.values()))


def shown_layout(box: BoxLayout, names: tuple[CornerName, ...]) -> Layout:
    """The layout of a kind of corner for papers and aids: in the right-handed frame, with whole boards, and with its
    place in the box."""
    first, kind = box.corners[names[0]], kind_title(names)
    title = f"{box.recipe.title[: tol.TITLE_LONGEST - len(kind) - 2]}, {kind}"
    right = tuple(name for name in names if not box.corners[name].upright)
    tail_boards = (side for name in names for side in SIDES if side in name and box.kind_of(side) == "tail board")
    sawn = box.recipe.lid.span if box.recipe.lid else None
    lip = box.recipe.lip if end_of(names[0]) == "front" else NO_LIP
    # A joint that occurs both ways round is its own mirror image. It is shown with the reference edge on the left.
    layout = place(replace(first.layout.recipe, title=title), mirrored=right == names)
    return replace(
        layout,
        below=first.below,
        above=first.above,
        groove=groove_here(box, names),
        top_groove=groove_here(with_top(box), names, is_top=True),
        standing=Standing(
            *(names, right, tuple(dict.fromkeys(tail_boards)), sawn),
            sawn_spans=_spans_in_x(box, names, sawn) if sawn else (),
            lip=lip,
        ),
        keys=tuple(keys_of(box.recipe, names).items()),
    )


def _spans_in_x(box: BoxLayout, names: tuple[CornerName, ...], heights: Span) -> tuple[Span, ...]:
    """What lies between two heights of the box, in the X of a kind of corner: for each hand that it stands with."""
    first = box.corners[names[0]]
    low, high = -first.below, box.recipe.height - first.above
    upright, turned = (heights[0] + low, heights[1] + low), (high - heights[1], high - heights[0])
    hands = {box.corners[name].upright for name in names}
    return tuple(dict.fromkeys(span for hand, span in ((True, upright), (False, turned)) if hand in hands))


def groove_here(box: BoxLayout, names: tuple[CornerName, ...], *, is_top: bool = False) -> GrooveHere | None:
    """The groove of a kind of corner, in the frame that its papers have."""
    groove, first = box.recipe.groove, box.corners[names[0]]
    sides: dict[BoardKind, Side] = {box.kind_of(side): side for side in SIDES if side in first.name}
    grooved = {kind: box.is_grooved(side) for kind, side in sides.items()}
    if not any(grooved.values()):
        return None
    spans = _spans_in_x(box, names, (groove.up, groove.top))
    tails = box.boards[sides["tail board"]]
    reach = box.groove_reach(tails, first, first.layout.as_cut) if grooved["tail board"] else None
    pin_reach = box.groove_reach(box.boards[sides["pin board"]], first, first.layout.as_cut)
    return GrooveHere(
        *(groove.up, groove.width, groove.depth, spans, reach, grooved["pin board"], pin_reach),
        is_rebate=box.recipe.panel.in_rebate,
        stops_in_pin=box.in_half_pin(first),
        is_top=is_top,
        down=box.recipe.height - groove.top,
    )


def and_so_on(names: Sequence[str]) -> str:
    """ "front left", "front left and back left", "front left, front right and back left"."""
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)
