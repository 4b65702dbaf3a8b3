"""Measures on the solids, face by face, where the two boards meet: the signed gap, the shared area, a verdict.

Faces are found by their place and direction, not by how they were built, so that a wrong solid is measured as it is.
Areas come from Manifold's plane polygons (Clipper2), gaps from the planes of the faces.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import manifold3d
import numpy as np
import numpy.typing as npt

from solids.base import tolerances as tol
from solids.base.amounts import area, gap, sizes
from solids.base.findings import DO_NOT_CUT, Finding
from solids.base.messages import Words, capital, message
from solids.layout import Layout
from solids.layout.joint.expected_contacts import Meeting, Rectangle, meetings
from solids.model.kernel import Face, newell_normal

Array = npt.NDArray[np.float64]

SAME_DIRECTION = 0.999
"""Cosine of 2.6 degrees: a face that leans more is another face. Slopes of 1:30 and square differ by 1.9 degrees, but
there the faces lie apart."""

NEAR = 1.0
"""A face further than this (mm) from where it should be is not the face that was meant."""

ASIDE = 0.25
"""How far aside (mm) a misplaced face may lie and still be measured as the one that was meant."""


@dataclass(frozen=True)
class FacePlane:
    """A plane face ready to measure: its outline as an array of points, outward unit normal, and all its loops."""

    points: Array
    normal: Array
    loops: tuple[Array, ...]

    def middle(self, axis: int) -> float:
        """Half-way between its least and its greatest X, Y or Z."""
        along = self.points[:, axis]
        return float(along.min() + along.max()) / 2


@dataclass(frozen=True)
class Contact:
    """One meeting as measured. `tightest` and `widest` are the signed gap (mm) over the shared area (mm2); `departs` is
    how far either face lies from where the layout has it. `area` is 0 where the faces do not meet at all."""

    meeting: Meeting
    tightest: float
    widest: float
    area: float
    departs: float

    @property
    def matches(self) -> bool:
        """Whether gap, place and area are those of the layout."""
        return (
            self.departs <= tol.FACE_DEPARTS
            and abs(self.tightest - self.meeting.gap) <= tol.FACE_DEPARTS
            and abs(self.widest - self.meeting.gap) <= tol.FACE_DEPARTS
            and abs(self.area - self.meeting.area) <= tol.AREA_RELATIVE * self.meeting.area + tol.AREA_ABSOLUTE
        )

    @property
    def words(self) -> Words:
        """ "tail 3, left flank: 0.08 mm tight over 18 x 16 mm"."""
        return message("{}: {}", self.meeting.name, self.what)

    @property
    def what(self) -> Words:
        """What was measured: "0.08 mm tight over 18 x 16 mm"."""
        if self.area == 0:
            return "the faces do not meet"
        return message("{} over {}", gap_words(self.tightest, self.widest), sizes(*self.meeting.size))


def gap_words(tightest: float, widest: float) -> Words:
    """A gap, or a range of gaps, as a maker would say it."""
    if max(abs(tightest), abs(widest)) < tol.FACE_DEPARTS:
        return "no gap"
    if abs(widest - tightest) >= tol.FACE_DEPARTS:
        return message("from {} to {}", _one_gap(tightest), _one_gap(widest))
    return _one_gap(tightest)


def _one_gap(mm: float) -> Words:
    if abs(mm) < tol.FACE_DEPARTS:
        return "touching"
    return message("{} {}", gap(abs(mm)), "open" if mm > 0 else "tight")


def contacts(layout: Layout, tail_faces: Sequence[Face], pin_faces: Sequence[Face]) -> tuple[Contact, ...]:
    """Every meeting of a layout, measured on the faces of the tail board and the pin board as cut."""
    # Two faces of one board that look the same way lie at least the joint's depth apart: the shoulders and the ends of
    # the tails, the inside face and the lap.
    near = min(NEAR, 0.45 * layout.depth)
    tails, pins = _Board(tail_faces, near), _Board(pin_faces, near)
    return tuple(_measure(meeting, tails, pins, _aside(layout)) for meeting in meetings(layout))


def _aside(layout: Layout) -> float:
    """How far aside of its meeting the middle of a face may lie: a chamfer makes a shoulder wider on the inside, and a
    gap moves the mate's faces aside."""
    stretch = max((flank.stretch for flank in layout.flanks), default=1.0)
    return ASIDE + stretch * (layout.recipe.entry_chamfer.width + abs(layout.recipe.flank_gap))


