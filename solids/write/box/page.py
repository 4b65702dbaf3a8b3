"""`box.html`: the page of a whole box, as that of a corner: to turn, take apart and cut open, with the cut list and
every kind of corner."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solids.base.lengths import format_both
from solids.layout.box import BoxLayout, box_headline
from solids.layout.cut_list import cut_list_rows
from solids.proof.assembly import PieceProof
from solids.wood import Wood
from solids.write.page.page import joint_words, render
from solids.write.scene import Scene


def box_page_bytes(
    proof: PieceProof, scene: Scene, files: Sequence[tuple[str, str]], *, live: int | None = None
) -> bytes:
    """The page of a box; `files` and `live` as for the page of a corner."""
    box = proof.box
    cut_list = {"title": "Cut list", "flat": None, "place": "", "tables": [("Boards", cut_list_rows(box))]}
    corners = [joint_words(corner.kind.heading, corner.layout) for corner in proof.joints]
    return render(
        title=box.recipe.title,
        headline=box_headline(box),
        what="The box",
        kind="the box",
        verdict="Proved: the box goes together." if proof.passes else "This box fails its proof. Do not cut it.",
        passes=proof.passes,
        boards=list(_legend(box)),
        gaps=(),
        sections=("from left to right", "from front to back", "from below"),
        joints=[cut_list, *corners],
        findings=proof.findings,
        scene=scene,
        files=files,
        live=live,
    )


def _legend(box: BoxLayout) -> Iterator[tuple[str, str, str, str]]:
    """Each part with its thickness, its wood and its colour."""
    parts: list[tuple[str, float, Wood]] = [
        (side, board.board.thickness, board.board.wood) for side, board in box.boards.items()
    ]
    if box.panel:
        parts.append(("bottom", box.panel.size[2], box.recipe.panel.wood))
    for name, thickness, wood in parts:
        yield name, format_both(thickness, box.recipe.units), wood.name, wood.colour
