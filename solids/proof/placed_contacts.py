"""Whether the boards of a piece, each in its place, meet at every joint as that joint does by itself: measured on the
placed solids, face by face. An overlap shows a board that stands too near; this shows one that stands away."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from solids.base import tolerances as tol
from solids.base.findings import REPORT, Finding
from solids.base.geometry import Frame
from solids.base.messages import message
from solids.layout.assembly import Assembly, PlacedJoint
from solids.model.kernel import Face, faces_of
from solids.model.parts import Part
from solids.proof.joint.contacts import Contact, contacts


def placed_findings(assembly: Assembly, parts: Sequence[Part]) -> Iterator[Finding]:
    """One line for each pair of faces that do not meet as they should, or one for all that do."""
    boards = frozenset(name for joint in assembly.joints for name in joint.boards)
    faces: dict[str, list[Face]] = {part.name: faces_of(part.in_place) for part in parts if part.name in boards}
    measured = [(joint, contact) for joint in assembly.joints for contact in placed_contacts(joint, faces)]
    wrong = [(joint, contact) for joint, contact in measured if not _meets(contact)]
    for joint, contact in wrong:
        words = message("At the {}, {}; that corner's own joint has it otherwise.", joint.name, contact.words)
        meant = contact.meeting.gap
        yield Finding("box-joint", "fail", words, joint.name, contact.tightest, meant, "mm", REPORT)
    if not wrong:
        good = f"Placed, the boards meet at all four corners as their joints do: {len(measured)} pairs of faces."
        yield Finding("box-joint", "pass", good, "", float(len(measured)))


def placed_contacts(joint: PlacedJoint, faces: Mapping[str, Sequence[Face]]) -> tuple[Contact, ...]:
    """Every meeting of a joint, measured on the faces of its boards where they stand in the piece."""
    tails, pins = (_in_frame(faces[name], joint.rows) for name in (joint.tail_board, joint.pin_board))
    return contacts(joint.layout, tails, pins)


def _in_frame(faces: Sequence[Face], rows: Frame) -> list[Face]:
    """Faces of the piece in the frame of a joint."""
    motion = np.array(rows)
    turn, at = motion[:, :3], motion[:, 3]
    return [[[tuple(point) for point in ((np.array(loop) - at) @ turn).tolist()] for loop in face] for face in faces]


def _meets(contact: Contact) -> bool:
    """Gap and place are those of the joint. A groove takes from all kinds of faces but the flanks."""
    if contact.matches or contact.meeting.kind == "flank":
        return contact.matches
    meant = contact.meeting
    return (
        0 < contact.area <= meant.area * (1 + tol.AREA_RELATIVE) + tol.AREA_ABSOLUTE
        and max(contact.departs, abs(contact.tightest - meant.gap), abs(contact.widest - meant.gap)) <= tol.FACE_DEPARTS
    )
