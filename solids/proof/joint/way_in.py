"""How the tail board goes into its seat and what holds it there.

Out of the seat, the play in a direction follows exactly from the contacts: a pair of faces with gap g and normal n
closes after g / (v . n) of a move along v. Manifold then tries the moved boards just before and just beyond it, so that
nothing else can hold or bind within that step. The way in is swept exactly: every column above the tail board that it
comes down through.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import cos, hypot, sin

from solids.base import tolerances as tol
from solids.base.amounts import fine, volume
from solids.base.findings import DO_NOT_CUT, Finding
from solids.base.geometry import Frame, PlanePoint, Vector, dot, scaled
from solids.base.messages import Key, message
from solids.layout import Layout
from solids.layout.joint.expected_contacts import place_of
from solids.layout.joint.volumes import entry_overlap
from solids.model.manifold import Body, OverlapPiece, moved, overlap_pieces, overlap_volume, placed
from solids.proof.joint.contacts import Contact


def directions(layout: Layout) -> dict[str, Vector]:
    """Directions in which a dovetail must hold the tail board; the way it came in (+Z) stays open. Where flanks lean
    unevenly they hold least along an oblique line, which is tried too."""
    toward, away = "+-" if layout.mirrored else "-+"
    aside = layout.easiest
    oblique = (
        {}
        if abs(aside) < tol.ROUNDING
        else {"out of the joint, aslant": scaled((aside, -1.0, 0.0), 1 / hypot(aside, 1.0))}
    )
    return {
        f"toward the reference edge ({toward}X)": (float(f"{toward}1"), 0.0, 0.0),
        f"away from the reference edge ({away}X)": (float(f"{away}1"), 0.0, 0.0),
        "along the tails, out of the joint (-Y)": (0.0, -1.0, 0.0),
        "along the tails, further in (+Y)": (0.0, 1.0, 0.0),
        "down into the sockets (-Z)": (0.0, 0.0, -1.0),
        **oblique,
    }


GROUPS = {
    "flank": "the flanks",
    "shoulder": "the shoulders",
    "floor": "the socket floors",
    "lap": "the lap",
    "edge": "the edge",
    "rebate": "the shoulder of the rebate",
    "mitre": "the mitred shoulder",
    "cheek": "the cheek of a half pin",
}


@dataclass(frozen=True)
class Hold:
    """One direction out of the seat: the free play (mm) before the joint locks, None where nothing holds; what
    holds it; and whether the boards, moved, bear it out."""

    direction: str
    play: float | None
    by: str
    confirmed: bool


@dataclass(frozen=True)
class Entry:
    """The way in, from above along -Z: what the tail board meets on it (mm3), what it meets where the recipe asks for
    tight flanks, and where."""

    overlap: float
    asked: float
    pieces: tuple[OverlapPiece, ...]

    @property
    def is_free(self) -> bool:
        """Whether it meets no more wood than its recipe asks for."""
        return self.overlap <= self.asked + tol.ENTRY_OVERLAP


def entry(layout: Layout, way: Body, pins: Body) -> Entry:
    """`way` is all that the tail board comes down through; the seat itself is the matter of the interference check."""
    overlap = overlap_volume(way, pins)
    asked = entry_overlap(layout)
    found = Entry(overlap, asked, ())
    if found.is_free:
        return found
    # Films without volume where faces only touch, and the wedges beside tight flanks, are not what stands in the way.
    expected = asked / max(len(layout.flanks), 1) + tol.OVERLAP_ABSOLUTE
    pieces = overlap_pieces(way, pins)
    return replace(found, pieces=tuple(piece for piece in pieces if piece.volume > expected) or tuple(pieces[:1]))


Pair = tuple[Body, Body]
"""The tail board and the pin board in their seat, or the same slab of both."""


def holds(layout: Layout, measured: Sequence[Contact], pairs: Sequence[Pair]) -> tuple[Hold, ...]:
    """What holds the seated tail board in each direction. The last of the pairs is both boards whole. Slabs of them may
    stand before it: where a slab of both overlaps, both do."""
    ways = directions(layout).items()
    turned = () if layout.recipe.listed.is_empty or layout.recipe.flank_gap > 0 else (_turned(layout, pairs[-1]),)
    return (*(_hold(name, direction, measured, pairs, layout.depth / 2) for name, direction in ways), *turned)


TURNED = "either way"


def _turned(layout: Layout, pair: Pair) -> Hold:
    """Whether boards turned a little about each corner of the joint, either way, overlap. That no centre at all lets
    them turn is worked out from the layout, which refuses a joint that can."""
    tails, pins = pair
    angle = 2 * tol.MOVE_STEP / layout.width
    centres = [(x, y) for x in (0.0, layout.width) for y in (0.0, layout.depth)]
    turns = (_about(centre, sense * angle) for centre in centres for sense in (1.0, -1.0))
    held = all(overlap_volume(placed(tails, turn), pins) > tol.ENTRY_OVERLAP for turn in turns)
    return Hold(TURNED, 0.0 if held else None, "the flanks", held)


def _about(centre: PlanePoint, angle: float) -> Frame:
    """A turn by an angle about an upright axis."""
    (x, y), c, s = centre, cos(angle), sin(angle)
    return Frame((c, -s, 0.0, x - c * x + s * y), (s, c, 0.0, y - s * x - c * y), (0.0, 0.0, 1.0, 0.0))


def _hold(name: str, direction: Vector, measured: Sequence[Contact], pairs: Sequence[Pair], far: float) -> Hold:
    """What holds in one direction. `far` (mm) is how far a move may go to free what is tight and opens: a flank along
    which the boards all but slide would be free only when the tails are out."""
    plays = [(play, contact) for contact in measured if (play := _play(contact, direction)) is not None]
    if not plays:
        return Hold(name, None, "nothing", not _binds(pairs, direction, tol.MOVE_STEP))
    least = min(play for play, _ in plays)
    first = {contact.meeting.kind for play, contact in plays if play - least < tol.FACE_DEPARTS}
    by = " and ".join(words for kind, words in GROUPS.items() if kind in first)
    relief = max((_relief(contact, direction) for contact in measured), default=0.0)
    # What closes slowly must be moved further before it bites as deep as a flat flank does.
    closing = max(dot(direction, contact.meeting.normal) for play, contact in plays if play - least < tol.FACE_DEPARTS)
    step = min(max(tol.MOVE_STEP, tol.MOVE_STEP / (tol.FLATTEST_RATIO * closing)), far)
    return Hold(name, least, by, _bears_out(least, min(relief, far) + step, direction, pairs))


def _play(contact: Contact, direction: Vector) -> float | None:
    """How far a move may go before this pair of faces closes; None where it opens, slides, or does not meet."""
    closing = dot(direction, contact.meeting.normal)
    if closing <= tol.SLIDES or contact.area == 0:
        return None
    return max(contact.tightest, 0.0) / closing + 0.0


def _relief(contact: Contact, direction: Vector) -> float:
    """How far a move must go before a tight pair of faces that it opens is free."""
    opening = -dot(direction, contact.meeting.normal)
    return max(-contact.tightest, 0.0) / opening if opening > tol.SLIDES else 0.0


def _bears_out(play: float, beyond_it: float, direction: Vector, pairs: Sequence[Pair]) -> bool:
    """Whether boards moved just beyond the play overlap, and boards moved almost as far do not.

    What was tight and opens must be free first, so that only what holds can still overlap.
    """
    beyond = _binds(pairs, direction, play + beyond_it)
    if play <= tol.MOVE_STEP:
        return beyond
    return beyond and not _binds(pairs, direction, play - tol.MOVE_STEP)


def _binds(pairs: Sequence[Pair], direction: Vector, distance: float) -> bool:
    """Whether the tail board, moved, overlaps the pin board."""
    by = scaled(direction, distance)
    return any(overlap_volume(moved(tails, by), pins) > tol.ENTRY_OVERLAP for tails, pins in pairs)


def unheld(found: Iterable[Hold]) -> list[Hold]:
    """The directions in which nothing holds, or in which the moved boards do not bear out what the contacts say."""
    return [hold for hold in found if hold.play is None or not hold.confirmed]


# --- what it means for a maker -------------------------------------------------------------------


def entry_finding(layout: Layout, way_in: Entry) -> Finding:
    """Whether the tail board can be brought into its seat."""
    if way_in.is_free:
        tight = ", against no more than the tight flanks that you ask for." if way_in.asked > 0 else None
        sentence = f"The tail board goes in from above{tight or ' without meeting any wood.'}"
        return Finding("entry", "pass", sentence, measured=way_in.overlap, limit=way_in.asked, unit="mm3")
    places = [place_of(layout, piece.low, piece.high) for piece in way_in.pieces[:4]]
    told = message(
        "The tail board cannot be brought in from above: {} of wood is in the way ({}).",
        volume(way_in.overlap),
        ", ".join(places),
    )
    place = places[0] if places else ""
    return Finding("entry", "fail", told, place, way_in.overlap, way_in.asked, "mm3", DO_NOT_CUT)


def hold_findings(layout: Layout, held: Sequence[Hold]) -> Iterator[Finding]:
    """Whether the joint locks in every direction but the one it came from, and how far it plays before it does."""
    if layout.lets_go:
        yield _lets_go(layout)
        return
    wrong = unheld(held)
    for hold in wrong:
        sentence = f"Nothing holds the tail board {hold.direction}."
        if hold.play is not None:
            sentence = f"Moved {hold.direction}, the boards do not behave as their faces say."
        yield Finding("hold", "fail", sentence, hold.direction, hold.play, unit="mm", remedy=DO_NOT_CUT)
    for hold in held if not wrong else ():
        play = hold.play or 0.0
        after = message("after {} of play", fine(play)) if play > 0.0005 else "at once"
        moved_so = "Turned" if hold.direction == TURNED else "Pushed"
        held_by = message("{} {}, it is held {} by {}.", moved_so, hold.direction, after, hold.by)
        yield Finding("hold", "pass", held_by, hold.direction, play, unit="mm")


def _lets_go(layout: Layout) -> Finding:
    """A gap so wide that the tails are out of their sockets before any flank meets its mate."""
    recipe, play = layout.recipe, layout.free_play()
    return Finding(
        code="lets-go",
        severity="fail",
        sentence=message(
            "A gap of {} at each flank lets go: the tails could slide {} before they lock, and they are only {} deep.",
            *map(fine, (recipe.flank_gap, play, layout.depth)),
        ),
        place="all flanks",
        measured=play,
        limit=tol.LETS_GO_SHARE * layout.depth,
        unit="mm",
        remedy=message("Take {} of 0, or a steeper slope and a smaller gap.", Key("fit.flank_gap")),
    )
