"""What files are made from, and what a file is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from solids.layout import Layout
from solids.model.corner import Corner, make_corner
from solids.model.kernel import Mesh, mesh
from solids.proof.corner import Proof, prove
from solids.write import step

if TYPE_CHECKING:
    from solids.aids.asked import AidsAsked
    from solids.aids.catalogue import Workshop
    from solids.write.drafting.sheet import Sheet
    from solids.write.scene import Scene

Group = Literal["corner", "paper", "aids", "model", "gaps", "page", "picture"]

AIDS_FOLDER = "aids/"
"""Where the shop aids go, in the joint's folder."""


@dataclass(frozen=True)
class Job:
    """Everything that a file can be made from: one proved corner in both states."""

    layout: Layout
    cut: Corner
    finished: Corner
    proof: Proof
    aids: AidsAsked | None = None

    @cached_property
    def meshes(self) -> tuple[Mesh, Mesh]:
        """The kernel's triangles of the tail board and the pin board as cut."""
        return mesh(self.cut.tail_board), mesh(self.cut.pin_board)

    @cached_property
    def drawing(self) -> Sheet:
        """The shop drawing, which three files share. InputError where it does not fit the paper."""
        from solids.write.drafting.views import shop_drawing

        return shop_drawing(self.layout, self.layout.recipe.paper.size, failing=not self.proof.passes)

    @cached_property
    def workshop(self) -> Workshop:
        """The shop aids for this joint, each with its proof, and why some are not made."""
        from solids.aids.asked import AidsAsked
        from solids.aids.catalogue import make_aids

        return make_aids(self.layout, self.aids or AidsAsked())

    @cached_property
    def scene(self) -> Scene:
        """What there is to look at, which model, page and picture share."""
        from solids.write.scene import make_scene

        return make_scene(self.cut, self.finished, self.proof.contacts)

    def parts(self, corner: Corner) -> list[step.Part]:
        """Both boards as a STEP file takes them."""
        recipe = self.layout.recipe
        woods = (recipe.tail_board.wood, recipe.pin_board.wood)
        return [step.Part(name, solid, wood) for (name, solid), wood in zip(corner.boards, woods, strict=True)]


def prove_layout(layout: Layout) -> Job:
    """Builds both states of a corner and proves them."""
    cut, finished = make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished)
    return Job(layout, cut, finished, prove(cut, finished))


NOTE = "cnc-jig-note.md"
SETUP_SHEET = "setup-sheet.pdf"


@dataclass(frozen=True)
class FileKind:
    """One file: its name, what it holds, how its bytes are made, how the written file is re-read, and whether it comes
    with every corner, with the paper for the bench, with the shop aids, or to look at. `cautions` names the file that
    holds its cautions, which is itself where it has all of them: no set is written without it."""

    name: str
    holds: str
    make: Callable[[Job], bytes]
    reread: Callable[[Path, Job], None]
    group: Group = "corner"
    cautions: str = NOTE
