"""The transfer rest: it holds the cut tail board square on the end of the uncut pin board, with the baseline over the
inside face, while the tails are knifed onto the pins.

Both boards stand in the joint's frame, the tail board lifted by the length of the pins. Where it is rebated, its tails
lie on the pin board's end, and the rest bears its inside face, lower by the rebate, whose shoulder stops it. The rest
is one prism along X on a fence, so it prints lying on the fence.
"""

from __future__ import annotations

from dataclasses import dataclass

from solids.aids.making.aid import Aid, Plane, Refusal, Rest, Use
from solids.aids.making.edges import half_pin_edges
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import FOOT, extrude, pin_blank
from solids.aids.making.plates import too_large
from solids.aids.making.terraces import eased, terraced
from solids.base.amounts import in_mm, least_in_mm, most_in_mm
from solids.base.geometry import MINUS_Y, Frame, PlanePoint, X, Y, Z
from solids.base.messages import Words, joined, message
from solids.layout import Layout
from solids.model.boards import tail_board
from solids.model.kernel.shaping import cut, fuse, placed
from solids.recipe.tables.resolved import Printing

NAME = "transfer-rest"
PLATE = 8.0
"""Thickness of the plates and the fence: stiff enough for a clamp. Common practice."""

REACH, DROP, SPAN = 50.0, 60.0, 70.0
"""How far it goes under the tail board, down the pin board, and across both."""

SHORTEST = 20.0
"""A board shorter than this leaves nothing to clamp the rest to."""

RELIEF, LEAST_RELIEF = 2.0, 0.3
"""The groove where three faces meet, so that burrs do not hold the boards off."""

BEHIND = 0.8
"""The fence covers so much of a thin board's edge; of a thick one it stays 1 mm behind the show face."""

LIP_DEEP, LIP_TALL = 3.0, 5.0
LIP_GAP = 4.0
"""The narrowest gap beside the first tail that still takes a lip and the knife."""

KNIFE_ROOM, KNIFE_USUAL = 1.0, 0.8
"""What stays free beside the knife; and the knife's thickness where the kit names none. Common practice."""


@dataclass(frozen=True)
class _Sizes:
    """Its numbers in the joint's frame: `end` is where the tail board's inside face lies, which is the pin board's end
    less the rebate; `rear` the Y where the level plate begins, `low` the Z where the upright plate ends; the fence goes
    to `front` (Y) and `top` (Z)."""

    end: float
    rear: float
    low: float
    front: float
    top: float
    span: float
    relief: float
    lip: float
    lip_tall: float
    lip_deep: float


