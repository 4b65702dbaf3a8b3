"""Files made ahead, each set by a process of its own: papers while this one loads the kernel, the solids of the whole
piece while this one proves them. They are published only once the proof is there, like all others."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from solids.base import tolerances as tol
from solids.base.errors import FaultError
from solids.base.findings import Finding
from solids.base.parallel import Meanwhile, meanwhile
from solids.bench.assembling import Order
from solids.layout import Layout
from solids.layout.assembly import Assembly, assembly_of
from solids.layout.box.model import BoxLayout
from solids.layout.cutting.model import CuttingPlan
from solids.proof.verdict import JointVerdict, Verdict
from solids.write.drafting.sheet import Item
from solids.write.files.listing import listed, rows_of
from solids.write.files.paper_job import PaperJob
from solids.write.files.papers import PAPERS
from solids.write.files.writing import each_made
from solids.write.named import CUTTING_PICTURE, File, Group, Made

if TYPE_CHECKING:
    from solids.write.files.job import Job

Result = TypeVar("Result")


Hear = Callable[[], "Told"]
"""Waits for what is told of the proof."""


@dataclass(frozen=True)
class Told:
    """What papers must know beside the layout: whether each kind of joint goes together, the order, every finding, the
    picture for a cover, and how the boards come out of the rack, which another run of the solver may answer otherwise
    where it runs out of time."""

    joints: tuple[bool, ...]
    order: Order
    findings: tuple[Finding, ...]
    picture: Sequence[Item]
    cutting: CuttingPlan | None

    def verdict(self, assembly: Assembly) -> Verdict:
        """All that was found of a piece."""
        kinds = zip(assembly.kinds, self.joints, strict=True)
        return Verdict(assembly, [JointVerdict(*joint) for joint in kinds], self.order, self.findings)


Contents = dict[str, bytes]
"""The bytes of files by their names."""


class PapersAhead:
    """Papers under way, by their `names`."""

    def __init__(self, names: frozenset[str], other: Meanwhile[Contents]) -> None:
        self.names, self._other = names, other

    def tell(self, job: Job) -> None:
        """Tells what the proof has found, for which most of them wait."""
        proof = job.proof
        joints = tuple(joint.passes for joint in proof.joints)
        self._other.tell(Told(joints, proof.order, proof.findings, job.paper.picture, job.cutting))

    def made(self) -> Contents:
        """The bytes of each, read back. Raises as `make_all` does."""
        return self._other.result()


class SolidsAhead:
    """Files of solids under way, by their `names`. They are of parts that were built a second time, which must be those
    that were proved."""

    def __init__(self, names: frozenset[str], other: Meanwhile[tuple[Contents, list[float]]]) -> None:
        self.names, self._other = names, other
        self._proved: list[float] = []

    def tell(self, job: Job) -> None:
        """Keeps what was proved."""
        self._proved = job.solids.volumes

    def made(self) -> Contents:
        """The bytes of each, read back. FaultError where they are of other solids; else raises as `make_all` does."""
        made, volumes = self._other.result()
        pairs = zip(volumes, self._proved, strict=True)
        if any(abs(mm3 - proved) > tol.VOLUME_RELATIVE * proved for mm3, proved in pairs):
            raise FaultError("the solids of the files are not those that were proved")
        return made


Ahead = PapersAhead | SolidsAhead


@contextmanager
def papers_ahead(plan: Layout | BoxLayout, groups: Iterable[Group]) -> Iterator[PapersAhead | None]:
    """Begins with the papers of some groups, and with what a machine takes of each board. None where none is asked for,
    or no other process can make them."""
    assembly = assembly_of(plan)

    def work(hear: Hear) -> Contents:
        gc.disable()  # this process ends before it pays
        job = PaperJob(assembly, lambda: hear().verdict(assembly), lambda: hear().picture, lambda: hear().cutting)
        return each_made(sorted(_listed(assembly, groups, PAPERS, job), key=_waits))

    names = _names(assembly, groups, PAPERS)
    with _begun(names, work) as other:
        yield PapersAhead(names, other) if other else None


def _waits(file: File) -> bool:
    """Whether a paper waits for the proof, and so comes last."""
    return file.name.endswith(".pdf") or file.name == CUTTING_PICTURE


@contextmanager
def solids_ahead(plan: Layout | BoxLayout, groups: Iterable[Group]) -> Iterator[SolidsAhead | None]:
    """Begins with the solids of the whole piece, once the kernel is loaded. None as for papers."""
    from solids.write.files.solid_files import WHOLE
    from solids.write.files.solid_job import built

    assembly = assembly_of(plan)

    def work(_: Hear) -> tuple[Contents, list[float]]:
        gc.disable()
        job = built(plan)
        return each_made(_listed(assembly, groups, WHOLE, job)), job.volumes

    names = _names(assembly, groups, WHOLE)
    with _begun(names, work) as other:
        yield SolidsAhead(names, other) if other else None


def _listed(assembly: Assembly, groups: Iterable[Group], table: Mapping[str, Made], job: object) -> list[File]:
    """The files of some groups that a table can make."""
    rows = dict.fromkeys(row for group in groups for row in rows_of(assembly, group) if row.name in table)
    return listed(assembly, rows, lambda row: (table[row.name], job))


def _names(assembly: Assembly, groups: Iterable[Group], table: Mapping[str, Made]) -> frozenset[str]:
    return frozenset(file.name for file in _listed(assembly, groups, table, None))


@contextmanager
def _begun(names: frozenset[str], work: Callable[[Hear], Result]) -> Iterator[Meanwhile[Result] | None]:
    if not names:
        yield None
        return
    with meanwhile(work) as other:
        yield other
