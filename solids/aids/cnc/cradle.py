"""The cradle: it holds the pin board upright at the front of a machine's table, its end level with the cradle's top.

It touches the board's inside face and reference edge below the depth of cut. Above that it steps back on both sides, so
that no cutter reaches it; the step takes scrap wood behind the cut, or the lips of a comb.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.aids.making.aid import Aid, Plane, Refusal, Rest, Use
from solids.aids.making.engraving import DEPTH, engraved
from solids.aids.making.modelling import FOOT, pin_blank
from solids.aids.making.plates import bed_room, too_large
from solids.aids.making.print_way import HELD
from solids.aids.making.terraces import eased, terraced
from solids.base.amounts import in_mm, least_in_mm
from solids.base.cautions import MILLING
from solids.base.geometry import Frame, PlanePoint, X, Y, Z
from solids.base.messages import Words, message
from solids.base.tolerances import ROUNDING
from solids.layout import Layout
from solids.model.kernel import Solid
from solids.model.kernel.shaping import fuse, placed, prism
from solids.recipe.tables.resolved import Printing

NAME = "cnc-cradle"
PLATE = 8.0
"""Thickness of the foot and of the upper wall. Common practice."""

BELOW_CUT = 3.0
"""How far below the baseline it begins to touch the board: clear of any cutter."""

STEP = 12.0
"""How far it stands back above that, at least."""

GRIP, LEAST_GRIP = 45.0, 10.0
"""How far down it touches the board; and over how much of a short board at least."""

LONGEST, LEAST_LONG = 150.0, 60.0
"""How far it reaches along the board."""

FOOT_OUT, SLOT_WIDE, SLOT_LONG, SLOT_FROM = 42.0, 6.5, 20.0, 11.0
"""How far the foot goes back, and its slots for M6 bolts: their width, their length over all, and how far they stay
from the wall, so that a washer has room."""

SLOT_SIDES = 6
"""Straight sides of each round end of a slot."""

RIB = 8.0
SCREW, PILOT, HOLE_SIDES = 4.0, 3.0, 24
"""Wood screws that hold a comb, and the holes for them in plastic. Common practice."""

NOTCH = 2.0
"""The notch where both faces meet, so that the board's arris does not hold it off."""

ORIGIN = "X0 Y0"
CAUTIONS = ("Manuals come first", *MILLING, "Printed aids are not guards")


@dataclass(frozen=True)
class Cradle:
    """Its numbers in the joint's frame: the top (Z), the ledge below the cut, the underside; how far it steps back, how
    far it reaches along the board, and how far its fence goes in Y; the X of the second screw of a comb."""

    top: float
    ledge: float
    low: float
    step: float
    long: float
    front: float
    screw: float

    @property
    def wall(self) -> float:
        """How far its back and its left side lie behind the board's faces."""
        return self.step + PLATE

    @property
    def rear(self) -> float:
        """The Y where the foot ends."""
        return -self.wall - FOOT_OUT

    @property
    def place(self) -> Frame:
        """From the bed into the joint's frame; it stands as it works."""
        return Frame.of(X, Y, Z, (0.0, 0.0, self.low))


def cradle_sizes(layout: Layout, printing: Printing, step: float, hanging: float) -> Cradle | Refusal:
    """A cradle with room for a `step` behind the board, and for lips that hang down from the board's end so far."""
    board = layout.recipe.pin_board
    top = layout.as_cut.pin_end
    ledge = min(layout.rebate - BELOW_CUT, top - hanging - 1.0)
    if board.length + ledge < LEAST_GRIP:
        why = message("A pin board of {} is too short to be held below the cut.", in_mm(board.length))
        return Refusal(NAME, why, message("It works with {} or more.", least_in_mm(LEAST_GRIP - ledge)))
    step = max(STEP, step)
    front = max(board.thickness - 1.0, 0.75 * board.thickness)
    depth, beside = front + step + PLATE + FOOT_OUT, step + PLATE
    least = too_large(NAME, beside + LEAST_LONG, depth, printing)
    if least is not None:
        return least
    # Along the board it takes what the bed leaves, on the side that is long enough for its depth.
    short, room = bed_room(printing)
    room = room if depth <= short else short
    long = min(LONGEST, max(LEAST_LONG, layout.width), room - beside - ROUNDING)
    return Cradle(top, ledge, ledge - GRIP, step, long, front, min(layout.width, long - 2 * PLATE))


def cradle_body(sizes: Cradle) -> Solid:
    """The cradle on the bed, before anything is engraved."""
    left, wall, ledge, top = -sizes.wall, -sizes.wall, sizes.ledge - sizes.low, sizes.top - sizes.low
    face = [(sizes.long, 0.0), (NOTCH, 0.0), (NOTCH, -NOTCH), (0.0, -NOTCH), (0.0, sizes.front), (left, sizes.front)]
    foot = [(left, sizes.rear), (sizes.long, sizes.rear), *face]
    lower = [(left, wall), (sizes.long, wall), *face]
    upper = [(left, wall), (sizes.long, wall), (sizes.long, -sizes.step), (-sizes.step, -sizes.step)]
    upper += [(-sizes.step, sizes.front), (left, sizes.front)]
    slots = [eased(slot, 0.0, PLATE, foot=-FOOT) for slot in _slots(sizes)]
    pilots = [[(hole, ledge), (hole, top)] for hole in screw_holes(sizes, PILOT / 2)]
    rib = [(sizes.rear + 4.0, PLATE), (wall, PLATE), (wall, ledge - 2.0)]
    return fuse(
        [
            terraced(eased(foot, 0.0, PLATE, foot=FOOT), slots),
            terraced([(lower, FOOT), (lower, ledge)], lips=[[(_arrow(), ledge), (_arrow(), ledge - DEPTH)]]),
            terraced(eased(upper, ledge, top, top=FOOT), pilots),
            *(_along_x(rib, x) for x in (left, sizes.long - RIB)),
        ]
    )


