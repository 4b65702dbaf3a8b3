"""The proof that the two boards are what the recipe says and go together, as a list of findings.

Three computations of the overlap of the seated boards must agree: the closed form from `layout`, Open CASCADE's boolean
intersection, and Manifold's. A disagreement fails the proof and says which two differ; it is never averaged.

Only the corner as cut is tried for interference: finishing takes wood away and adds none, so it can add no overlap.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations, pairwise

from solids.base import tolerances as tol
from solids.base.amounts import at_most, fine, finest, volume
from solids.base.findings import DO_NOT_CUT, REPORT, Finding, fails, in_units, without_contradicted
from solids.base.messages import Key, Words, joined, message
from solids.base.parallel import parallel_map
from solids.base.polygons import enclosed_volume
from solids.base.sources import COMMON_PRACTICE
from solids.bench.facts import facts
from solids.bench.remarks import remarks
from solids.layout import Layout
from solids.layout.joint.expected_contacts import place_of
from solids.layout.joint.volumes import joint_overlap, pin_board_volume, tail_board_volume
from solids.model.boards import face_count
from solids.model.corner import Corner
from solids.model.kernel import Face, Solid, are_valid, bounds, common, faces_of, solid_from_faces, topology, volume_of
from solids.model.manifold import body_of, overlap_volume, swept_above, triangles_of
from solids.model.slabs import NotSimpleError, slabs, usable_cuts
from solids.proof.joint.contacts import Contact, contact_findings, contacts
from solids.proof.joint.way_in import Entry, Hold, Pair, entry, entry_finding, hold_findings, holds

TAILS_PER_SLAB = 4
"""Boards are tried this many tails at a time: few enough that the kernel's time grows in proportion to the tails."""


@dataclass(frozen=True)
class OverlapPlace:
    """Where the boards overlap, and by how much (mm3)."""

    place: str
    volume: float


@dataclass(frozen=True)
class Overlap:
    """The overlap of the seated boards as cut, by three ways (mm3), and where the kernel finds it."""

    closed_form: float
    kernel: float
    manifold: float
    places: tuple[OverlapPlace, ...]

    @property
    def by_name(self) -> dict[str, float]:
        """The three figures, each by what it came from."""
        return {"closed form": self.closed_form, "Open CASCADE": self.kernel, "Manifold": self.manifold}

    @property
    def disagreements(self) -> tuple[tuple[str, str], ...]:
        """The pairs that differ by more than the tolerance; a NaN differs from everything."""
        return tuple(
            (first, second)
            for (first, a), (second, b) in combinations(self.by_name.items(), 2)
            if not abs(a - b) <= max(tol.OVERLAP_ABSOLUTE, tol.OVERLAP_RELATIVE * max(abs(a), abs(b)))
        )


@dataclass(frozen=True)
class Proof:
    """All findings about a corner, and what they rest on."""

    findings: tuple[Finding, ...]
    overlap: Overlap
    contacts: tuple[Contact, ...]
    entry: Entry
    holds: tuple[Hold, ...]

    @property
    def passes(self) -> bool:
        """Whether the joint goes together."""
        return not fails(self.findings)


def prove(cut: Corner, finished: Corner) -> Proof:
    """The proof for the two states of one corner."""
    layout = cut.layout
    both = tail_faces, pin_faces = faces_of(cut.tail_board), faces_of(cut.pin_board)
    tail_surface, pin_surface = triangles_of(tail_faces), triangles_of(pin_faces)
    tails, pins = whole = body_of(*tail_surface), body_of(*pin_surface)
    middles = _middles_of_pins(layout)
    places = _overlap_places(cut, _slabs(both, middles[TAILS_PER_SLAB - 1 :: TAILS_PER_SLAB]))
    overlap = Overlap(
        closed_form=joint_overlap(layout),
        kernel=math.fsum(place.volume for place in places),
        manifold=overlap_volume(tails, pins),
        places=places,
    )
    measured = contacts(layout, tail_faces, pin_faces)
    way_in = entry(layout, swept_above(*tail_surface, layout.as_cut.pin_end), pins)
    # One tail between its pins is tried first: it says as much as all of them, in no time.
    held = holds(layout, measured, [_bodies(_slabs(both, middles[:1])[0]), whole])
    valid = iter(are_valid([solid for corner in (cut, finished) for _, solid in corner.boards]))
    findings = [
        *_solid_findings(cut, valid),
        *_solid_findings(finished, valid),
        _agreement(overlap),
        _interference(layout, overlap),
        *contact_findings(measured),
        entry_finding(layout, way_in),
        *hold_findings(layout, held),
        *facts(layout),
        *remarks(layout),
    ]
    return Proof(in_units(without_contradicted(findings), layout.recipe.units), overlap, measured, way_in, held)


