"""The note of a box: Markdown (CommonMark), plain English, with the cut list, the order of work and the cautions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from solids import __version__
from solids.box.order import steps_of
from solids.box.parts import plug_slabs
from solids.box.proof import BoxProof, ProvedCorner, diagonals
from solids.box_layout import box_headline
from solids.cautions import CAUTIONS
from solids.cut_list import cut_list, cut_list_rows, glue_up_words
from solids.findings import worst_first
from solids.lengths import format_both
from solids.listing import summary
from solids.write.note import escaped, wrapped
from solids.write.templates import template

LABELS = {"fail": "FAILS", "warning": "warning", "pass": "passes", "note": "note"}


def note_bytes(proof: BoxProof, files: Sequence[tuple[str, str]]) -> bytes:
    """The note as UTF-8; `files` names every file beside it and what it holds."""
    return wrapped(template("solids.write.box", "box-note.md.jinja").render(_words(proof, files))).encode("utf-8")


def _words(proof: BoxProof, files: Sequence[tuple[str, str]]) -> dict[str, Any]:
    box, units = proof.box, proof.box.recipe.units
    rough = box.recipe.rough
    say = [format_both(size, units, 0.01) for size in (rough.length, rough.width, rough.thickness)]
    return {
        "title": escaped(box.recipe.title),
        "version": __version__,
        "passes": proof.passes,
        "headline": box_headline(box),
        "rough": f"{say[0]} in length, {say[1]} in width and {say[2]} in thickness",
        "table": markdown_table(*cut_list_rows(box)),
        "rows": cut_list(box),
        "glue_up": glue_up_words(box),
        "corners": [_corner(corner, [name for name, _ in files]) for corner in proof.corners],
        "groove": groove_words(proof),
        "steps": steps_of(proof.order),
        "diagonal": format_both(diagonals(box)[0], units, 0.01),
        "findings": [
            (LABELS[finding.severity], escaped(finding.sentence), escaped(finding.remedy))
            for finding in worst_first(proof.findings)
        ],
        "choices": [(choice.key, escaped(choice.value), escaped(choice.why)) for choice in box.recipe.choices],
        "files": files,
        "cautions": CAUTIONS,
    }


def markdown_table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table as Markdown has it."""
    lines = [heads, ["---"] * len(heads), *([escaped(cell) for cell in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _corner(corner: ProvedCorner, files: Sequence[str]) -> dict[str, str]:
    own = [f"`{name}`" for name in files if name.startswith(corner.slug)]
    return {"title": corner.heading, "words": corner_words(corner), "files": ", ".join(own)}


def corner_words(corner: ProvedCorner) -> str:
    """What a kind of corner is, and what is to be known of its place."""
    return " ".join([f"{summary(corner.layout)}.", *corner.layout.in_box.words])


def groove_words(proof: BoxProof) -> str:
    """Where the groove is and what becomes of its ends; empty where there is none."""
    box, units = proof.box, proof.box.recipe.units
    groove = box.recipe.groove
    if box.panel is None:
        return ""
    width, depth, up = (format_both(size, units, 0.01) for size in (groove.width, groove.depth, groove.up))
    words = f"{width} wide and {depth} deep, {up} above the reference edge, in the inside faces"
    where = "of all four boards"
    if box.recipe.back_above_bottom:
        where = "of front, left and right; the back stands above it"
    runs_out = (
        "In the tail boards it runs out at the ends, or ends at the lap where there is one. In the pin boards it runs "
        "out into a socket, where the tail covers it; do not cut it through their ends."
    )
    ends = {
        "stopped": "In the tail boards it stops as far past the baseline as it is deep, so that nothing shows. "
        "In the pin boards it runs out into a socket, where the tail covers it.",
        "through": runs_out,
        "plugged": f"{runs_out} Glue a plug of the same wood into each notch that shows."
        if plug_slabs(box)
        else runs_out,
    }[groove.ends]
    back = " At the back it runs out below the back board, open, so that the bottom slides in."
    return f"{words} {where}. {ends}{back if box.recipe.back_above_bottom else ''}"
