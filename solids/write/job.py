"""What files are made from, and what a file is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from solids.layout import Layout
from solids.layout.assembly import PieceName
from solids.layout.box import BoxLayout
from solids.proof.assembly import PieceProof, ProvedJoint, prove_piece
from solids.write.named import NOTE, Group, Scope

if TYPE_CHECKING:
    from solids.aids.asked import AidsAsked
    from solids.aids.catalogue import Workshop
    from solids.write.drafting.sheet import Sheet
    from solids.write.scene import Scene


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
        """The shop aids for this joint, each with its proof, and why some are not made."""
        from solids.aids.asked import AidsAsked
        from solids.aids.catalogue import make_aids

        return make_aids(self.layout, self.job.aids or AidsAsked())

    @cached_property
    def scene(self) -> Scene:
        """What there is to look at of a joint alone, which model, page and picture share."""
        from solids.write.scene import make_scene

        return make_scene(self.cut, self.finished, self.proof.contacts)


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
        """What there is to look at, which model, page and picture share."""
        if self.piece == "corner":
            return self.joints[0].scene
        from solids.write.box.scene import box_scene

        return box_scene(self.proof)


def prove_layout(plan: Layout | BoxLayout) -> Job:
    """Makes a piece and proves it."""
    return Job(prove_piece(plan))


Made = tuple[Callable[..., bytes], Callable[..., None]]
"""What makes a file's bytes, and what reads the written file back."""


@dataclass(frozen=True)
class FileKind:
    """A row of the table of files, and how it is made and read back: from a `Job` where its scope is the piece or a
    board, which is named beside it; from a `JointJob` where it is a joint."""

    name: str
    holds: str
    make: Callable[..., bytes]
    reread: Callable[..., None]
    group: Group = "corner"
    cautions: str = NOTE
    scope: Scope = "joint"