# --- each solid ------------------------------------------------------------------------------------


def _solid_findings(corner: Corner, valid: Iterator[bool]) -> Iterator[Finding]:
    layout, state = corner.layout, corner.state
    meant = (tail_board_volume(layout, state), pin_board_volume(layout, state))
    faces = face_count(layout, state)
    for (name, solid), mm3, count in zip(corner.boards, meant, faces, strict=True):
        place = f"{name}, {state.name}"
        faults = list(_faults(place, solid, next(valid), mm3, count))
        yield from faults
        if not faults:
            sentence = f"The {place}, is one closed, valid solid of {count} faces with the right volume."
            yield Finding("solid", "pass", sentence, place, mm3, unit="mm3")


def _faults(place: str, solid: Solid, is_valid: bool, mm3: float, count: int) -> Iterator[Finding]:
    fault = partial(Finding, severity="fail", place=place, remedy=REPORT)
    counts, measured = topology(solid), volume_of(solid)
    if (counts.solids, counts.shells, counts.closed) != (1, 1, True):
        closed = "closed" if counts.closed else "open"
        sentence = f"The {place}, has {counts.solids} solids and {counts.shells} shells, {closed}, not one closed."
        yield fault(code="not-closed", sentence=sentence)
    if not is_valid:
        yield fault(code="not-valid", sentence=f"The geometry kernel finds that the {place}, is not valid.")
    if counts.faces != count:
        sentence = f"The {place}, has {counts.faces} faces where its layout has {count}."
        yield fault(code="wrong-faces", sentence=sentence, measured=counts.faces, limit=count)
    if not abs(measured - mm3) <= tol.VOLUME_RELATIVE * mm3:
        figures = map(volume, (measured, mm3, abs(measured - mm3)))
        told = message("The {}, has {} where its layout has {}, {} apart.", place, *figures)
        yield fault(code="wrong-volume", sentence=told, measured=measured, limit=mm3, unit="mm3")


# --- both together -------------------------------------------------------------------------------


FacePair = tuple[list[Face], list[Face]]
"""The faces of the tail board and the pin board, or of the same slab of both."""


def _slabs(both: FacePair, cuts: Sequence[float]) -> list[FacePair]:
    """Both boards cut at the same planes X = c; whole where they cannot be cut there.

    The slabs' volumes must sum to the board's, so that nothing can be lost between them.
    """
    for faces in both:
        cuts = usable_cuts(faces, cuts)
    if not cuts:
        return [both]
    try:
        pieces = [slabs(faces, cuts) for faces in both]
    except NotSimpleError:
        return [both]
    for faces, parts in zip(both, pieces, strict=True):
        volumes, whole = [enclosed_volume(part) for part in parts], enclosed_volume(faces)
        if min(volumes) <= 0 or not abs(math.fsum(volumes) - whole) <= tol.VOLUME_RELATIVE * whole:
            return [both]
    return list(zip(*pieces, strict=True))


def _bodies(both: FacePair) -> Pair:
    """Both boards, or a slab of both, for Manifold."""
    tails, pins = both
    return body_of(*triangles_of(tails)), body_of(*triangles_of(pins))


