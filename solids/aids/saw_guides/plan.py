"""Saw guides: a block in front of the board with a lip over its end, whose two ends lie in the planes of the flanks. A
saw plate lies flat against an end and is held there by a magnet. For each slope one for tails and one for pins; one
square. A square flank has a guide with square ends, which hooks over the raw end as the others do."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.aids.making.aid import Aid, Refusal, Rest, Use
from solids.aids.making.edges import half_pin_edges
from solids.aids.making.engraving import engraved
from solids.aids.making.plates import too_large
from solids.aids.making.slopes import slopes_of, too_many
from solids.aids.saw_guides.body import BEHIND, BETWEEN, LIP, GuideSize, guide_body
from solids.aids.saw_guides.kinds import GuideKind, Place, for_pins, for_shoulders, for_tails
from solids.base.amounts import in_mm, most_in_mm
from solids.base.messages import Key, Words, message
from solids.layout import Layout
from solids.recipe.tables.resolved import Printing

LARGEST = 60.0
"""A guide that is thicker or wider than this, or reaches so far past the cut, is in the way. Common practice."""

FLATTEST = 20.0
"""1:20 leans by 1 mm over a board of 20 mm: a flatter guide, turned round, would not be noticed. Common practice."""

LEAST_FLOOR = 0.8
"""The wall between magnet and saw where the nozzle would allow a thinner one: less wears through. Common practice."""

BEARS = 0.5
"""What must bear, as a share of the wood that the block covers beside its slots."""

LEAST_FACE = 0.8
"""What must lie in the plane of the flank, as a share of the end."""


def saw_guides(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """One for the tails and one for the pins for each slope, and a square one for the shoulders at the edges."""
    slopes = slopes_of(layout)
    many = too_many("saw-guides", slopes)
    kinds = [] if many else [make(layout, slope) for make in (for_tails, for_pins) for slope in slopes]
    found = [*filter(None, (many,)), *(_made(printing, kind) for kind in kinds)]
    return [*found, _made(printing, for_shoulders(layout)) if half_pin_edges(layout) else NO_SHOULDER]


NO_SHOULDER = Refusal(
    "saw-guide-square",
    "No shoulder is sawn square at an edge: a half tail or a mitre stands there.",
    "Leave it out; it works beside a half pin that is not mitred.",
)


def _made(printing: Printing, kind: GuideKind) -> Aid | Refusal:
    magnet, slack, wall = printing.magnet, 2 * printing.clearance, 2 * printing.nozzle
    size = GuideSize(
        kind.thickness,
        kind.cut,
        kind.room,
        kind.along,
        kind.up,
        floor=max(wall, LEAST_FLOOR),
        wall=wall,
        gap=magnet.thickness + slack,
        disc=magnet.diameter + slack,
    )
    refusal = next(_refusals(printing, kind, size), None)
    if refusal:
        return Refusal(kind.name, *refusal)
    room, floor = (size.between_slots - 2.0, size.reach - 3.0), in_mm(size.floor)
    body = engraved(guide_body(size), kind.words, (0.0, -size.reach / 2), size.back, room, turned=True)
    return Aid(
        name=kind.name,
        title=f"Saw guide, {kind.words}",
        purpose=f"It steadies the saw along {kind.steadies}.",
        solid=body,
        engraved=kind.words,
        uses=tuple(_use(kind, size, place) for place in kind.places(size)),
        how_to=f"Fix the magnets in their slots with a drop of glue. {kind.setting} Clamp it past the cut, where the "
        "saw never comes. Lay the saw's plate flat against the end of the block; the magnet holds it once it is a few "
        "millimetres down. The teeth pass beyond the small groove on top. Their set cuts a hair into the block's side "
        "of the plate: set the block that much off the line, toward the waste.",
        cautions=("Edge tools", "Magnets", "Clamps", "Printed aids are not guards"),
        figures=(
            ("ends", kind.words),
            *kind.figures,
            ("floor between magnet and saw", message("{}; thinner pulls harder, thicker lasts longer", floor)),
            ("slot for a magnet", in_mm(size.gap, size.disc, size.disc)),
            ("saw plate below its back, at least", in_mm(kind.cut + LIP)),
            ("the block steadies the plate over", in_mm(size.back)),
        ),
    )


def _use(kind: GuideKind, size: GuideSize, place: Place) -> Use:
    wood = min(size.width, place.wood)
    beside = max(wood - 2 * size.gap * size.stretch, min(wood, size.floor))
    face, end = place.pushes
    return Use(
        place.words,
        place.place,
        ((kind.board, kind.blank),),
        (Rest(kind.board, face, BEARS * beside * size.reach), Rest(kind.board, end, BEARS * wood * size.lip)),
        (),
        place.plane,
        LEAST_FACE * size.end_area,
    )


# --- why not -------------------------------------------------------------------------------------


def _refusals(printing: Printing, kind: GuideKind, size: GuideSize) -> Iterator[tuple[Words, Words]]:
    """Why it cannot be made, and the nearest setting that works."""
    lean = max(abs(kind.along), abs(kind.up))
    if kind.slope and 0 < lean < 1 / FLATTEST:
        yield (
            f"A slope of {kind.slope.words} can hardly be told from square: turned round it would look the same.",
            message("Saw by the marked line, or give these flanks a slope of 1:{:g} or steeper, or square.", FLATTEST)
            if kind.slope.has_others
            else message(
                "Set {} to 1:{:g} or steeper, or set the square guide by eye along the marked line.",
                Key("joint.slope"),
                FLATTEST,
            ),
        )
    if kind.thickness < size.wall:
        yield (
            message(
                "The {} is {} thick, less than the {} that the printer needs for a wall: the lip would be too weak.",
                *(kind.board, in_mm(kind.thickness), in_mm(size.wall)),
            ),
            message("Set {} to {} or less.", Key("print.nozzle"), most_in_mm(kind.thickness / 2)),
        )
    if size.width > LARGEST:
        thick = ((LARGEST - max(BETWEEN, size.wall)) / 2 / size.stretch) - size.floor - 2 * printing.clearance
        yield (
            message(
                "Two magnets {} thick make the guide {} wide; {} is the most that handles well.",
                *map(in_mm, (printing.magnet.thickness, size.width, LARGEST)),
            ),
            message("Set {} to {} or less.", Key("print.magnet.thickness"), most_in_mm(thick)),
        )
    room = min(LARGEST, kind.room)
    if size.back > LARGEST or size.past_needed > room:
        yield _large_magnet(printing, kind, size, room)
    no_room = too_large(kind.name, size.widest, size.reach + LIP, printing)
    if no_room:
        yield no_room.why, no_room.remedy


def _large_magnet(printing: Printing, kind: GuideKind, size: GuideSize, room: float) -> tuple[Words, Words]:
    """A magnet that the block cannot hold; the largest that it can."""
    thick = LARGEST - max(BEHIND, size.wall)
    across = math.hypot(1.0, kind.up) * thick - size.gap * abs(kind.up)
    along = math.hypot(1.0, kind.along) * (kind.cut + room - 2 * size.wall) - size.gap * abs(kind.along)
    largest = min(across, along) - 2 * printing.clearance
    why = message(
        "A magnet of {} is larger than a block holds that is at most {} thick, and reaches at most {} past the cut.",
        *map(in_mm, (printing.magnet.diameter, LARGEST, room)),
    )
    if largest < 1.0:
        return why, f"The {kind.board} is too small here for any magnet: use a larger board, or saw by the line."
    return why, message("Set {} to {} or less.", Key("print.magnet.diameter"), most_in_mm(largest))
