"""Files made ahead, each set by a process of its own: papers while this one loads the kernel, the solids of the whole
piece while this one proves them. They are published only once the proof is there, like all others."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from solids.base.findings import Finding
from solids.base.parallel import Meanwhile, meanwhile
from solids.bench.assembling import Order
from solids.layout import Layout
from solids.layout.assembly import Assembly, assembly_of
from solids.layout.box.model import BoxLayout
from solids.proof.verdict import JointVerdict, Verdict
from solids.write.drafting.sheet import Item
from solids.write.files.listing import listed, rows_of
from solids.write.files.paper_job import PaperJob
from solids.write.files.papers import PAPERS
from solids.write.files.writing import each_made
from solids.write.named import File, Group, Made

if TYPE_CHECKING:
    from solids.write.files.job import Job


@dataclass(frozen=True)
class Told:
    """What papers must know of a proof beside the layout: whether each kind of joint goes together, the order, every
    finding, and the picture for a cover."""

    joints: tuple[bool, ...]
    order: Order
    findings: tuple[Finding, ...]
    picture: Sequence[Item]

    def verdict(self, assembly: Assembly) -> Verdict:
        """All that was found of a piece."""
        kinds = zip(assembly.kinds, self.joints, strict=True)
        return Verdict(assembly, [JointVerdict(*joint) for joint in kinds], self.order, self.findings)


@dataclass(frozen=True)
class Ahead:
    """Files under way, by their names."""

    names: frozenset[str]
    _other: Meanwhile[dict[str, bytes]]

    def tell(self, job: Job) -> None:
        """Tells what the proof has found, for which papers wait."""
        proof = job.proof
        joints = tuple(joint.passes for joint in proof.joints)
        self._other.tell(Told(joints, proof.order, proof.findings, job.paper.picture))

    def made(self) -> dict[str, bytes]:
        """The bytes of each, read back. Raises as `make_all` does."""
        return self._other.result()


@contextmanager
def papers_ahead(plan: Layout | BoxLayout, groups: Iterable[Group]) -> Iterator[Ahead | None]:
    """Begins with the papers of some groups, and with what a machine takes of each board. None where none is asked for,
    or no other process can make them."""
    assembly = assembly_of(plan)

    def job(hear: Callable[[], Told]) -> PaperJob:
        return PaperJob(assembly, lambda: hear().verdict(assembly), lambda: hear().picture)

    with _under_way(partial(_listed, assembly, groups, PAPERS), job) as ahead:
        yield ahead


@contextmanager
def solids_ahead(plan: Layout | BoxLayout, groups: Iterable[Group]) -> Iterator[Ahead | None]:
    """Begins with the solids of the whole piece. The kernel is loaded already."""
    from solids.write.files.solid_files import WHOLE
    from solids.write.files.solid_job import built

    with _under_way(partial(_listed, assembly_of(plan), groups, WHOLE), lambda _: built(plan)) as ahead:
        yield ahead


def _listed(assembly: Assembly, groups: Iterable[Group], made: Mapping[str, Made], job: object) -> list[File]:
    """The files of some groups that a table can make; what waits for the proof comes last."""
    rows = dict.fromkeys(row for group in groups for row in rows_of(assembly, group) if row.name in made)
    found = listed(assembly, rows, lambda row: (made[row.name], job))
    return sorted(found, key=lambda file: file.name.endswith(".pdf"))


@contextmanager
def _under_way(
    files: Callable[[object], list[File]], job: Callable[[Callable[[], Told]], object]
) -> Iterator[Ahead | None]:
    """Begins in another process with the files of a `job`, which is given what waits for the proof."""

    def work(hear: Callable[[], Told]) -> dict[str, bytes]:
        gc.disable()  # this process ends before it pays
        return each_made(files(job(hear)))

    names = frozenset(file.name for file in files(None))
    if not names:
        yield None
        return
    with meanwhile(work) as other:
        yield Ahead(names, other) if other else None
