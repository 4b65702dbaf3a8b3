"""What the files of a piece are made from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from solids.layout import Layout
from solids.layout.assembly import JointKind, PieceName
from solids.layout.boards import boards_of
from solids.layout.box.model import BoxLayout
from solids.layout.cutting.model import CuttingPlan
from solids.layout.cutting.planning import cutting_plan
from solids.layout.setups import MachineBoard
from solids.proof.assembly import PieceProof, ProvedJoint, prove_piece
from solids.write.drafting.pictorial import cover_picture
from solids.write.files.paper_job import PaperJob
from solids.write.files.solid_job import SolidJob

if TYPE_CHECKING:
    from solids.aids.catalogue import Workshop
    from solids.aids.making.asked import AidsAsked
    from solids.write.drafting.sheet import Sheet
    from solids.write.drafting.whole.drawings import Drawings
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

    @property
    def some_aids(self) -> str:
        """A prefix where only some kinds of aid are made, so that the note and the plates of the full set are left
        alone."""
        kinds = sorted(self.job.aids.named) if self.job.aids else ()
        return f"{'-'.join(kinds)}-" if kinds else ""

    @property
    def elsewhere(self) -> dict[str, JointKind]:
        """Its aids, by name, that an earlier kind of joint has too, and that kind. They are made there."""
        return self.job.shared_aids[self.kind.slug]

    @property
    def has_no_aids_of_its_own(self) -> bool:
        """Whether one other kind of joint has all of its aids, so that it needs no folder for them."""
        made = {proved.aid.name for proved in self.workshop.good}
        told = self.workshop.failed or self.workshop.refused
        whole = made and made == set(self.elsewhere)
        return bool(whole and not told and len({kind.slug for kind in self.elsewhere.values()}) == 1)


@dataclass(frozen=True)
class Job:
    """Everything that the files of a piece are made from: its proof, and which aids are asked for. Where single files
    were asked for, `there` are the names of all that then lie in the folder, and notes name no others."""

    proof: PieceProof
    aids: AidsAsked | None = None
    there: frozenset[str] | None = None

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
        return tuple(
            JointJob(joint.kind, joint.passes, joint.cut, joint.finished, joint.proof, self)
            for joint in self.proof.joints
        )

    def joint(self, kind: JointKind) -> JointJob:
        """One of them."""
        return next(joint for joint in self.joints if joint.kind.slug == kind.slug)

    @cached_property
    def paper(self) -> PaperJob:
        """What its papers are made from."""
        return PaperJob(
            self.proof.assembly, lambda: self.proof, lambda: cover_picture(self.proof), lambda: self.cutting
        )

    @cached_property
    def cutting(self) -> CuttingPlan | None:
        """How its boards come out of the maker's rack; None where no rack is named."""
        plan, rack = self.proof.assembly.plan, self.proof.assembly.recipe.rack
        return cutting_plan(boards_of(plan), rack) if rack.boards else None

    @property
    def boards(self) -> dict[str, MachineBoard]:
        """Every board as it lies in the machine, by name."""
        return self.paper.boards

    @cached_property
    def solids(self) -> SolidJob:
        """What its solids are written from."""
        return SolidJob(self.proof.assembly, self.proof.cut, self.proof.finished)

    @cached_property
    def shared_aids(self) -> dict[str, dict[str, JointKind]]:
        """For each kind of joint, by its slug, the aids that an earlier kind has too, and that kind."""
        first: dict[tuple[str, bytes, bytes], JointKind] = {}
        shared: dict[str, dict[str, JointKind]] = {}
        for joint in self.joints:
            shared[joint.kind.slug] = {}
            for proved in joint.workshop.good if len(self.joints) > 1 else ():
                surface = proved.surface
                shape = proved.aid.name, surface.points.tobytes(), surface.triangles.tobytes()
                if first.setdefault(shape, joint.kind) is not joint.kind:
                    shared[joint.kind.slug][proved.aid.name] = first[shape]
        return shared

    @cached_property
    def drawings(self) -> Drawings:
        """The drawings of a whole box, which several files share. InputError where they do not fit the paper."""
        from solids.write.drafting.whole.drawings import drawings_of

        return drawings_of(self.proof)

    @cached_property
    def scene(self) -> Scene:
        """The piece to look at, which model, page and picture share."""
        from solids.write.formats.scene import scene_of

        return scene_of(self.proof)


def prove_layout(plan: Layout | BoxLayout) -> Job:
    """Makes a piece and proves it."""
    return Job(prove_piece(plan))
