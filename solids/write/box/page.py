"""`box.html`: the page of a whole box, as that of a corner: to turn, take apart and cut open, with the cut list and
every kind of corner."""

from __future__ import annotations

from collections.abc import Sequence

from solids.box.proof import BoxProof
from solids.box_layout import box_headline
from solids.cut_list import cut_list_rows
from solids.lengths import format_both
from solids.scene import Scene
from solids.write.page.page import joint_words, render


def box_page_bytes(
    proof: BoxProof, scene: Scene, files: Sequence[tuple[str, str]], *, live: int | None = None
) -> bytes:
    """The page of a box; `files` and `live` as for the page of a corner."""
    box = proof.box
    cut_list = {"title": "Cut list", "flat": None, "place": "", "tables": [("Boards", cut_list_rows(box))]}
    corners = [joint_words(f"{corner.title[0].upper()}{corner.title[1:]}", corner.layout) for corner in proof.corners]
    return render(
        title=box.recipe.title,
        headline=box_headline(box),
        what="The box",
        kind="the box",
        verdict="Proved: the box goes together." if proof.passes else "This box fails its proof. Do not cut it.",
        passes=proof.passes,
        boards=[
            (side, format_both(board.board.thickness, box.recipe.units), board.board.wood.name, board.board.wood.colour)
            for side, board in box.boards.items()
        ],
        gaps=(),
        sections=("from left to right", "from front to back", "from below"),
        joints=[cut_list, *corners],
        findings=proof.findings,
        scene=scene,
        files=files,
        live=live,
    )
