"""The marking template: a leg that lies on the face of the tail board, its leaning edges for the flanks, and a fence
that hooks over the raw end, its ends for square lines across. A body that is held has a second leg behind, with another
slope, or square."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from solids.aids.making.aid import Aid, Measure, Plane, Refusal, Rest, Use
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import FOOT, extrude, foot_chamfered, tail_blank
from solids.aids.making.slopes import Slope, marked_slopes, too_many
from solids.aids.marking.lines import in_lines
from solids.aids.marking.nest import nest_aid
from solids.aids.marking.sizes import INNER, OUTER, PLATE, MarkerSizes, marker_sizes
from solids.base.amounts import in_mm, least_in_mm
from solids.base.cautions import MILLING
from solids.base.geometry import MINUS_X, MINUS_Y, MINUS_Z, Frame, PlanePoint, Vector, X, Y, Z
from solids.base.messages import Key, Words, message
from solids.layout import Layout
from solids.model.kernel import Solid
from solids.model.kernel.rounding import bored, rounded_prism
from solids.model.kernel.shaping import chamfer, fuse
from solids.recipe.tables.resolved import Printing

TO_MILL = ("Manuals come first", "Edge tools", *MILLING)

STEEP_ENOUGH = 9.0
"""Up to this N of 1:N all edges on the bed are chamfered. Flatter, a flank meets the fence's end at so blunt an angle
that Open CASCADE joins their chamfers into a face that is not plane; then only the edges across are chamfered."""

LEAST_LETTERS = 2.0
"""How high the capitals of the maker's words must come out: their strokes are then as wide as a line of a usual nozzle,
and as the point of an engraving cutter. Common practice."""

MILL = (
    "Mill it in hardwood or brass, from two sides: the part on its nest says how. Its drawing has all sizes with their "
    "tolerances."
)

LEVEL = 1e-6
TEMPLATE = "marking-template"


@dataclass(frozen=True)
class MarkerAid(Aid):
    """A marking template, with the `sizes` that its drawing tells."""

    sizes: MarkerSizes | None = None


def marking_templates(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """For each slope that leans, or for those that the recipe asks for: one to print, one to mill in hardwood or brass,
    without the chamfer of the first layer, and the nest for that."""
    del printing  # nothing of it depends on the printer
    if asked := layout.recipe.marker.slopes:
        return _of_slope(layout, Slope(asked[0], layout.flanks, has_others=False))
    slopes = marked_slopes(layout)
    many = too_many(TEMPLATE, slopes)
    return [many] if many else [made for slope in slopes for made in _of_slope(layout, slope)]


def _of_slope(layout: Layout, slope: Slope) -> list[Aid | Refusal]:
    sizes = marker_sizes(layout, slope.ratio)
    refused = _words_refused(sizes)
    if refused is not None:
        return [replace(refused, name=f"{refused.name}{slope.suffix}")]
    printed, milled = (_template(layout, slope, sizes, milled=milled) for milled in (False, True))
    nest = nest_aid(sizes, milled.solid)
    return [replace(made, name=f"{made.name}{slope.suffix}") for made in (printed, milled, nest)]


def _words_refused(sizes: MarkerSizes) -> Refusal | None:
    """A refusal where the maker's words would come out too small to read; None where they fit."""
    words, (_, room) = sizes.words, sizes.words_room
    if not words or (height := in_lines(words, room).height) >= LEAST_LETTERS:
        return None
    fits = [count for count in range(1, len(words)) if in_lines(words[:count], room).height >= LEAST_LETTERS]
    why = "The words have room of {}, and would come out {} high there; under {} they cannot be read."
    hole = message(", or set {} to 0", Key("aids.marker.hang_hole")) if sizes.hole else ""
    return Refusal(
        TEMPLATE,
        message(why, in_mm(*room), in_mm(height), least_in_mm(LEAST_LETTERS)),
        message("Set {} to about {} letters or fewer{}.", Key("aids.marker.words"), max(fits, default=1), hole),
    )


