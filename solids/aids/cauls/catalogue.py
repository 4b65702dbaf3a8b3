"""Glue-up cauls: bars that press on tails only, or on pins only, so that clamps drive a seated joint together without
touching what stands proud beside them; a plain one for a lap; and a small pad for the edges."""

from __future__ import annotations

from collections.abc import Iterator

from solids.aids.cauls.keys import BarPart, TKey, key_for, part_span, parts_of, seams_for, shifted
from solids.aids.cauls.marks import marked, spot_on, spots_beside
from solids.aids.cauls.plans import BAR, Press, off_ends, plan_for_lap, plan_for_pins, plan_for_tails, too_short
from solids.aids.cauls.raised import raised
from solids.aids.making.aid import Aid, Plane, Refusal, Rest, Use
from solids.aids.making.edges import half_pin_edges
from solids.aids.making.modelling import FOOT
from solids.aids.making.plates import MARGIN, bed_room, too_large
from solids.aids.making.print_way import PRESSED
from solids.base import tolerances as tol
from solids.base.amounts import area, in_mm, least_in_mm
from solids.base.geometry import MINUS_X, MINUS_Z, Frame, PlanePoint, Polygon, X, Y, Z
from solids.base.messages import Key, Words, joined, message
from solids.base.polygons import area_of, inset
from solids.layout import Layout
from solids.model.corner import Corner, make_corner
from solids.model.kernel import Solid
from solids.model.kernel.shaping import placed
from solids.recipe.tables.resolved import Printing

EASED = 0.8
"""Chamfer round the side of a plain bar that presses, so that no edge marks the show face."""

LEAST_ROOM = 60.0
"""With this much room along a bar, every seam finds a place."""

PRESSES = 0.8
"""The share of a pressing face that must bear."""

EDGE_PLATE, EDGE_PAD = 8.0, 3.0
"""Thickness of the plate, and how far the pad rises from it: the plate hovers so far beside the boards' edges."""

EDGE_CLEAR = 0.5
"""The distance to the tail board along X that the proof asks for."""

CAUTIONS = ("Clamps", "Printed aids are not guards")
RELEASE = "Cover what presses with packing tape or wax, so that glue does not hold it (common practice)."


