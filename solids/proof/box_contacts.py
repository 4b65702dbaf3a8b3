"""Whether the boards of a box, each in its place, meet at every corner as the joint of that corner does: measured on
the placed solids, face by face. An overlap shows a board that stands too near; this shows one that stands away."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from solids.base import tolerances as tol
from solids.base.findings import REPORT, Finding
from solids.layout.box import BoxCorner, BoxLayout, Rows
from solids.model.box import BoxPart
from solids.model.kernel import Face, faces_of
from solids.proof.contacts import Contact, contacts
from solids.recipe.box_resolved import SIDES


def joint_findings(box: BoxLayout, parts: Sequence[BoxPart]) -> Iterator[Finding]:
    """One line for each pair of faces that do not meet as they should, or one for all that do."""
    faces: dict[str, list[Face]] = {part.name: faces_of(part.in_place) for part in parts if part.name in SIDES}
    measured = [(corner, contact) for corner in box.corners.values() for contact in placed_contacts(box, corner, faces)]
    wrong = [(corner, contact) for corner, contact in measured if not _meets(contact)]
    for corner, contact in wrong:
        words = f"At the {corner.name}, {contact.words}; the joint of that corner has it otherwise."
        meant = contact.meeting.gap
        yield Finding("box-joint", "fail", words, corner.name, contact.tightest, meant, "mm", REPORT)
    if not wrong:
        words = f"Placed, the boards meet at all four corners as their joints do: {len(measured)} pairs of faces."
        yield Finding("box-joint", "pass", words, "", float(len(measured)))


def placed_contacts(box: BoxLayout, corner: BoxCorner, faces: Mapping[str, Sequence[Face]]) -> tuple[Contact, ...]:
    """Every meeting of a corner, measured on the faces of its boards where they stand in the box."""
    tails, pins = sorted((side for side in SIDES if side in corner.name), key=box.kind_of, reverse=True)
    return contacts(corner.turned, _in_frame(faces[tails], corner.rows), _in_frame(faces[pins], corner.rows))


def _in_frame(faces: Sequence[Face], rows: Rows) -> list[Face]:
    """Faces of the box in the frame of a corner."""
    motion = np.array(rows)
    turn, at = motion[:, :3], motion[:, 3]
    return [[[tuple(point) for point in ((np.array(loop) - at) @ turn).tolist()] for loop in face] for face in faces]


def _meets(contact: Contact) -> bool:
    """Gap and place are those of the joint. A groove takes from all kinds of faces but the flanks."""
    if contact.is_true or contact.meeting.kind == "flank":
        return contact.is_true
    meant = contact.meeting
    return (
        0 < contact.area <= meant.area * (1 + tol.AREA_RELATIVE) + tol.AREA_ABSOLUTE
        and max(contact.departs, abs(contact.tightest - meant.gap), abs(contact.widest - meant.gap)) <= tol.FACE_DEPARTS
    )
