"""How the tail board goes into its seat and what holds it there.

Out of the seat, the play in a direction follows exactly from the contacts: a pair of faces with gap g and normal n
closes after g / (v . n) of a move along v. Manifold then tries the moved boards just before and just beyond it, so that
nothing else can hold or bind within that step. The way in is swept exactly: every column above the tail board that it
comes down through.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from solids.base import tolerances as tol
from solids.base.amounts import fine, volume
from solids.base.findings import DO_NOT_CUT, Finding
from solids.base.geometry import Vector, dot, scaled
from solids.base.messages import Key, message
from solids.layout import Layout
from solids.layout.joint.expected_contacts import place_of
from solids.layout.joint.volumes import entry_overlap
from solids.model.manifold import Body, OverlapPiece, moved, overlap_pieces, overlap_volume
from solids.proof.joint.contacts import Contact


def directions(*, mirrored: bool = False) -> dict[str, Vector]:
    """Directions in which a dovetail must hold the tail board; the way it came in (+Z) stays open."""
    toward, away = "+-" if mirrored else "-+"
    return {
        f"toward the reference edge ({toward}X)": (float(f"{toward}1"), 0.0, 0.0),
        f"away from the reference edge ({away}X)": (float(f"{away}1"), 0.0, 0.0),
        "along the tails, out of the joint (-Y)": (0.0, -1.0, 0.0),
        "along the tails, further in (+Y)": (0.0, 1.0, 0.0),
        "down into the sockets (-Z)": (0.0, 0.0, -1.0),
    }


GROUPS = {
    "flank": "the flanks",
    "shoulder": "the shoulders",
    "floor": "the socket floors",
    "lap": "the lap",
    "edge": "the edge",
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
    expected = asked / (2 * len(layout.tails)) + tol.OVERLAP_ABSOLUTE
    pieces = overlap_pieces(way, pins)
    return replace(found, pieces=tuple(piece for piece in pieces if piece.volume > expected) or tuple(pieces[:1]))


Pair = tuple[Body, Body]
"""The tail board and the pin board in their seat, or the same slab of both."""


def holds(measured: Sequence[Contact], pairs: Sequence[Pair], *, mirrored: bool = False) -> tuple[Hold, ...]:
    """What holds the seated tail board in each direction. The last of the pairs is both boards whole. Slabs of them may
    stand before it: where a slab of both overlaps, both do."""
    ways = directions(mirrored=mirrored).items()
    return tuple(_hold(name, direction, measured, pairs) for name, direction in ways)


def _hold(name: str, direction: Vector, measured: Sequence[Contact], pairs: Sequence[Pair]) -> Hold:
    plays = [(play, contact) for contact in measured if (play := _play(contact, direction)) is not None]
    if not plays:
        return Hold(name, None, "nothing", not _binds(pairs, direction, tol.MOVE_STEP))
    least = min(play for play, _ in plays)
    first = {contact.meeting.kind for play, contact in plays if play - least < tol.FACE_DEPARTS}
    by = " and ".join(words for kind, words in GROUPS.items() if kind in first)
    relief = max((_relief(contact, direction) for contact in measured), default=0.0)
    return Hold(name, least, by, _bears_out(least, relief, direction, pairs))


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


def _bears_out(play: float, relief: float, direction: Vector, pairs: Sequence[Pair]) -> bool:
    """Whether boards moved just beyond the play overlap, and boards moved almost as far do not.

    What was tight and opens must be free first, so that only what holds can still overlap.
    """
    beyond = _binds(pairs, direction, play + relief + tol.MOVE_STEP)
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
        held_by = message("Pushed {}, it is held {} by {}.", hold.direction, after, hold.by)
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
