"""Saw guides: a block in front of the board with a lip over its end, whose two ends lie in the planes of the flanks. A
saw plate lies flat against an end and is held there by a magnet. One for tails, one for pins, one square."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from solids.aids.making.aid import Aid, Plane, Refusal, Rest, Use
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import MINUS_X, MINUS_Y, MINUS_Z, X, Y, Z, pin_blank, tail_blank
from solids.aids.making.plates import too_large
from solids.aids.saw_guides.body import BEHIND, BETWEEN, LIP, GuideSize, guide_body
from solids.base.amounts import in_mm, most_in_mm
from solids.base.geometry import Frame, Vector
from solids.base.messages import Key, Words, message
from solids.layout import Layout
from solids.model.kernel import Solid
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


@dataclass(frozen=True)
class _Place:
    """One end at work: where the guide stands, the plane of the flank, the wood that lies beside it under the guide,
    and the ways it is pushed against the face and against the end."""

    words: str
    place: Frame
    plane: Plane
    wood: float
    pushes: tuple[Vector, Vector]


@dataclass(frozen=True)
class _GuideKind:
    """One guide: its name, what is engraved on it, its board, how deep the saw goes from the end, how much board lies
    past that, how its ends lean along Y and along Z of the bed, its places, how it is set, and what the saw follows."""

    name: str
    words: str
    board: str
    blank: Solid
    thickness: float
    cut: float
    room: float
    along: float
    up: float
    places: Callable[[GuideSize], tuple[_Place, ...]]
    setting: str
    steadies: str


def saw_guides(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """One for the tails, one for the pins, and a square one for the shoulders at the edges."""
    return [_made(layout, printing, kind) for kind in (_tails(layout), _pins(layout), _square(layout))]


def _made(layout: Layout, printing: Printing, kind: _GuideKind) -> Aid | Refusal:
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
    refusal = next(_refusals(layout, printing, kind, size), None)
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
        "saw never comes. Lay the plate flat against the end; the magnet holds it once it is a few millimetres down. "
        "The teeth run outside the groove on top; their set reaches a hair under the block, so let it stand off the "
        "line by that much, toward the waste.",
        cautions=("Edge tools", "Magnets", "Clamps", "Printed aids are not guards"),
        figures=(
            ("ends", kind.words),
            ("floor between magnet and saw", message("{}; thinner pulls harder, thicker lasts longer", floor)),
            ("slot for a magnet", in_mm(size.gap, size.disc, size.disc)),
            ("saw plate below its back, at least", in_mm(kind.cut + LIP)),
            ("the block steadies the plate over", in_mm(size.back)),
        ),
    )


def _use(kind: _GuideKind, size: GuideSize, place: _Place) -> Use:
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


def _refusals(layout: Layout, printing: Printing, kind: _GuideKind, size: GuideSize) -> Iterator[tuple[Words, Words]]:
    """Why it cannot be made, and the nearest setting that works."""
    lean = max(kind.along, abs(kind.up))
    if 0 < lean < 1 / FLATTEST:
        yield (
            f"A slope of 1:{layout.ratio:.4g} can hardly be told from square: turned round it would look the same.",
            message(
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


def _large_magnet(printing: Printing, kind: _GuideKind, size: GuideSize, room: float) -> tuple[Words, Words]:
    """A magnet that the block cannot hold; the largest that it can."""
    thick = LARGEST - max(BEHIND, size.wall)
    across = math.hypot(1.0, kind.up) * thick - size.gap * abs(kind.up)
    along = math.hypot(1.0, kind.along) * (kind.cut + room - 2 * size.wall) - size.gap * kind.along
    largest = min(across, along) - 2 * printing.clearance
    why = message(
        "A magnet of {} is larger than a block holds that is at most {} thick, and reaches at most {} past the cut.",
        *map(in_mm, (printing.magnet.diameter, LARGEST, room)),
    )
    if largest < 1.0:
        return why, f"The {kind.board} is too small here for any magnet: use a larger board, or saw by the line."
    return why, message("Set {} to {} or less.", Key("print.magnet.diameter"), most_in_mm(largest))


# --- the three kinds -----------------------------------------------------------------------------


def _tails(layout: Layout) -> _GuideKind:
    board, end = layout.recipe.tail_board, layout.as_cut.tail_end

    def places(size: GuideSize) -> tuple[_Place, ...]:
        half, height = size.half(0.0, 0.0), board.thickness + size.back
        left = layout.tail_edges(layout.tails[0], end)[0]
        right = layout.tail_edges(layout.tails[-1], end)[1]
        return tuple(
            _Place(
                words,
                Frame.of(MINUS_X, Y, MINUS_Z, (edge + side * half, end, height)),
                Plane((edge, end, board.thickness), _leaning(layout, side)),
                wood,
                (MINUS_Z, MINUS_Y),
            )
            for words, edge, side, wood in (
                ("At a left flank", left, 1.0, layout.width - left),
                ("At a right flank", right, -1.0, right),
            )
        )

    return _GuideKind(
        "saw-guide-tails",
        f"1:{layout.ratio:.4g} tails",
        "tail board",
        tail_blank(layout),
        board.thickness,
        end,
        board.length,
        1.0 / layout.ratio,
        0.0,
        places,
        "Hook it over the raw end, on the show face, with the block on the tail and its end on the marked flank.",
        "the flanks of the tails",
    )


def _pins(layout: Layout) -> _GuideKind:
    """In front of the show face, narrowest on the bed; a half-blind board takes the saw from its inside face."""
    board, end = layout.recipe.pin_board, layout.as_cut.pin_end
    inside = layout.is_half_blind
    face = 0.0 if inside else board.thickness

    def places(size: GuideSize) -> tuple[_Place, ...]:
        half, back = size.half(0.0, size.back), size.back
        left = layout.socket_edges(layout.tails[-1], face)[0]
        right = layout.socket_edges(layout.tails[0], face)[1]
        spots = (("At a left flank", left, -1.0, left), ("At a right flank", right, 1.0, layout.width - right))
        return tuple(
            _Place(
                words,
                Frame.of(MINUS_X, Z, Y, (edge + side * half, -back, end))
                if inside
                else Frame.of(X, Z, MINUS_Y, (edge + side * half, face + back, end)),
                Plane((edge, face, end), _leaning(layout, -side)),
                wood,
                (Y if inside else MINUS_Y, MINUS_Z),
            )
            for words, edge, side, wood in spots
        )

    where = "inside face" if inside else "show face"
    return _GuideKind(
        "saw-guide-pins",
        f"1:{layout.ratio:.4g} pins",
        "pin board",
        pin_blank(layout),
        board.thickness,
        end,
        board.length,
        0.0,
        (-1.0 if inside else 1.0) / layout.ratio,
        places,
        f"Hook it over the raw end, on the {where}, with the block on the pin and its end on the marked flank; beside "
        "a half pin, pack it with a scrap as thick as the board.",
        "the flanks of the pins",
    )


def _leaning(layout: Layout, side: float) -> Vector:
    """The normal of a left flank (1) or of a right one (-1)."""
    return math.cos(layout.slope_rad), side * math.sin(layout.slope_rad), 0.0


def _square(layout: Layout) -> _GuideKind:
    """It hooks over the edge of the tail board, and its end stands in the baseline."""
    board, width = layout.recipe.tail_board, layout.width
    gaps = layout.tail_board_gaps(0.0)
    shoulder = max(gaps[0], gaps[-1])

    def places(size: GuideSize) -> tuple[_Place, ...]:
        height, y = board.thickness + size.back, -size.width / 2
        plane = Plane((0.0, 0.0, board.thickness), Y)
        near, far = Frame.of(MINUS_Y, MINUS_X, MINUS_Z, (0.0, y, height)), Frame.of(Y, X, MINUS_Z, (width, y, height))
        return (
            _Place("At the reference edge", near, plane, board.length, (MINUS_Z, X)),
            _Place("At the other edge", far, plane, board.length, (MINUS_Z, MINUS_X)),
        )

    return _GuideKind(
        "saw-guide-square",
        "square",
        "tail board",
        tail_blank(layout),
        board.thickness,
        shoulder,
        width - shoulder,
        0.0,
        0.0,
        places,
        "Hook it over the edge of the tail board, on the show face, with the block behind the baseline and its end on "
        "the line.",
        "the square shoulders at both edges",
    )