# --- the solid -----------------------------------------------------------------------------------


def marker_blank(sizes: MarkerSizes) -> Solid:
    """The template as it is milled, before a word is engraved."""
    legs = [extrude(sizes.leg(rear=rear), 0.0, PLATE) for rear in (False, True)[: 2 if sizes.is_thick else 1]]
    body = fuse([rounded_prism(sizes.body_outline(), 0.0, sizes.height), *legs])
    if sizes.hole:
        body = bored(body, [(sizes.hole_at, sizes.hole)], -1.0, sizes.height + 1.0)
    return body


def marker_body(sizes: MarkerSizes, *, milled: bool) -> Solid:
    """The template as it lies on the bed, with all that is engraved on it."""
    body = marker_blank(sizes)
    if not milled and max(sizes.slopes) <= STEEP_ENOUGH:
        body = foot_chamfered(body)
    elif not milled:
        body = chamfer(body, FOOT, lambda a, b: a[2] == b[2] == 0.0 and abs(a[1] - b[1]) < LEVEL < abs(a[0] - b[0]))
    for words, middle, rear in _leg_words(sizes):
        room = sizes.width - 2 * sizes.lean(rear=rear) - 3.0, sizes.reach - 4.0
        body = engraved(body, words, middle, PLATE, room)
    if sizes.words:
        middle, room = sizes.words_room
        lines = in_lines(sizes.words, room)
        for row, at, own in lines.placed(middle, room):
            body = engraved(body, row, at, sizes.height, own, turned=lines.turned, most=lines.height)
    return body


def _leg_words(sizes: MarkerSizes) -> Iterator[tuple[str, PlanePoint, bool]]:
    """What stands on each leg, the middle of the leg, and whether it is the rear one."""
    yield slope_words(sizes), (0.0, sizes.reach / 2), False
    if sizes.is_thick:
        yield slope_words(sizes, rear=True), (0.0, (sizes.low - sizes.body) / 2), True


def slope_words(sizes: MarkerSizes, *, rear: bool = False) -> str:
    """The slope of a leg, as it is engraved: "1:7", or "square"."""
    return "square" if rear and sizes.is_square_behind else f"1:{sizes.slopes[-1 if rear else 0]:.4g}"


# --- the aid -------------------------------------------------------------------------------------


def _template(layout: Layout, slope: Slope, sizes: MarkerSizes, *, milled: bool) -> MarkerAid:
    slopes = " and ".join(f"1:{slope:.4g}" for slope in sizes.slopes)
    engraved_words = ", ".join(filter(None, (*(words for words, _, _ in _leg_words(sizes)), sizes.words)))
    return MarkerAid(
        name=f"{TEMPLATE}-milled" if milled else TEMPLATE,
        title=f"Marking template {slopes}" + (", to mill" if milled else ""),
        purpose="It marks the slopes of the flanks on a face, and square lines across the raw end.",
        solid=marker_body(sizes, milled=milled),
        engraved=engraved_words,
        uses=tuple(_uses(layout, slope, sizes)),
        how_to=_how_to(slope, sizes),
        cautions=TO_MILL if milled else ("Edge tools", "Printed aids are not guards"),
        printing=MILL if milled else "Print it as it lies.",
        figures=(*_figures(sizes, slopes), *(() if layout.recipe.marker.slopes else slope.figures("tail"))),
        to_print=not milled,
        measures=tuple(_measures(layout, sizes)),
        sizes=sizes,
    )


def _figures(sizes: MarkerSizes, slopes: str) -> Iterator[tuple[str, Words]]:
    yield "slope", slopes
    yield "width at the end", in_mm(sizes.width)
    yield "legs", message("{} on the face, {} over the end", in_mm(sizes.reach), in_mm(sizes.hook))
    if sizes.waist:
        yield "hollows", message("{} deep, radii {} and {}", *map(in_mm, (sizes.waist, OUTER, INNER)))
    if sizes.hole:
        yield "hole to hang it by", in_mm(sizes.hole)