def contacts_of_faces(
    layout: Layout, measured: Sequence[Contact], faces: Sequence[Face], side: float
) -> list[Contact | None]:
    """For each face of a board the contact that it has for itself; None where it meets nothing, or runs on past the
    meeting, as the inside faces do. `side` is 1 for the tail board and -1 for the pin board."""
    board = _Board(faces, min(NEAR, 0.45 * layout.depth))
    found: list[Contact | None] = [None] * len(faces)
    aside = _aside(layout)
    for contact in measured:
        normal = np.array(contact.meeting.normal)
        low, high = contact.meeting.low - aside, contact.meeting.high + aside
        for number in board.facing(side * normal, contact.meeting):
            # The slopes of a hollow lean so little that they look the same way.
            is_level = np.ptp(board.planes[number].points @ normal) <= tol.FACE_DEPARTS
            if contact.area > 0 and is_level and low <= board.low[number] and board.high[number] <= high:
                found[number] = contact
    return found


class _Board:
    """The faces of one board, sorted by direction, so that each search looks at few."""

    def __init__(self, faces: Sequence[Face], near: float) -> None:
        self.near = near
        self.planes = [plane_of(face) for face in faces]
        self.normals = np.array([plane.normal for plane in self.planes])
        self.low = np.array([plane.points[:, 0].min() for plane in self.planes])
        self.high = np.array([plane.points[:, 0].max() for plane in self.planes])

    def facing(self, normal: Array, meeting: Meeting) -> list[int]:
        """The numbers of the faces that look along a normal, share X with a meeting, and lie near its plane."""
        fits = (
            (self.normals @ normal > SAME_DIRECTION)
            & (self.high > meeting.low - NEAR)
            & (self.low < meeting.high + NEAR)
        )
        at = np.array(meeting.at)
        reach = self.near + abs(meeting.gap)
        return [int(i) for i in np.flatnonzero(fits) if abs(float((self.planes[i].points[0] - at) @ normal)) < reach]


def plane_of(face: Face) -> FacePlane:
    """A face ready to measure."""
    normal = np.array(newell_normal(face[0]))
    loops = tuple(np.array(loop) for loop in face)
    return FacePlane(loops[0], normal / np.linalg.norm(normal), loops)


def _measure(meeting: Meeting, tails: _Board, pins: _Board, aside: float) -> Contact:
    normal = np.array(meeting.normal)
    basis = np.array(axes_across(normal))
    area, gaps, departs = 0.0, [], 0.0
    for face in (tails.planes[number] for number in tails.facing(normal, meeting)):
        section = section_of(face, basis)
        for mate in (pins.planes[number] for number in pins.facing(-normal, meeting)):
            if not _belongs(face, mate, meeting, aside):
                continue
            shared = section ^ section_of(mate, basis)
            if meeting.lands:
                shared ^= _flat(meeting.lands, basis)
            shared_area = shared.area()
            if shared_area <= tol.AREA_ABSOLUTE:
                continue
            area += shared_area
            corners = np.concatenate(shared.to_polygons()) @ basis
            gaps += [_gaps(face, mate, normal, corners)]
            departs = max(departs, _departs(face, meeting, 0.0), _departs(mate, meeting, meeting.gap))
    if not gaps:
        return Contact(meeting, math.inf, math.inf, area, departs)
    every = np.concatenate(gaps)
    return Contact(meeting, float(every.min()), float(every.max()), area, departs)


def _belongs(face: FacePlane, mate: FacePlane, meeting: Meeting, aside: float) -> bool:
    """Whether two faces are those of this meeting and not of its neighbour: both lie within it; or, where one runs
    across the whole board, or as the end of a half tail into the wood that runs on beside it, the other does. The walls
    of a hollow, which go on behind the baseline, are no flanks. Where a rebate joins all shoulders, both faces run
    across the board, and the meeting has its bounds."""
    if meeting.bounded:
        return True
    if meeting.kind == "flank" and min(plane.middle(1) for plane in (face, mate)) <= 0:
        return False
    both = sorted((face, mate), key=lambda plane: float(np.ptp(plane.points[:, 0])))
    local = both[:1] if meeting.kind in ("shoulder", "floor", "lap") else both
    return all(meeting.low - aside <= plane.middle(0) <= meeting.high + aside for plane in local)


