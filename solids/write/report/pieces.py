"""The report of whichever piece it is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from solids.layout import Layout
from solids.layout.box import BoxLayout
from solids.write.box.report import make_box_report, make_layout_report
from solids.write.report.making import make_report
from solids.write.report.record import Record

if TYPE_CHECKING:  # which needs the kernel, and a report without a proof does not
    from solids.proof.assembly import PieceProof


def report_of_proof(proof: PieceProof, notices: Sequence[str] = ()) -> Record:
    """The report of a proved piece. `notices` are more than those of its recipe."""
    if proof.assembly.box is not None:
        return make_box_report(proof, notices)
    (joint,) = proof.joints
    return make_report(joint.layout, joint.proof, notices=notices)


def report_of_plan(plan: Layout | BoxLayout) -> Record:
    """The report of a piece that is laid out and not proved."""
    return make_layout_report(plan) if isinstance(plan, BoxLayout) else make_report(plan)