def _how_to(slope: Slope, sizes: MarkerSizes) -> Words:
    hold = "Hold it by its waist, with finger and thumb. " if sizes.waist else ""
    mark = (
        "Hook it over the raw end. Set a corner of the fence on your mark. Knife along the leaning edge down to the "
        "baseline, then along the end of the fence across the raw end. One edge marks left flanks, the other right "
        "ones."
    )
    square = " Turned round, it marks lines square to the end, as on the faces of the pin board."
    turn = square if sizes.is_square_behind else " Turn it round for the other slope." if sizes.is_thick else ""
    outward = ""
    if any(flank.lean < 0 for flank in slope.flanks):
        outward = " A flank that runs outward takes the edge for the other side."
    return f"{hold}{mark}{outward}{turn}"


# --- where it works, and what is measured on it ----------------------------------------------------


def _uses(layout: Layout, slope: Slope, sizes: MarkerSizes) -> Iterator[Use]:
    """At the first flank for either edge. What runs outward leans as the other side of a tail does."""
    end, depth = layout.as_cut.tail_end, layout.as_cut.show_z
    half, top = sizes.width / 2, depth + PLATE
    boards = (("tail board", tail_blank(layout)),)
    rests = (Rest("tail board", MINUS_Z, 20.0), Rest("tail board", MINUS_Y, 20.0))
    least = PLATE * sizes.reach * 0.9
    for rear in (False, True)[: 2 if sizes.is_thick else 1]:
        turn = math.radians(sizes.slope_deg(rear=rear))
        axes, out = ((MINUS_X, Y), sizes.body) if rear else ((X, MINUS_Y), 0.0)
        head = "Turned round, at" if rear else "At"
        for side, hand in ((-1, "left"), (1, "right")):
            flank = next((item for item in slope.flanks if math.copysign(1.0, item.side * item.ratio) == side), None)
            if flank is None:
                continue
            mark, lean = flank.x(end), -side * math.sin(turn)
            yield Use(
                f"{head} a {hand} flank",
                Frame.of(*axes, MINUS_Z, (mark - side * half, end + out, top)),
                boards,
                rests,
                (),
                Plane((mark, end, depth), (math.cos(turn), lean, 0.0)),
                least,
            )


def _measures(layout: Layout, sizes: MarkerSizes) -> Iterator[Measure]:
    """The angles, the flat fences, square to the legs, and how far the legs reach."""
    half = sizes.width / 2
    across, over = layout.as_cut.tail_end, min(layout.as_cut.show_z, sizes.hook)
    asked = layout.recipe.marker
    if asked.thickest:
        across, over = max(across, asked.thickest), max(over, asked.thickest)
    for rear in (False, True)[: 2 if sizes.is_thick else 1]:
        place, way = ("rear", -1.0) if rear else ("front", 1.0)
        fence = Plane((0.0, -sizes.body if rear else 0.0, 0.0), (0.0, way, 0.0))
        turn = math.radians(sizes.slope_deg(rear=rear))
        for side, sign in (("left", -1.0), ("right", 1.0)):
            look: Vector = (sign * math.cos(turn), way * math.sin(turn), 0.0)
            edge = Plane((sign * half, fence.point[1], 0.0), look)
            yield Measure(f"{side} edge of the {place} leg to the fence", edge, fence, 90.0 - math.degrees(turn))
            square = Plane((sign * half, 0.0, 0.0), (sign, 0.0, 0.0))
            yield Measure(f"{side} end of the {place} fence", square, fence, 90.0)
        yield Measure(f"{place} fence to its leg", fence, Plane((0.0, 0.0, PLATE), Z), 90.0)
        tip = Plane((0.0, sizes.low if rear else sizes.reach, 0.0), (0.0, way, 0.0))
        yield Measure(f"{place} leg along the face", fence, tip, apart=across)
    legs, end = Plane((0.0, 0.0, PLATE), Z), Plane((0.0, 0.0, sizes.height), Z)
    yield Measure("fence over the end", legs, end, apart=over)
