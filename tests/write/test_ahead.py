"""Papers made ahead by another process are, byte for byte, those that are made here."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import cache

import pytest

from solids.base.errors import FaultError
from solids.layout.plan import plan
from solids.recipe.completing.shop import Shop
from solids.write.files.ahead import papers_ahead, solids_ahead
from solids.write.files.job import Job, prove_layout
from solids.write.files.papers import PAPERS
from solids.write.files.solid_files import SOLIDS, WHOLE
from solids.write.files.table import MADE, files_of
from solids.write.named import GROUPS, ROWS, Group, group_of
from tests.sampling import few

cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1
several = pytest.mark.skipif(cores < 2 or sys.platform != "linux", reason="one core, or a system that does not fork")

TOO_TIGHT = "[joint]\nwidth = 90\n[tail_board]\nthickness = 12\n[pin_board]\nthickness = 12\n[fit]\nflank_gap = -0.2\n"
PIECES = {"corner": "tool-tray", "box": "keepsake-box", "fails": TOO_TIGHT}


@cache
def job_of(name: str) -> Job:
    return prove_layout(plan(PIECES[name], (), Shop()))


def made_ahead(name: str, groups: tuple[Group, ...]) -> dict[str, bytes]:
    job = job_of(name)
    with papers_ahead(job.proof.assembly.plan, groups) as ahead:
        assert ahead is not None
        ahead.tell(job)
        made = ahead.made()
    assert set(made) == ahead.names
    return made


@several
@pytest.mark.parametrize("groups", [("corner",), ("paper",), ("corner", "board")], ids="+".join)
@pytest.mark.parametrize("name", list(PIECES))
def test_they_are_the_same_bytes(name: str, groups: tuple[Group, ...]) -> None:
    job, made = job_of(name), made_ahead(name, groups)
    here = {file.name: file for group in groups for file in files_of(job, group)}
    assert {file: here[file].make() for file in made} == made
    without_solids = {name for name in here if name.endswith((".csv", ".svg", "booklet.pdf")) and "drawing" not in name}
    assert without_solids <= set(made)


@several
@pytest.mark.parametrize("name", list(PIECES))
def test_the_solids_are_the_same_bytes(name: str) -> None:
    job = job_of(name)
    with solids_ahead(job.proof.assembly.plan, ("corner",)) as ahead:
        assert ahead is not None
        ahead.tell(job)
        made = ahead.made()
    here = {file.name: file for file in files_of(job, "corner")}
    assert set(made) == set(WHOLE) & set(here)
    assert {file: here[file].make() for file in made} == made


@pytest.mark.parametrize("piece", few(["tool-tray", "work-box", "fitted-drawer", "shelf-carcase"], 1))
def test_papers_are_made_without_the_kernel(piece: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_KERNEL.format(piece=piece)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) > 10


WITHOUT_KERNEL = """
import sys
sys.modules["OCP"] = None
from solids.bench.assembling import Move, Order
from solids.layout.assembly import assembly_of
from solids.layout.plan import plan
from solids.proof.verdict import JointVerdict, Verdict
from solids.recipe.completing.shop import Shop
from solids.write.drafting.sheet import Stroke
from solids.write.files.listing import listed, rows_of
from solids.write.files.paper_job import PaperJob
from solids.write.files.papers import PAPERS
from solids.write.named import GROUPS

assembly = assembly_of(plan({piece!r}, (), Shop()))
boards = assembly.box.boards if assembly.box else ()
order = Order(tuple(Move(side, "from above") for side in boards), ())
verdict = Verdict(assembly, [JointVerdict(kind, True) for kind in assembly.kinds], order, ())
job = PaperJob(
    assembly, lambda: verdict, lambda: [Stroke("visible edges", ((0.0, 0.0), (60.0, 40.0)))], lambda: None
)
rows = [row for group in GROUPS if group != "aids" for row in rows_of(assembly, group) if row.name in PAPERS]
files = listed(assembly, dict.fromkeys(rows), lambda row: (PAPERS[row.name], job))
print(sum(len(file.make()) > 100 for file in files))
"""


@several
def test_solids_that_were_not_proved_are_not_written() -> None:
    """The piece that the other process builds is wider by a thousandth of a millimetre."""
    job = job_of("corner")
    wider = plan(PIECES["corner"], (f"joint.width={job.joints[0].layout.width + 1e-3}",), Shop())
    with solids_ahead(wider, ("corner",)) as ahead:
        assert ahead is not None
        ahead.tell(job)
        with pytest.raises(FaultError, match="those that were proved"):
            ahead.made()


RACK = "stock.board=[{{length={length},width=200,thickness=27,wood='red oak'}}]"


@pytest.mark.whole
@several
def test_the_cutting_plan_is_the_one_that_is_told() -> None:
    """The solver has so much time, and asked twice it may answer twice. Here another rack is told of than was asked."""
    names = {"cutting-plan.pdf", "cutting-plan.svg"}
    found, other = (plan("desk-drawer", (RACK.format(length=length),), Shop()) for length in (1500, 2400))
    with papers_ahead(found, ("paper",)) as ahead:
        assert ahead is not None
        job = prove_layout(found)
        job.__dict__["cutting"] = prove_layout(other).cutting
        ahead.tell(job)
        made = ahead.made()
    here = {file.name: file for file in files_of(job, "paper") if file.name in names}
    assert set(here) == names
    assert {name: file.make() for name, file in here.items()} == {name: made[name] for name in names}
    assert (
        made["cutting-plan.svg"]
        != next(file for file in files_of(prove_layout(found), "paper") if file.name == "cutting-plan.svg").make()
    )


def test_a_piece_that_fails_is_told_as_one_that_fails() -> None:
    assert not job_of("fails").proof.passes


def test_of_what_takes_solids_nothing_is_made_ahead() -> None:
    with papers_ahead(job_of("corner").proof.assembly.plan, ("aids", "model", "picture")) as ahead:
        assert ahead is None


def test_every_row_is_made_in_one_place() -> None:
    tables = (MADE, PAPERS, SOLIDS)
    assert {row.name for row in ROWS} == {name for table in tables for name in table}
    assert len(ROWS) == sum(map(len, tables)) + 1, "the note of a joint has two rows"
    assert all(group_of(name) in GROUPS for name in PAPERS if "{" not in name)
