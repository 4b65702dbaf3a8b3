"""The jig for milling the pin board upright: a cradle (`cradle.py`), and combs that lie on the board's end and
lead the guide bush of a hand-held router (their sizes: `comb_plans.py`).

Cradle and combs register on the board's inside face and reference edge alone. The lips of a comb hang down into the
step of the cradle, so that both can be used together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.aids.cnc.comb_plans import (
    BUSH_OVER,
    LEAST_ROOM,
    Comb,
    Router,
    milled_tails,
    narrowest,
    nearest_bush,
    passes,
    plan_combs,
    touching,
)
from solids.aids.cnc.cradle import (
    CAUTIONS,
    HOLE_SIDES,
    PLATE,
    SCREW,
    Cradle,
    cradle_aid,
    cradle_body,
    cradle_sizes,
    screw_holes,
)
from solids.aids.making.aid import Aid, Plane, Refusal, Rest, Use
from solids.aids.making.edges import half_pin_edges
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import FOOT, pin_blank
from solids.aids.making.plates import too_large
from solids.aids.making.terraces import Stations, eased, terraced
from solids.base.amounts import in_mm, least_in_mm, most_in_mm
from solids.base.geometry import MINUS_Y, MINUS_Z, Frame, PlanePoint, X, Y
from solids.base.messages import Words, message
from solids.bench.milling import Cut, pin_board_cut
from solids.layout import Layout, Tail
from solids.layout.joint.shape.flanks import Flank
from solids.model.kernel import Solid
from solids.model.kernel.shaping import placed
from solids.recipe.tables.resolved import Printing

COMB = "cnc-comb"
THINNEST, SHORTEST = 4.0, 20.0
"""Boards thinner or shorter than this cannot be held upright well enough to mill."""

LIP_DEEP, LIP_TALL = 8.0, 15.0
BURR = 1.0
"""The foot of a lip stands back by this, so that a burr on the board's end does not hold it off."""

EASE = 0.6
"""Chamfer at the tip of a lip, so that it slips over the board."""

APART = 1.5
"""Between the lip on the reference edge and those on the inside face."""

RIM, REAR = 14.0, 42.0
"""Plate round the openings, and how far it goes back at least: a router needs something to stand on."""

WALL_BESIDE = 8.0
THROUGH, SINK = 2.2, 2.2
"""Radius of the holes for screws of 4 mm, and how much wider their heads are sunk. Common practice."""


