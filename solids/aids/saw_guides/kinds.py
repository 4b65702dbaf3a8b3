"""Which saw guides a joint takes: one for the tails and one for the pins for each slope that occurs, and a square one;
and where each of them works."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from solids.aids.making.aid import Plane
from solids.aids.making.edges import half_pin_edges
from solids.aids.making.modelling import pin_blank, tail_blank
from solids.aids.making.slopes import Slope
from solids.aids.saw_guides.body import GuideSize
from solids.base.geometry import MINUS_X, MINUS_Y, MINUS_Z, Frame, Vector, X, Y, Z
from solids.base.messages import Words
from solids.layout import Layout
from solids.model.kernel import Solid


@dataclass(frozen=True)
class Place:
    """One end at work: where the guide stands, the plane of the flank, the wood that lies beside it under the guide,
    and the ways it is pushed against the face and against the end."""

    words: str
    place: Frame
    plane: Plane
    wood: float
    pushes: tuple[Vector, Vector]


@dataclass(frozen=True)
class GuideKind:
    """One guide: its name, what is engraved on it, its board, how deep the saw goes from the end, how much board lies
    past that, how its ends lean along Y and along Z of the bed, its places, how it is set, and what the saw follows.
    `slope` is that of its ends, None for the square one that is for shoulders."""

    name: str
    words: str
    board: str
    blank: Solid
    thickness: float
    cut: float
    room: float
    along: float
    up: float
    places: Callable[[GuideSize], tuple[Place, ...]]
    setting: str
    steadies: str
    slope: Slope | None = None

    @property
    def figures(self) -> tuple[tuple[str, Words], ...]:
        """Which flanks it is for, where there are several guides for its board."""
        return self.slope.figures("tail" if self.board == "tail board" else "socket") if self.slope else ()


def for_tails(layout: Layout, slope: Slope) -> GuideKind:
    """In front of the show face, hooked over the raw end. It works where most wood lies beside a flank."""
    board, end = layout.recipe.tail_board, layout.as_cut.tail_end
    spots = [("At a left flank", flank, 1.0, layout.width - flank.x(end)) for flank in slope.of_side(-1)[:1]]
    spots += [("At a right flank", flank, -1.0, flank.x(end)) for flank in slope.of_side(1)[-1:]]

    def places(size: GuideSize) -> tuple[Place, ...]:
        half, height = size.half(0.0, 0.0), board.thickness + size.back
        return tuple(
            Place(
                words,
                Frame.of(MINUS_X, Y, MINUS_Z, (flank.x(end) + side * half, end, height)),
                Plane((flank.x(end), end, board.thickness), _normal(slope, flank.side)),
                wood,
                (MINUS_Z, MINUS_Y),
            )
            for words, flank, side, wood in spots
        )

    return GuideKind(
        f"saw-guide-tails{slope.suffix}",
        f"{slope.words} tails",
        "tail board",
        tail_blank(layout),
        layout.tail_thickness,
        end,
        board.length,
        slope.lean,
        0.0,
        places,
        "Hook it over the raw end, on the show face, with the block on the tail and its end on the marked flank.",
        "the flanks of the tails",
        slope,
    )


def for_pins(layout: Layout, slope: Slope) -> GuideKind:
    """In front of the show face, narrowest on the bed; a half-blind board takes the saw from its inside face."""
    board, end = layout.recipe.pin_board, layout.as_cut.pin_end
    inside = layout.is_half_blind
    face = 0.0 if inside else board.thickness
    lefts = [(flank, layout.socket_x(flank, face)) for flank in slope.of_side(-1)[-1:]]
    rights = [(flank, layout.socket_x(flank, face)) for flank in slope.of_side(1)[:1]]
    spots = [("At a left flank", flank, x, -1.0, x) for flank, x in lefts]
    spots += [("At a right flank", flank, x, 1.0, layout.width - x) for flank, x in rights]

    def places(size: GuideSize) -> tuple[Place, ...]:
        half, back = size.half(0.0, size.back), size.back
        return tuple(
            Place(
                words,
                Frame.of(MINUS_X, Z, Y, (edge + side * half, -back, end))
                if inside
                else Frame.of(X, Z, MINUS_Y, (edge + side * half, face + back, end)),
                Plane((edge, face, end), _normal(slope, flank.side)),
                wood,
                (Y if inside else MINUS_Y, MINUS_Z),
            )
            for words, flank, edge, side, wood in spots
        )

    where = "inside face" if inside else "show face"
    return GuideKind(
        f"saw-guide-pins{slope.suffix}",
        f"{slope.words} pins",
        "pin board",
        pin_blank(layout),
        board.thickness,
        end - layout.rebate,
        board.length + layout.rebate,
        0.0,
        (-1.0 if inside else 1.0) * slope.lean,
        places,
        f"Hook it over the raw end, on the {where}, with the block on the pin and its end on the marked flank; beside "
        "a half pin, pack it with a scrap as thick as the board.",
        "the flanks of the pins",
        slope,
    )


def _normal(slope: Slope, side: int) -> Vector:
    """The normal of a left flank (-1) or of a right one (1), as the guide has it."""
    turn = math.atan(slope.lean)
    return math.cos(turn), -side * math.sin(turn), 0.0


def for_shoulders(layout: Layout) -> GuideKind:
    """It hooks over the edge of the tail board, and its end stands in the baseline."""
    board, width, edges = layout.recipe.tail_board, layout.width, half_pin_edges(layout)
    at_ends = layout.tail_board_gaps(0.0)
    shoulder = max(at_ends[0 if side < 0 else -1] for side in edges)

    def places(size: GuideSize) -> tuple[Place, ...]:
        height, y = board.thickness + size.back, -size.width / 2
        plane = Plane((0.0, 0.0, board.thickness), Y)
        near, far = Frame.of(MINUS_Y, MINUS_X, MINUS_Z, (0.0, y, height)), Frame.of(Y, X, MINUS_Z, (width, y, height))
        both = (
            (-1, Place("At the reference edge", near, plane, board.length, (MINUS_Z, X))),
            (1, Place("At the other edge", far, plane, board.length, (MINUS_Z, MINUS_X))),
        )
        return tuple(place for side, place in both if side in edges)

    return GuideKind(
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
        "the square shoulders at both edges" if len(edges) > 1 else "the square shoulder at one edge",
    )