def cauls(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """A caul for the tails, one for the pins or for the lap, and a pad for the edges."""
    corner, key = make_corner(layout, layout.as_cut), key_for(printing)
    plans = [
        plan_for_tails(layout, printing, key),
        plan_for_lap(layout, key) if layout.is_half_blind else plan_for_pins(layout, printing, key),
    ]
    made: list[Aid | Refusal] = []
    for plan in plans:
        made += [plan] if isinstance(plan, Refusal) else _bars(plan, corner, printing, key)
    return [*made, _edge_pad(layout, printing, corner)]


# --- bars, whole or in parts ---------------------------------------------------------------------------------


def _bars(press: Press, corner: Corner, printing: Printing, key: TKey) -> list[Aid | Refusal]:
    """The caul, in as many parts as the bed needs."""
    deepest, longest = bed_room(printing)
    seams = seams_for(press.span, press.pads, longest, key) if press.depth <= deepest else None
    if seams is None:
        why = message("The bed is too small for a bar {} deep, even in parts.", in_mm(press.depth))
        side = least_in_mm(max(press.depth, LEAST_ROOM) + 2 * MARGIN)
        return [Refusal(press.name, why, message("Set {} to {} or more on both sides.", Key("print.bed"), side))]
    parts = parts_of(press.span, press.depth, press.pads, seams, key)
    made = [_part_solid(press, part, (number, len(parts)), printing, key) for number, part in enumerate(parts, start=1)]
    places = [_place(press, part) for part in parts]
    aids: list[Aid | Refusal] = []
    for number, (part, (body, text, turned)) in enumerate(zip(parts, made, strict=True), start=1):
        uses = [_in_place(press, part, places[number - 1], corner)]
        if number < len(parts):
            neighbour = placed(made[number][0], places[number])
            uses += _keyed(f"{press.name}-{number + 1}", places[number - 1], neighbour, key)
        aids.append(_bar_aid(press, body, text, turned, (number, len(parts)), tuple(uses)))
    return aids


def _part_solid(
    press: Press, part: BarPart, number: tuple[int, int], printing: Printing, key: TKey
) -> tuple[Solid, str, bool]:
    """The solid, from U = 0, its text, and whether that runs across the bar."""
    which, count = number
    start = part_span(part)[0]
    pads = [shifted(pad, -start) for pad in part.pads]
    body = raised(shifted(part.outline, -start), _foot(press, part), BAR, [(pad, BAR + press.rise) for pad in pads])
    texts = press.texts
    if count > 1:
        kind = press.texts[0].split()[0]
        texts = (f"{kind} {which}/{count} {press.slope}", f"{which}/{count} {press.slope}", f"{which}/{count}")
    low, high = part_span(part)
    free = (
        low - start if part.left_seam is None else part.left_seam + key.zone[1] - start,
        (high if part.right_seam is None else part.right_seam) - start,
    )
    spots = list(spots_beside(pads, free, press.depth, BAR))
    spots += [spot_on(pad, BAR + press.rise, 2 * printing.nozzle) for pad in pads]
    return marked(body, texts, spots)


def _foot(press: Press, part: BarPart) -> float:
    """The chamfer on the bed: a plain bar presses with that side, and is eased more where no key gets thin by it."""
    return FOOT if press.pads or part.left_seam is not None or part.right_seam is not None else EASED


def _place(press: Press, part: BarPart) -> Frame:
    """From the bed into the joint: pads look toward the board; a plain bar lies with its pressing side on the bed."""
    top = BAR + press.rise if press.pads else 0.0
    up = press.toward if press.pads else tuple(-step for step in press.toward)
    start = part_span(part)[0]
    # The plane `face` lies along the outward normal, which is the way back from `toward`.
    x, y, z = (
        first * start + second * press.v_start - third * (press.face + top)
        for first, second, third in zip(X, press.across, press.toward, strict=True)
    )
    return Frame.of(X, press.across, (up[0], up[1], up[2]), (x, y, z))


def _in_place(press: Press, part: BarPart, place: Frame, corner: Corner) -> Use:
    pressing = (
        sum(area_of(pad) for pad in part.pads) if press.pads else area_of(inset(part.outline, _foot(press, part)))
    )
    if not pressing:
        return Use(press.words, place, corner.boards, (), press.clears)
    x, y, z = (step * -press.face for step in press.toward)
    return Use(
        words=press.words,
        place=place,
        boards=corner.boards,
        rests=(Rest(press.board, press.toward, PRESSES * pressing),),
        clears=press.clears,
        works_in=Plane((x, y, z), press.toward),
        least_face=PRESSES * pressing,
    )


def _keyed(name: str, place: Frame, neighbour: Solid, key: TKey) -> list[Use]:
    """Together, two parts do not cut into each other; pulled apart by the clearance, the tongue's shoulders hook in."""
    boards = ((name, neighbour),)
    apart = place.shifted((-key.clearance, 0.0, 0.0))
    hooks = PRESSES * key.shoulder * BAR
    return [
        Use("Pushed together", place, boards, (), ((name, X, key.clearance),) if key.clearance else ()),
        Use("Pulled apart by the clearance", apart, boards, (Rest(name, MINUS_X, hooks),)),
    ]


def _bar_aid(press: Press, body: Solid, text: str, turned: bool, number: tuple[int, int], uses: tuple[Use, ...]) -> Aid:
    part, count = number
    split = count > 1
    how_to = [press.how_to]
    if split:
        how_to.append(f"Join its {count} parts first: lower each tongue into the slot of the next part.")
    if text and press.pads:
        side = "the tops of the letters point to the reference edge" if turned else "the reference edge is on your left"
        how_to.append(f"Seen with the words upright, {side}.")
    elif not text:
        how_to.append("It has no room for words: write its name on it, and mark the end at the reference edge.")
    figures: list[tuple[str, Words]] = [
        ("parts", f"{count}"),
        ("height of the bar", in_mm(BAR)),
        ("depth", in_mm(press.depth)),
    ]
    if press.pads:
        figures.append(("presses over", area(uses[0].least_face / PRESSES)))
        figures += [("height of the pads", in_mm(press.rise)), ("above the proud ends", in_mm(press.above))]
    return Aid(
        name=f"{press.name}-{part}" if split else press.name,
        title=f"{press.title}, part {part} of {count}" if split else press.title,
        purpose=press.purpose,
        solid=body,
        engraved=text,
        uses=uses,
        how_to=joined([*how_to, RELEASE]),
        cautions=CAUTIONS,
        figures=tuple(figures),
        strength=PRESSED,
    )


# --- the pad for the edges ----------------------------------------------------------------------


def _edge_pad(layout: Layout, printing: Printing, corner: Corner) -> Aid | Refusal:
    """A block that presses sideways on a half pin's edge only, tried on both edges that have one. It has no lip: one
    over the show face would stand where the pins' caul presses. Its plate is flush with the pin board instead."""
    state, at_edge = layout.as_cut, half_pin_edges(layout)
    if not at_edge:
        return NO_EDGE
    tall = state.pin_end - layout.rebate
    for length, what in ((layout.depth, "The joint is deep"), (tall, "The pins rise past the baseline by")):
        if length - 2 * off_ends(length) < 2 * printing.nozzle - tol.ROUNDING:
            return too_short("edge-pad", what, length)
    refusal = too_large("edge-pad", state.show_y, tall, printing)
    if refusal:
        return refusal
    # On the bed U lies along Y and V along Z. The pad is in the middle of the plate, so that a jaw presses straight.
    across = (off_ends(layout.depth), layout.depth - off_ends(layout.depth))
    up = (off_ends(tall), tall - off_ends(tall))
    start = layout.depth - state.show_y
    pad = _box((across[0] - start, across[1] - start), up)
    plate = _box((0.0, state.show_y - start), (0.0, tall))
    sides = across[1] - across[0], up[1] - up[0]
    size = f"{sides[0]:.4g} x {sides[1]:.4g}"
    spot = spot_on(pad, EDGE_PLATE + EDGE_PAD, 2 * printing.nozzle)
    solid, text, _ = marked(
        raised(plate, FOOT, EDGE_PLATE, [(pad, EDGE_PLATE + EDGE_PAD)]), (f"edge {size}", size, "edge"), [spot]
    )
    uses = tuple(_pad_uses(layout, corner, at_edge, start, PRESSES * area_of(pad)))
    both = len(at_edge) > 1
    return Aid(
        name="edge-pad",
        title="Pad for the edges of the half pins" if both else "Pad for the edge of the half pin",
        purpose="It lets a clamp close the half pins sideways, and touches no tail board."
        if both
        else "It lets a clamp close the half pin sideways, and touches no tail board.",
        solid=solid,
        engraved=text,
        uses=uses,
        how_to=_PAD_HOW_TO if both else _ONE_PAD,
        cautions=CAUTIONS,
        printing="Print two, as they lie. They need no support."
        if both
        else "Print it as it lies. It needs no support.",
        copies=len(at_edge),  # one for either edge
        figures=(("pad", in_mm(*sides)), ("plate off the boards' edges", in_mm(EDGE_PAD))),
        strength=PRESSED,
    )


def _pad_uses(layout: Layout, corner: Corner, at_edge: list[int], start: float, presses: float) -> Iterator[Use]:
    """On the edges that have a half pin. On the bed the pad begins at a `start` of Y."""
    out, far = EDGE_PLATE + EDGE_PAD, "Turned over, on the other edge"
    alone = "Turned over, on the edge of the half pin"
    places = {
        -1: ("On the reference edge", 0.0, X, Frame.of(Y, Z, X, (-out, start, layout.rebate))),
        1: (
            far if len(at_edge) > 1 else alone,
            layout.width,
            MINUS_X,
            Frame.of(Y, MINUS_Z, MINUS_X, (layout.width + out, start, layout.as_cut.pin_end)),
        ),
    }
    for words, edge, toward, place in (places[side] for side in at_edge):
        yield Use(
            words=words,
            place=place,
            boards=corner.boards,
            rests=(Rest("pin board", toward, presses),),
            clears=(("tail board", toward, EDGE_CLEAR),),
            works_in=Plane((edge, 0.0, 0.0), X),
            least_face=presses,
        )


NO_EDGE = Refusal(
    "edge-pad",
    "No half pin lies bare at an edge: a half tail or a mitre stands there.",
    "Leave it out: a half tail is pressed home by the caul for the tails. A block of wood closes a mitre sideways.",
)


_SET_PAD = (
    "Tape it to the edge of the half pin, its plate flush with the pin board's show face and with the pin's raw end. "
    "The pad then presses on the pin and not on the tail board. "
)
_PRESS_PAD = (
    "Press lightly, until the half pin closes. Cover the pad with packing tape or wax, so that glue does not hold "
    "it (common practice)."
)
_PAD_HOW_TO = f"{_SET_PAD}One shape serves both edges: turn it over for the far one. {_PRESS_PAD}"
_ONE_PAD = f"{_SET_PAD}The other edge has no half pin to press. {_PRESS_PAD}"


def _box(across: PlanePoint, up: PlanePoint) -> Polygon:
    return [(across[0], up[0]), (across[1], up[0]), (across[1], up[1]), (across[0], up[1])]
