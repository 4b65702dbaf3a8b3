"""What the files of solids are made from: the parts of a piece, in both states."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from solids.base.keeping import Keeping
from solids.layout import Layout
from solids.layout.assembly import Assembly, assembly_of
from solids.layout.box.faces import Moved
from solids.layout.box.model import BoxLayout
from solids.layout.setups import machine_boards
from solids.model.box import box_parts
from solids.model.corner import corner_parts, make_corner
from solids.model.kernel import volume_of
from solids.model.kernel.shaping import placed
from solids.model.parts import Part
from solids.proof.waste import proved_waste


@dataclass(frozen=True)
class SolidJob(Keeping):
    """A piece and its parts, as cut and finished."""

    assembly: Assembly
    cut: tuple[Part, ...]
    finished: tuple[Part, ...]

    @property
    def title(self) -> str:
        """What the maker calls it."""
        return self.assembly.recipe.title

    @cached_property
    def volumes(self) -> list[float]:
        """The volume of each part (mm3), as cut, then finished."""
        return [volume_of(part.solid) for part in (*self.cut, *self.finished)]

    @cached_property
    def lying(self) -> dict[str, Part]:
        """Every board as cut, as it lies in the machine, by name."""
        boards, found = machine_boards(self.assembly.plan), {}
        for part in (part for part in self.cut if part.name in boards):
            by = part.rows.then(boards[part.name].lies.to_machine)
            solid, faces = placed(part.solid, by), Moved(part.faces, by)
            found[part.name] = Part(part.name, part.name, solid, part.wood, faces=faces)
        return found

    @cached_property
    def waste(self) -> tuple[Part, ...]:
        """The wood to take away from plain boards, a part for each cut. FaultError where board and waste are not the
        whole sawn board."""
        return tuple(part for board in proved_waste(self.assembly, self.cut) for part in board.waste)


def built(plan: Layout | BoxLayout) -> SolidJob:
    """The parts of a piece before anything is proved of them."""
    if isinstance(plan, BoxLayout):
        cut, finished = box_parts(plan, finished=False), box_parts(plan, finished=True)
    else:
        cut, finished = (corner_parts(make_corner(plan, state)) for state in (plan.as_cut, plan.as_finished))
    return SolidJob(assembly_of(plan), cut, finished)