def _along_x(outline: Sequence[PlanePoint], start: float) -> Solid:
    """A rib over an outline in Y and Z."""
    return placed(prism(outline, start, start + RIB), Frame.of(Y, Z, X, (0.0, 0.0, 0.0)))


def _slots(sizes: Cradle) -> list[list[PlanePoint]]:
    """Two slots, three in a long foot, evenly between the ribs."""
    first, last = -sizes.wall + RIB, sizes.long - RIB
    count = 3 if last - first > 100.0 else 2
    half = SLOT_WIDE / 2
    far, near = -sizes.wall - SLOT_FROM - SLOT_LONG + half, -sizes.wall - SLOT_FROM - half
    angles = [math.pi * number / SLOT_SIDES for number in range(SLOT_SIDES + 1)]
    slots = []
    for number in range(count):
        x = first + (last - first) * (2 * number + 1) / (2 * count)
        ends = [(x + half * math.cos(a), near + half * math.sin(a)) for a in angles]
        slots.append([*ends, *((x - half * math.cos(a), far - half * math.sin(a)) for a in angles)])
    return slots


def screw_holes(sizes: Cradle, radius: float) -> list[list[PlanePoint]]:
    """Where a comb is screwed onto the upper wall: two round holes as polygons of 24 sides, in XY of the joint."""
    y = -sizes.step - PLATE / 2
    turns = [2 * math.pi * number / HOLE_SIDES for number in range(HOLE_SIDES)]
    return [[(x + radius * math.cos(a), y + radius * math.sin(a)) for a in turns] for x in (0.0, sizes.screw)]


def _arrow() -> list[PlanePoint]:
    """The arrow on the ledge that points at the corner of the reference edge and the inside face."""
    tip, barb, tail = -NOTCH - 1.2, 4.2, 5.4
    thick = 0.8
    head = [(tip, tip), (tip - barb, tip - 0.9), (tip - 0.9 - 1.4, tip - 0.9 - 1.4 + thick)]
    shaft = [(tip - tail, tip - tail + thick), (tip - tail + thick, tip - tail)]
    other = [(y, x) for x, y in reversed(head[1:])]
    return [*head, *shaft, *other]


def cradle_aid(layout: Layout, sizes: Cradle, body: Solid) -> Aid:
    """The cradle with its origin marked."""
    ledge = sizes.ledge - sizes.low
    room = (min(40.0, sizes.long - 8.0), sizes.step - 3.0)
    marked = engraved(body, ORIGIN, (NOTCH + 2.0 + room[0] / 2, -sizes.step / 2), ledge, room)
    along, board = min(sizes.long, layout.width), layout.recipe.pin_board
    grip = sizes.ledge - max(sizes.low + FOOT, -board.length)
    upper = sizes.long + sizes.wall + sizes.front + sizes.step
    use = Use(
        "Behind and beside the pin board",
        sizes.place,
        (("pin board", pin_blank(layout)),),
        (Rest("pin board", Y, 0.9 * (along - NOTCH) * grip), Rest("pin board", X, 0.9 * sizes.front * grip)),
        (),
        Plane((0.0, 0.0, sizes.top), Z),
        0.8 * upper * (PLATE - 2 * FOOT),
    )
    holes = "{}, polygons of {} sides, for screws of {} that hold a comb"
    return Aid(
        name=NAME,
        title="Cradle to mill the pin board upright",
        purpose="It holds the pin board upright and square at the machine while its sockets are milled.",
        solid=marked,
        engraved=ORIGIN,
        uses=(use,),
        how_to=_how_to(layout, sizes),
        cautions=CAUTIONS,
        printing=_MADE_OF,
        figures=(
            ("slots", message("{}, each round end made of {} straight sides", in_mm(SLOT_WIDE, SLOT_LONG), SLOT_SIDES)),
            ("holes in the top", message(holes, in_mm(PILOT), HOLE_SIDES, in_mm(SCREW))),
            ("step behind the board", message("{} wide, {} deep", in_mm(sizes.step), in_mm(sizes.top - sizes.ledge))),
            ("height", in_mm(sizes.top - sizes.low)),
        ),
        strength=HELD,
    )


_MADE_OF = (
    "It holds work against a cutter, so one that is milled of hardwood or plywood, after the same STEP file, is "
    "better than a printed one. If you print it, take PETG, ABS or ASA and not PLA, which creeps under a clamp and "
    "softens where it gets warm (common practice). Print it as it stands. It needs no support. Before each use look "
    "for cracks, and between the layers too."
)


def _how_to(layout: Layout, sizes: Cradle) -> Words:
    support = "Support its far end at the same height. " if layout.width > sizes.long + 20.0 else ""
    return message(
        "Bolt the foot to the machine's table at its edge away from you, the side without slots flush with that edge, "
        "so that the board hangs down behind it and X and Y run as the machine's. If your table is free in front "
        "alone, turn the paths by 180 degrees about X0 Y0 first. "
        "Put a washer and a bolt in each slot. Set the board against both faces, its end level with the top. Clamp it "
        "below the ledge with two clamps: one presses it back, near the ledge, one sideways against the fence. Then "
        "push and pull it hard by hand, machine off: nothing may move. {}The arrow points to X0 Y0, where the "
        "reference edge meets the inside face; take Z0 from the board's end. Where no comb is used, fill the step "
        "behind the board with scrap wood {} thick, so that the cut does not splinter.",
        *(support, in_mm(sizes.step)),
    )
