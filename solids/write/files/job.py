"""What the files of a piece are made from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from solids.layout import Layout
from solids.layout.assembly import PieceName
from solids.layout.box.model import BoxLayout
from solids.proof.assembly import PieceProof, ProvedJoint, prove_piece

if TYPE_CHECKING:
    from solids.aids.catalogue import Workshop
    from solids.aids.making.asked import AidsAsked
    from solids.write.drafting.sheet import Sheet
    from solids.write.formats.scene import Scene


@dataclass(frozen=True)
class JointJob(ProvedJoint):
    """Everything that the files of one kind of joint are made from; `job` is that of the piece."""

    job: Job

    @cached_property
    def drawing(self) -> Sheet:
        """The shop drawing, which three files share. InputError where it does not fit the paper."""
        from solids.write.drafting.views import shop_drawing

        return shop_drawing(self.layout, self.layout.recipe.paper.size, failing=not self.proof.passes)

    @cached_property
    def workshop(self) -> Workshop:
        """The shop aids for this joint, each with its proof, and the reasons why some are not made."""
        from solids.aids.catalogue import make_aids
        from solids.aids.making.asked import AidsAsked

        return make_aids(self.layout, self.job.aids or AidsAsked())


@dataclass(frozen=True)
class Job:
    """Everything that the files of a piece are made from: its proof, and which aids are asked for."""

    proof: PieceProof
    aids: AidsAsked | None = None

    @property
    def piece(self) -> PieceName:
        """What it is."""
        return self.proof.assembly.name

    @property
    def title(self) -> str:
        """What the maker calls it."""
        return self.proof.assembly.recipe.title

    @cached_property
    def joints(self) -> tuple[JointJob, ...]:
        """Each kind of joint, and what its own files are made from."""
        return tuple(JointJob(joint.kind, joint.cut, joint.finished, joint.proof, self) for joint in self.proof.joints)

    @cached_property
    def scene(self) -> Scene:
        """The piece to look at, which model, page and picture share."""
        from solids.write.formats.scene import scene_of

        return scene_of(self.proof)


def prove_layout(plan: Layout | BoxLayout) -> Job:
    """Makes a piece and proves it."""
    return Job(prove_piece(plan))