def axes_across(normal: Array) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Two unit axes of the plane across a normal."""
    x, y, z = normal
    # Z x n, or X x n where n lies along Z; written out, as a general cross product costs ten times as much.
    a, b, c = (-y, x, 0.0) if abs(z) < SAME_DIRECTION else (0.0, -z, y)
    length = math.sqrt(a * a + b * b + c * c)
    a, b, c = a / length, b / length, c / length
    return (a, b, c), (y * c - z * b, z * a - x * c, x * b - y * a)


def _flat(lands: Sequence[Rectangle], basis: Array) -> manifold3d.CrossSection:
    """The lands of a hollowed floor. Its slopes lean so little that only their place tells them from the lands."""
    rectangles = [
        manifold3d.CrossSection([np.array(rectangle) @ basis.T], manifold3d.FillRule.NonZero) for rectangle in lands
    ]
    return manifold3d.CrossSection.batch_boolean(rectangles, manifold3d.OpType.Add)


def section_of(plane: FacePlane, basis: Array) -> manifold3d.CrossSection:
    """A face as a flat shape on the two axes of a plane, as rows (2, 3)."""
    return manifold3d.CrossSection([loop @ basis.T for loop in plane.loops], manifold3d.FillRule.EvenOdd)


def _gaps(face: FacePlane, mate: FacePlane, normal: Array, points: Array) -> Array:
    """From the tail board's face to its mate, along the normal, at points (n, 3) of the plane across it."""
    return _heights(mate, normal, points) - _heights(face, normal, points)


def _heights(plane: FacePlane, normal: Array, points: Array) -> Array:
    """How far along a normal a plane lies above each point."""
    heights: Array = (plane.points[0] - points) @ plane.normal / (normal @ plane.normal)
    return heights


def _departs(plane: FacePlane, meeting: Meeting, gap: float) -> float:
    """How far the corners of a face lie from the plane that the layout has for it."""
    distances = (plane.points - np.array(meeting.at)) @ np.array(meeting.normal) - gap
    return float(np.abs(distances).max())


def mismatched(measured: Iterable[Contact]) -> list[Contact]:
    """The contacts that are not those of their layout."""
    return [contact for contact in measured if not contact.matches]


# --- what it means for a maker -------------------------------------------------------------------

NAMES = {
    "flank": ("flank", "flanks"),
    "shoulder": ("shoulder", "shoulders"),
    "floor": ("socket floor", "socket floors"),
    "lap": ("tail end at the lap", "tail ends at the lap"),
    "edge": ("edge beside the wood that runs on", "edges beside the wood that runs on"),
    "rebate": ("shoulder of the rebate", "shoulders of the rebate"),
    "mitre": ("mitred shoulder", "mitred shoulders"),
    "cheek": ("cheek of a half pin", "cheeks of half pins"),
}
"""Each kind of contact, one and many."""


def contact_findings(measured: Sequence[Contact]) -> Iterator[Finding]:
    """One finding for each contact that is not as it should be; if all are, one for each kind of contact."""
    wrong = mismatched(measured)
    for contact in wrong:
        name, meant = contact.meeting.name, contact.meeting.gap
        sentence = message("{}: {}; the recipe has: {}.", capital(name), contact.what, gap_words(meant, meant))
        yield Finding("contact", "fail", sentence, name, contact.tightest, meant, "mm", DO_NOT_CUT)
    for kind, (one, many) in NAMES.items() if not wrong else ():
        group = [contact for contact in measured if contact.meeting.kind == kind]
        if group:
            tightest, widest = min(c.tightest for c in group), max(c.widest for c in group)
            name, whole = one if len(group) == 1 else many, area(sum(contact.area for contact in group))
            sentence = message("{} {}: {}, over {} in all.", len(group), name, gap_words(tightest, widest), whole)
            yield Finding(f"contact-{kind}", "pass", sentence, measured=tightest, unit="mm")
