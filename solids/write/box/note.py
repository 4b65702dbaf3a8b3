"""The note of a box: Markdown (CommonMark), plain English, with the cut list, the order of work and the cautions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from solids import __version__
from solids.base.cautions import BY_HAND
from solids.base.findings import worst_first
from solids.base.lengths import format_both
from solids.bench.listing import summary
from solids.bench.place_words import place_words
from solids.layout.box import box_headline
from solids.layout.cut_list import cut_list, cut_list_rows, glue_up_words
from solids.proof.assembly import PieceProof, ProvedJoint
from solids.write.box.work import work_of
from solids.write.note import escaped, wrapped
from solids.write.templates import template

LABELS = {"fail": "FAILS", "warning": "warning", "pass": "passes", "note": "note"}


def note_bytes(proof: PieceProof, files: Sequence[tuple[str, str]]) -> bytes:
    """The note as UTF-8; `files` names every file beside it and what it holds."""
    return wrapped(template("solids.write.box", "box-note.md.jinja").render(_words(proof, files))).encode("utf-8")


def _words(proof: PieceProof, files: Sequence[tuple[str, str]]) -> dict[str, Any]:
    box, units = proof.box, proof.box.recipe.units
    rough = box.recipe.rough
    say = [format_both(size, units, 0.01) for size in (rough.length, rough.width, rough.thickness)]
    return {
        "title": escaped(box.recipe.title),
        "version": __version__,
        "passes": proof.passes,
        "headline": box_headline(box),
        "rough": f"{say[0]} in length, {say[1]} in width and {say[2]} in thickness",
        "planing": box.planing > 0,
        "table": markdown_table(*cut_list_rows(box)),
        "rows": cut_list(box),
        "glue_up": glue_up_words(box),
        "corners": [_corner(corner, [name for name, _ in files]) for corner in proof.joints],
        "work": work_of(proof),
        "findings": [(LABELS[finding.severity], escaped(finding.words)) for finding in worst_first(proof.findings)],
        "choices": [(choice.key, escaped(choice.value), escaped(choice.why)) for choice in box.recipe.choices],
        "files": files,
        "cautions": BY_HAND,
    }


def markdown_table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table as Markdown has it."""
    lines = [heads, ["---"] * len(heads), *([escaped(cell) for cell in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _corner(corner: ProvedJoint, files: Sequence[str]) -> dict[str, str]:
    own = [f"`{name}`" for name in files if name.startswith(corner.kind.slug)]
    return {"title": corner.kind.heading, "words": corner_words(corner), "files": ", ".join(own)}


def corner_words(corner: ProvedJoint) -> str:
    """What a kind of corner is, and what is to be known of its place."""
    return " ".join([f"{summary(corner.layout)}.", *place_words(corner.layout)])
