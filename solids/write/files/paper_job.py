"""What papers, and what a machine takes, are made from: the layout, and what the proof has found. No kernel."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

from solids.layout.assembly import Assembly, JointKind
from solids.layout.cutting.model import CuttingPlan
from solids.layout.setups import MachineBoard, machine_boards
from solids.proof.verdict import Verdict
from solids.write.drafting.sheet import Item


@dataclass(frozen=True)
class PaperJob:
    """A piece as papers tell of it. `found` gives what its proof has found, `drawn` the picture for a cover, in mm of
    the work, and `planned` how its boards come out of the maker's rack; each is asked for once something needs it."""

    assembly: Assembly
    found: Callable[[], Verdict]
    drawn: Callable[[], Sequence[Item]]
    planned: Callable[[], CuttingPlan | None]

    @property
    def title(self) -> str:
        """What the maker calls it."""
        return self.assembly.recipe.title

    @cached_property
    def verdict(self) -> Verdict:
        """What its proof has found."""
        return self.found()

    @cached_property
    def picture(self) -> Sequence[Item]:
        """The picture for a cover."""
        return self.drawn()

    @cached_property
    def cutting(self) -> CuttingPlan | None:
        """How its boards come out of the maker's rack; None where no rack is named."""
        return self.planned()

    @cached_property
    def boards(self) -> dict[str, MachineBoard]:
        """Every board as it lies in the machine, by name."""
        return machine_boards(self.assembly.plan)

    def fails(self, kind: JointKind) -> bool:
        """Whether a kind of joint does not go together."""
        return not next(joint.passes for joint in self.verdict.joints if joint.kind.slug == kind.slug)