def cnc_jigs(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """The cradle, and as many combs as it takes; or what is missing for either."""
    board = layout.recipe.pin_board
    if board.thickness < THINNEST or board.length < SHORTEST:
        why = message("A pin board of {} is too small to be held for milling.", in_mm(board.thickness, board.length))
        works = message("It works from {} of thickness and {} of length on.", in_mm(THINNEST), in_mm(SHORTEST))
        return [Refusal("cnc-jig", why, works)]
    router = _router(layout) if milled_tails(layout) else OPEN_SOCKETS
    combs = plan_combs(layout, router) if isinstance(router, Router) else ()
    cutter = router.cutter if isinstance(router, Router) else max(layout.recipe.kit.cutters, default=0.0)
    edges = [_edge_lip(comb) for comb in combs]
    # The countersunk screws of a comb stand behind all openings, and the lips hang down before the wall.
    behind = [THROUGH - PLATE / 2 + SINK + 2.0 - comb.span[2] for comb in combs]
    step = max([cutter + 2.0, *behind, *(edge.thick + 1.0 for edge in edges)])
    hanging = max((edge.tall for edge in edges), default=0.0)
    sizes = cradle_sizes(layout, printing, step, hanging)
    cradle: Aid | Refusal
    beside: list[tuple[str, Solid]] = [("pin board", pin_blank(layout))]
    if isinstance(sizes, Cradle):
        body = cradle_body(sizes)
        cradle = cradle_aid(layout, sizes, body)
        beside.append(("cradle", placed(body, sizes.place)))
    else:
        cradle = sizes
    if isinstance(router, Refusal):
        return [cradle, router]
    if not combs:
        return [cradle, _too_wide(layout, router)]
    jig = _Jig(layout, router, combs, sizes if isinstance(sizes, Cradle) else None, tuple(beside))
    refusal = _combs_too_large(jig, printing)
    return [cradle, refusal] if refusal else [cradle, *(_comb(jig, number) for number in range(len(combs)))]


@dataclass(frozen=True)
class _Jig:
    """What all combs of a joint share: the router, the cradle where there is one, and the solids they must not meet."""

    layout: Layout
    router: Router
    combs: tuple[Comb, ...]
    cradle: Cradle | None
    beside: tuple[tuple[str, Solid], ...]


OPEN_SOCKETS = Refusal(
    COMB,
    "Every socket is open at an edge of the board, where a comb has no wood to register on.",
    "Saw each with two cuts; a comb works for sockets with wood on both sides.",
)


def _router(layout: Layout) -> Router | Refusal:
    """The thickest of the maker's cutters that drawing and note allow for the pin board, and that runs in the bush."""
    bush, cutters = layout.recipe.kit.bush, layout.recipe.kit.cutters
    if not bush or not cutters:
        needs = "A comb needs the outside diameter of your guide bush and the diameter of your cutter."
        return Refusal(COMB, needs, 'Name both, for example kit.bush = "16 mm" and kit.cutters = ["6 mm"].')
    cut = pin_board_cut(layout)
    fitting = [reach.diameter for reach in cut.reaching]
    passing = [cutter for cutter in fitting if passes(layout, Router(max(bush, cutter), cutter))]
    if not passing:
        return _no_cutter(layout, cut, bush)
    running = [cutter for cutter in passing if bush > cutter + BUSH_OVER]
    if not running:
        why = message("A bush of {} leaves no wall round a cutter of {}.", in_mm(bush), in_mm(passing[-1]))
        wider, thinner = least_in_mm(passing[-1] + BUSH_OVER), most_in_mm(bush - BUSH_OVER)
        return Refusal(COMB, why, message("Name a bush of more than {}, or a cutter under {}.", wider, thinner))
    return Router(bush, running[0])


def _no_cutter(layout: Layout, cut: Cut, bush: float) -> Refusal:
    """Why none of the maker's cutters will do, and which would."""
    thinnest = min(layout.recipe.kit.cutters)
    room = min(narrowest(layout, Router(max(bush, thinnest), thinnest)) - LEAST_ROOM, cut.widest_passing)
    widest, least = math.floor(room * 10) / 10, math.ceil(cut.thinnest_reaching * 10) / 10
    if thinnest <= widest:
        why = message("Your cutters that pass the sockets are too thin for a cut {} deep.", in_mm(cut.depth))
    else:
        why = message("None of your cutters passes the sockets; the narrowest takes {}.", in_mm(max(widest, 0.0)))
    if least > widest or widest < 1.0:
        return Refusal(COMB, why, "Take fewer tails, or saw it by hand.")
    words = "Name a cutter of {} or less, and no less than {}."
    return Refusal(COMB, why, message(words, most_in_mm(widest), least_in_mm(least)))


def _too_wide(layout: Layout, router: Router) -> Refusal:
    words = "With a bush of {} and a cutter of {} a comb would not lie firmly."
    why = message(words, in_mm(router.bush), in_mm(router.cutter))
    nearest = nearest_bush(layout, router)
    if nearest is None:
        return Refusal(COMB, why, "No narrower bush works either. Take wider half pins, or saw it by hand.")
    return Refusal(COMB, why, message("The widest bush that works is {}.", most_in_mm(nearest)))


def _combs_too_large(jig: _Jig, printing: Printing) -> Refusal | None:
    """One refusal for all combs, which are about the same size."""
    plates = [_plate(jig, comb) for comb in jig.combs]
    width, depth = (max(high[axis] - low[axis] for low, high in plates) for axis in (0, 1))
    return too_large(COMB, width, depth, printing)


# --- one comb --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Lip:
    """The lip on the reference edge: how far its foot stands back, how thick it is, how far it hangs down."""

    back: float
    thick: float
    tall: float


def _edge_lip(comb: Comb) -> _Lip:
    """Where an opening reaches past the reference edge, the lip's foot stands further back and its face leans out to
    the edge at 45 degrees, which prints without support."""
    back = max(BURR, 0.6 - comb.span[0])
    return _Lip(back, back + LIP_DEEP, max(LIP_TALL, back + 10.0))


def _comb(jig: _Jig, number: int) -> Aid:
    layout, comb, name = jig.layout, jig.combs[number], f"{COMB}-{number + 1}"
    low, high = _plate(jig, comb)

    def bed(points: Sequence[PlanePoint]) -> list[PlanePoint]:
        return [(x - low[0], high[1] - y) for x, y in reversed(points)]

    outline = [low, (high[0], low[1]), high, (low[0], high[1])]
    windows = [eased(bed(opening), 0.0, PLATE, foot=-FOOT) for opening in comb.openings]
    if jig.cradle:
        windows += [eased(bed(hole), 0.0, PLATE, foot=-SINK) for hole in screw_holes(jig.cradle, THROUGH)]
    lips = [[(bed(loop), PLATE + z) for loop, z in lip] for lip in _lips(layout, comb)]
    body = terraced(eased(bed(outline), 0.0, PLATE, foot=FOOT), windows, lips)
    words = _socket_words(comb)
    front = _text_from(jig, comb)
    middle = bed([((low[0] + high[0]) / 2, (front + low[1]) / 2)])[0]
    return Aid(
        name=name,
        title=f"Comb {number + 1} of {len(jig.combs)} for the guide bush: sockets {words}",
        purpose="It leads a router's guide bush, so that the cutter clears the sockets and no more.",
        solid=engraved(body, words, middle, PLATE, (high[0] - low[0] - 6.0, front - low[1] - 3.0)),
        engraved=words,
        uses=(_comb_use(jig, comb, (low[0], high[1])),),
        how_to=_comb_words(jig),
        cautions=CAUTIONS,
        printing="Print it as it lies, lips up. It needs no support.",
        figures=_comb_figures(jig, words),
    )


def _text_from(jig: _Jig, comb: Comb) -> float:
    """The Y behind which there is room for words: behind the openings, the lips and the screws."""
    screws = -jig.cradle.wall if jig.cradle else 0.0
    return min(comb.span[2], -LIP_DEEP, screws) - 2.0


def _plate(jig: _Jig, comb: Comb) -> tuple[PlanePoint, PlanePoint]:
    """Two corners of the plate."""
    left, right, _, high = comb.span
    x0 = min(left - WALL_BESIDE, -_edge_lip(comb).thick - 3.0)
    x1 = max(right, jig.layout.width) + WALL_BESIDE
    thickness = jig.layout.recipe.pin_board.thickness
    return (x0, min(_text_from(jig, comb) - RIM, -REAR)), (x1, max(high, thickness) + RIM)


def _socket_words(comb: Comb) -> str:
    numbers = [str(tail.number) for tail in comb.tails]
    return " ".join(numbers if len(numbers) < 8 else [*numbers[:2], "..", numbers[-1]])


def _lips(layout: Layout, comb: Comb) -> list[Stations]:
    """Heights count down from the board's end. Each lip leans out to the board by 45 degrees; its tip is eased."""
    edge = _edge_lip(comb)
    board = layout.recipe.pin_board.thickness

    def lip(low: PlanePoint, high: PlanePoint, back_x: float, back_y: float, tall: float) -> Stations:
        def box(x: float, y: float, inward: float) -> list[PlanePoint]:
            a, b = (low[0] + inward, low[1] + inward), (high[0] - x - inward, high[1] - y - inward)
            return [a, (b[0], a[1]), b, (a[0], b[1])]

        full = box(0.0, 0.0, 0.0)
        foot = box(back_x, back_y, 0.0)
        return [(foot, 0.0), (full, max(back_x, back_y)), (full, tall - EASE), (box(0.0, 0.0, EASE), tall)]

    lips = [lip((-edge.thick, APART), (0.0, board), edge.back, 0.0, edge.tall)]
    return lips + [lip((x0, -LIP_DEEP), (x1, 0.0), 0.0, BURR, LIP_TALL) for x0, x1 in comb.stops]


def _comb_use(jig: _Jig, comb: Comb, corner: PlanePoint) -> Use:
    layout, router = jig.layout, jig.router
    place = Frame.of(X, MINUS_Y, MINUS_Z, (*corner, layout.as_cut.pin_end + PLATE))
    edge, thickness = _edge_lip(comb), layout.recipe.pin_board.thickness
    on_edge = (thickness - APART) * (edge.tall - edge.back - EASE)
    on_face = sum(touching(layout, stop) for stop in comb.stops) * (LIP_TALL - BURR - EASE)
    rests = (
        Rest("pin board", MINUS_Z, 0.95 * comb.bearing),
        Rest("pin board", X, 0.9 * (on_edge - EASE * edge.tall)),
        Rest("pin board", Y, 0.9 * (on_face - 2 * EASE * LIP_TALL)),
    )
    plane, flank = _led_along(layout, router, comb.tails[0])
    least = 0.95 * layout.depth * flank.stretch * (PLATE - FOOT)
    return Use("On the pin board's end", place, jig.beside, rests, (), plane, least)


def _led_along(layout: Layout, router: Router, tail: Tail) -> tuple[Plane, Flank]:
    """The plane in which a bush is led along the left flank of a socket, and that flank."""
    flank = tail.flanks[0]
    cosine, sine = math.cos(flank.slope_rad), math.sin(flank.slope_rad)
    left = layout.socket_x(flank, 0.0)
    return Plane((left - router.offset * cosine, -router.offset * sine, 0.0), (cosine, sine, 0.0)), flank


def _comb_words(jig: _Jig) -> Words:
    router, count = jig.router, len(jig.combs)
    others = f"; cut all sockets of one comb before you take the next of the {count}" if count > 1 else ""
    corners = " Pare the corners at the lap square by hand." if jig.layout.is_half_blind else ""
    edges = ""
    if half_pin_edges(jig.layout) != [-1, 1]:
        edges = " Saw open sockets and mitres at the edges by hand, and only after this: the comb registers there."
    screws = "Screw it onto the cradle, heads sunk, or clamp it" if jig.cradle else "Clamp it"
    return message(
        "Take the burr off the end of the pin board. Lay the comb on the end, its lips against the reference edge and "
        "the inside face. {} across the width, from the lip at the edge to the other edge, below the cut. Clamp scrap "
        "wood where the cutter leaves the board. Lead the {} bush along all sides of each opening, clockwise as seen "
        "from above, with the {} cutter, in light passes{}. The other way round the cutter would pull the router "
        "along. Switch on only with the bush in an opening and the cutter clear of the wood, and wait until it stands "
        "before you lift the router: tilted, it cuts comb and pin.{}{}{}",
        *(screws, in_mm(router.bush), in_mm(router.cutter), others, _other_cutter(jig), corners, edges),
    )


def _other_cutter(jig: _Jig) -> Words:
    """That the comb is for another cutter than drawing and note name for this board; empty where it is the same."""
    best = pin_board_cut(jig.layout).best
    if best is None or best.diameter == jig.router.cutter:
        return ""
    words = " The drawing and the note for CNC take a cutter of {}, which this bush does not."
    return message(words, in_mm(best.diameter))


def _comb_figures(jig: _Jig, words: str) -> tuple[tuple[str, Words], ...]:
    depth = jig.layout.as_cut.pin_end - jig.layout.rebate
    holes = message("{}, polygons of {} sides, for screws of {}", in_mm(2 * THROUGH), HOLE_SIDES, in_mm(SCREW))
    bush = message("{}, no longer than {} below the router", in_mm(jig.router.bush), in_mm(PLATE - 0.5))
    return (
        ("sockets", words),
        ("bush", bush),
        ("cutter", in_mm(jig.router.cutter)),
        ("depth of cut below the comb's face", message("{}, of which {} in wood", in_mm(PLATE + depth), in_mm(depth))),
        ("holes", holes if jig.cradle else "none"),
    )
