"""The note of a box, in plain English, with the cut list, the order of work and the cautions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from solids import __version__
from solids.base.cautions import BY_HAND
from solids.base.findings import worst_first
from solids.base.lengths import CALIPER, format_both
from solids.bench.box_procedure import box_work
from solids.bench.cutting_words import short_words
from solids.bench.listing import summary_in_place
from solids.layout.box.cut_list import TALLIED, cut_list, cut_list_rows, glue_ups_told
from solids.layout.box.kinds import and_so_on, box_headline
from solids.layout.cutting.model import CuttingPlan
from solids.proof.assembly import PieceProof, ProvedJoint
from solids.write.named import CUTTING_PLAN, PIECES
from solids.write.notes.markdown import escaped, linked, note, table

LABELS = {"fail": "FAILS", "warning": "warning", "pass": "passes", "note": "note"}


def note_bytes(
    proof: PieceProof,
    files: Sequence[tuple[str, str]],
    more: Sequence[tuple[str, str, Sequence[str]]] = (),
    cutting: CuttingPlan | None = None,
) -> bytes:
    """The note as UTF-8. `files` are the names of the files beside it, and what each holds; `more` are the commands
    that write more, what that is, and its files. `cutting` is the plan for the boards in the rack, where there are
    any."""
    rack = [escaped(line) for line in short_words(cutting, proof.box.recipe.units)] if cutting else []
    return note("box-note.md.jinja", **_words(proof, files), more=more, rack=rack, cutting_plan=CUTTING_PLAN)


def _words(proof: PieceProof, files: Sequence[tuple[str, str]]) -> dict[str, Any]:
    box, units = proof.box, proof.box.recipe.units
    rough, rows = box.recipe.rough, cut_list(box)
    say = [format_both(size, units, CALIPER) for size in (rough.length, rough.width, rough.thickness)]
    return {
        "title": escaped(box.recipe.title),
        "version": __version__,
        "passes": proof.passes,
        "headline": box_headline(box),
        "rough": f"{say[0]} in length, {say[1]} in width and {say[2]} in thickness",
        "planing": box.planing > 0,
        "tallied": TALLIED[units],
        "table": table(*cut_list_rows(box)),
        "rows": rows,
        "sheet": any(row.sheet for row in rows),
        "glue_up": glue_ups_told(box),
        "corners": [_corner(corner, [name for name, _ in files]) for corner in proof.joints],
        "work": box_work(box, [joint.layout for joint in proof.joints], proof.steps, proof.parts),
        "findings": [(LABELS[finding.severity], escaped(finding.words)) for finding in worst_first(proof.findings)],
        "choices": [(choice.key, escaped(choice.value), escaped(choice.why)) for choice in box.recipe.choices],
        "files": files,
        "sawn": and_so_on([row.name for row in rows if row.name.replace(" ", "-") not in PIECES["box"].boards]),
        "cautions": BY_HAND,
    }


def _corner(corner: ProvedJoint, files: Sequence[str]) -> dict[str, str]:
    own = [linked(name) for name in files if name.startswith(corner.kind.slug)]
    return {"title": corner.kind.heading, "words": summary_in_place(corner.layout), "files": ", ".join(own)}