def transfer_rests(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """One rest, or the reason why the boards or the bed are too small."""
    tails, pins = layout.recipe.tail_board, layout.recipe.pin_board
    if min(tails.length, pins.length) < SHORTEST:
        why = message("A board shorter than {} leaves nothing to clamp the rest to.", in_mm(SHORTEST))
        return [Refusal(NAME, why, message("Take boards of {} or more behind the baseline.", least_in_mm(SHORTEST)))]
    if 2 * printing.nozzle > PLATE:
        words = "Its plates of {} are thinner than two lines of a nozzle of {}."
        why = message(words, in_mm(PLATE), in_mm(printing.nozzle))
        return [Refusal(NAME, why, message("Print with a nozzle of {} or less.", most_in_mm(PLATE / 2)))]
    sizes = _sizes(layout, printing)
    if sizes.relief < LEAST_RELIEF:
        least = least_in_mm((2 * printing.nozzle + LEAST_RELIEF) / BEHIND)
        thin = "The fence beside so thin a board would be too thin to print."
        return [Refusal(NAME, thin, message("Boards of {} and more work.", least))]
    large = too_large(NAME, sizes.front - sizes.rear, sizes.top - sizes.low, printing)
    if large is not None:
        return [large]
    return [_rest(layout, sizes)]


def _sizes(layout: Layout, printing: Printing) -> _Sizes:
    tails, pins = layout.recipe.tail_board, layout.recipe.pin_board
    end = layout.as_cut.pin_end - layout.rebate
    # The fence stays behind the show faces, so that a clamp can press on them.
    front, top = (max(BEHIND * board.thickness, board.thickness - 1.0) for board in (pins, tails))
    deep = min(LIP_DEEP, 0.9 * front)
    return _Sizes(
        end=end,
        rear=-min(REACH, tails.length),
        low=max(end - DROP, -pins.length),
        front=front,
        top=end + top,
        span=min(layout.width, SPAN),
        relief=min(RELIEF, front - 2 * printing.nozzle, top - 2 * printing.nozzle),
        lip=_lip_width(layout, deep, 2 * printing.nozzle),
        lip_tall=min(LIP_TALL, top),
        lip_deep=deep,
    )


def _knife_room(layout: Layout) -> float:
    return KNIFE_ROOM + (layout.recipe.kit.knife or KNIFE_USUAL)


def _lip_width(layout: Layout, deep: float, least: float) -> float:
    """How wide the lip may be so that the knife passes between it and the first tail; 0 where there is no room, or no
    square shoulder, or where that of a rebate stops the board."""
    if -1 not in half_pin_edges(layout) or layout.rebate:
        return 0.0
    gap = layout.gap_spans(0.0)[0][1]
    width = min(gap, layout.gap_spans(deep)[0][1]) - _knife_room(layout)
    return width if gap >= LIP_GAP and width >= max(least, 1.0) else 0.0


def _rest(layout: Layout, sizes: _Sizes) -> Aid:
    top = PLATE + sizes.span
    fence, plates = eased(_fence(sizes), 0.0, PLATE, foot=FOOT), eased(_plates(sizes), FOOT, top, top=FOOT)
    bodies = [terraced(fence), terraced(plates)]
    if sizes.lip:
        lip = [(0.0, sizes.end), (sizes.lip_deep, sizes.end)]
        lip += [(sizes.lip_deep, sizes.end + sizes.lip_tall), (0.0, sizes.end + sizes.lip_tall)]
        bodies.append(extrude(lip, PLATE - sizes.relief, PLATE + sizes.lip))
    body = cut(fuse(bodies), [extrude(_groove(sizes), PLATE - sizes.relief, top)])
    text = f"{layout.recipe.tail_board.thickness:.3g}/{layout.recipe.pin_board.thickness:.3g}"
    middle = ((sizes.rear - PLATE) / 2, sizes.end - PLATE / 2)
    body = engraved(body, text, middle, top, (-sizes.rear - PLATE, PLATE - 2 * FOOT))
    return Aid(
        name=NAME,
        title="Transfer rest",
        purpose="It holds both boards square to each other while you knife the tails onto the pin board.",
        solid=body,
        engraved=text,
        uses=(_use(layout, sizes),),
        how_to=_how_to(layout, sizes),
        cautions=("Edge tools", "Clamps", "Printed aids are not guards"),
        printing="Print it lying on its fence, as it lies. It needs no support.",
        figures=_figures(layout, sizes),
    )


def _fence(sizes: _Sizes) -> list[PlanePoint]:
    """In Y and Z: behind both boards' reference edges, and a corner brace between the two plates. It leaves the space
    above the pin board's end free for the hand, save where the lip stands on it."""
    behind = sizes.lip_deep if sizes.lip else 0.0
    return [
        (sizes.rear, sizes.end - PLATE),
        (-PLATE, sizes.low),
        (sizes.front, sizes.low),
        (sizes.front, sizes.end),
        (behind, sizes.end),
        (behind, sizes.top),
        (sizes.rear, sizes.top),
    ]


def _plates(sizes: _Sizes) -> list[PlanePoint]:
    """In Y and Z: the level plate and the upright plate, their common corner taken off."""
    return [
        (sizes.rear, sizes.end - PLATE),
        (-PLATE, sizes.end - PLATE),
        (-PLATE, sizes.low),
        (0.0, sizes.low),
        (0.0, sizes.end - sizes.relief),
        (-sizes.relief, sizes.end),
        (sizes.rear, sizes.end),
    ]


def _groove(sizes: _Sizes) -> list[PlanePoint]:
    """In Y and Z: along the foot of both plates, let into the fence; it runs out past the fence's ends."""
    rear, low = sizes.rear - 1.0, sizes.low - 1.0
    return [
        (rear, sizes.end),
        (-sizes.relief, sizes.end),
        (0.0, sizes.end - sizes.relief),
        (0.0, low),
        (sizes.relief, low),
        (sizes.relief, sizes.end),
        (0.0, sizes.end),
        (0.0, sizes.end + sizes.relief),
        (rear, sizes.end + sizes.relief),
    ]


def _use(layout: Layout, sizes: _Sizes) -> Use:
    boards = (
        ("tail board", placed(tail_board(layout, layout.as_cut), Frame.of(X, Y, Z, (0.0, 0.0, sizes.end)))),
        ("pin board", pin_blank(layout)),
    )
    deep, tall = -sizes.rear - sizes.relief, sizes.end - sizes.relief - sizes.low
    level = 0.9 * deep * sizes.span
    rests = [
        Rest("tail board", Z, level),
        Rest("pin board", Y, 0.9 * tall * sizes.span),
        Rest("tail board", X, 0.9 * -sizes.rear * (sizes.top - sizes.end - sizes.relief)),
        Rest("pin board", X, 0.9 * (sizes.front - sizes.relief) * (sizes.end - sizes.low)),
    ]
    if sizes.lip:
        rests.append(Rest("tail board", MINUS_Y, 0.9 * _lip_contact(layout, sizes)))
    place = Frame.of(Y, Z, X, (-PLATE, 0.0, 0.0))
    return Use("Between the boards", place, boards, tuple(rests), (), Plane((0.0, 0.0, sizes.end), Z), level)


def _lip_contact(layout: Layout, sizes: _Sizes) -> float:
    """What of the lip touches the shoulder: where its floor is hollowed, the lands alone."""
    land = layout.land if layout.land is not None else sizes.lip
    return sizes.lip * sizes.lip_tall - max(sizes.lip - land, 0.0) * max(sizes.lip_tall - land, 0.0)


def _how_to(layout: Layout, sizes: _Sizes) -> Words:
    place: Words = "and the level plate flush with the end."
    stop = "There is no room for a lip here, so set the baseline over the inside face by eye."
    if layout.rebate:
        place = message(
            "and the level plate {} below the end, by the rebate: the tails lie on the end, and the inside face behind "
            "them on the plate.",
            in_mm(layout.rebate),
        )
        stop = "Push the tail board toward its tails until the shoulder of its rebate meets the inside face."
    elif sizes.lip:
        stop = "Push the tail board toward its tails until the shoulder beside the first tail meets the lip."
    told = [
        "Clamp the rest to the inside face of the uncut pin board, with the fence on the reference edge",
        place,
        "Lay the tail board on it, show face up, its reference edge against the fence.",
        stop,
        "Clamp it. Knife along each flank.",
    ]
    if layout.chamfer_reach:
        told.append("The tails are chamfered below, so hold the knife upright against the flank.")
    return joined(told)


def _figures(layout: Layout, sizes: _Sizes) -> tuple[tuple[str, Words], ...]:
    tails, pins = (in_mm(board.thickness) for board in (layout.recipe.tail_board, layout.recipe.pin_board))
    boards = ("boards", message("{} on {}", tails, pins))
    if layout.rebate:
        return boards, ("lip", "none: the shoulder of the rebate stops the tail board")
    if -1 not in half_pin_edges(layout):
        return boards, ("lip", "none: no square shoulder lies beside the first tail")
    if not sizes.lip:
        gap = layout.gap_spans(0.0)[0][1]
        return boards, ("lip", message("none: the gap beside the first tail is {}", in_mm(gap)))
    return boards, ("lip", message("{} wide", in_mm(sizes.lip))), ("room for the knife", in_mm(_knife_room(layout)))