def _middles_of_pins(layout: Layout) -> list[float]:
    """Where boards are cut into slabs: half-way through each inner pin."""
    return [(first.right + second.left) / 2 for first, second in pairwise(layout.tails)]


def _overlap_places(corner: Corner, pairs: Sequence[FacePair]) -> tuple[OverlapPlace, ...]:
    """Where Open CASCADE finds that the boards overlap, piece by piece."""

    def places(pair: FacePair) -> list[OverlapPlace]:
        solids = (corner.tail_board, corner.pin_board) if len(pairs) == 1 else map(solid_from_faces, pair)
        return [_place(corner.layout, piece) for piece in common(*solids)]

    return tuple(place for found in parallel_map(places, pairs) for place in found)


def _place(layout: Layout, piece: Solid) -> OverlapPlace:
    low, high = bounds(piece)
    return OverlapPlace(place_of(layout, low[0], high[0]), volume_of(piece))


def _agreement(overlap: Overlap) -> Finding:
    figures = joined((message("{} {}", name, _told(mm3)) for name, mm3 in overlap.by_name.items()), ", ")
    if not overlap.disagreements:
        sentence = message("Three ways of computing the overlap agree: {}.", figures)
        return Finding("opinions", "pass", sentence, measured=overlap.kernel, unit="mm3")
    pairs = "; ".join(f"{first} and {second} differ" for first, second in overlap.disagreements)
    values = list(overlap.by_name.values())
    return Finding(
        code="opinions",
        severity="fail",
        sentence=message("The three ways of computing the overlap do not agree: {} ({}).", pairs, figures),
        place=overlap.places[0].place if overlap.places else "",
        measured=max(values) - min(values),
        limit=tol.OVERLAP_ABSOLUTE,
        unit="mm3",
        remedy=f"The solids depart from their recipe, or a kernel is wrong. {DO_NOT_CUT}",
    )


def _told(mm3: float) -> Words:
    """A volume to tell; what is far below the tolerance is rounding."""
    return volume(0.0 if abs(mm3) < tol.OVERLAP_ABSOLUTE / 100 else mm3)


def _interference(layout: Layout, overlap: Overlap) -> Finding:
    recipe = layout.recipe
    worst = max(overlap.by_name.values(), key=lambda value: math.inf if math.isnan(value) else value)
    asked = -recipe.flank_gap
    if not worst > tol.OVERLAP_ABSOLUTE:
        seats, play = "The boards seat without overlap.", fine(layout.free_play())
        loose = message("{} The tails have {} of play along their length before the joint locks.", seats, play)
        sentence = loose if recipe.flank_gap > 0 else seats
        return Finding("overlap", "pass", sentence, measured=worst, limit=tol.OVERLAP_ABSOLUTE, unit="mm3")
    if asked <= 0 or overlap.disagreements:
        where = ", ".join(place.place for place in overlap.places[:4]) or "found by one way only"
        return Finding(
            code="overlap",
            severity="fail",
            sentence=message("The boards overlap by {}, which the recipe does not ask for ({}).", volume(worst), where),
            place=overlap.places[0].place if overlap.places else "",
            measured=worst,
            limit=0.0,
            unit="mm3",
            remedy=f"The solids depart from their recipe. {DO_NOT_CUT}",
        )
    limit = recipe.tight_limit
    woods = f"{recipe.tail_board.wood.told} in {recipe.pin_board.wood.told}".capitalize()
    within = asked <= limit
    forgives = "forgives" if within else "takes no more than"
    return Finding(
        code="overlap",
        severity="warning" if within else "fail",
        sentence=message(
            "Each flank is {} tight, {} in all. {} {} {}.",
            *(finest(asked), volume(worst), woods, forgives, finest(limit)),
        ),
        place="all flanks",
        measured=asked,
        limit=limit,
        unit="mm",
        remedy="Try it in scrap, and clamp across the half pins."
        if within
        else message("Take {} of -{} or looser.", Key("fit.flank_gap"), at_most(limit)),
        source=COMMON_PRACTICE,
    )
