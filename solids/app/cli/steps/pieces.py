"""Steps that commands share, for a corner and a box alike: lay out, prove, show, write."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from solids.app.cli.steps.loading import KERNEL, kernel_loading
from solids.app.cli.steps.written import tell_more, tell_written
from solids.app.exits import FAILS_PROOF, GOOD, OUR_FAULT
from solids.app.terminal import console, print_proof, print_workshop, progress, say
from solids.base.errors import InputError, JointError
from solids.write.named import PIECES, files_of_board

if TYPE_CHECKING:
    from solids.aids.making.asked import AidsAsked
    from solids.layout import Layout
    from solids.layout.box.model import BoxLayout
    from solids.recipe.completing.shop import Shop
    from solids.write.files.ahead import Ahead
    from solids.write.files.job import Job
    from solids.write.named import Group


def planned(recipe: str, overrides: Iterable[str], shop: Shop) -> Layout | BoxLayout:
    """The layout of a recipe with the maker's shop behind it. Its notices go to stderr."""
    from solids.layout.plan import plan

    found = plan(recipe, overrides, shop)
    for notice in found.recipe.notices:
        say(f"Note: {notice}.", err=True)
    return found


def proved(found: Layout | BoxLayout, asked: AidsAsked | None = None) -> Job:
    """The piece, built and proved. `asked` says which aids are wanted."""
    _load_kernel()
    from solids.write.files.table import prove_layout

    with progress() as tell:
        tell("the proof")
        return replace(prove_layout(found), aids=asked)


def _load_kernel() -> None:
    if KERNEL in sys.modules:
        return
    with progress() as tell, kernel_loading():
        tell("loading the geometry kernel")
        from solids.write.files import table  # noqa: F401


def code_of(job: Job) -> int:
    """The exit code of a command that proved a piece."""
    return GOOD if job.proof.passes else FAILS_PROOF


def show_proof(job: Job) -> None:
    """Prints all findings and the verdict."""
    print_proof(console(), job.proof, PIECES[job.piece].what)


def make_aids(job: Job) -> bool:
    """Makes and prints the aids of each kind of joint. True if all pass their own proof. InputError if none could be
    made."""
    for joint in job.joints:
        with progress() as tell:
            tell("the aids and their proof")
            workshop = joint.workshop
        if joint.kind.title:
            console().print(f"{joint.kind.heading}:", style="bold")
        elsewhere = {name: kind.title for name, kind in joint.elsewhere.items()}
        print_workshop(console(), workshop, joint.layout.recipe.units, elsewhere)
    if not any(joint.workshop.good for joint in job.joints):
        raise InputError("No shop aid could be made; see the reasons above")
    return not any(joint.workshop.failed for joint in job.joints)


def write(
    found: Layout | BoxLayout,
    out: Path,
    groups: tuple[Group, ...],
    *,
    anyway: bool,
    asked: AidsAsked | None = None,
    board: str | None = None,
) -> int:
    """Proves a piece, writes the files of the given groups, or those of one `board` alone, and says what was written.
    Shows the proof if the solids of the piece are among them or if it fails. Returns the exit code."""
    from solids.layout.assembly import assembly_of
    from solids.write.files.ahead import papers_ahead, solids_ahead
    from solids.write.named import pieces_with
    from solids.write.publishing.publish import try_folder

    piece = assembly_of(found).name
    wrong = [group for group in groups if piece not in pieces_with(group)]
    if wrong:
        raise InputError(f"--{wrong[0]} shows a single corner; leave it out, or leave out the table [box]")
    only = files_of_board(board, piece) if board else []
    try_folder(out / found.recipe.slug, found.recipe.title)
    early: tuple[Group, ...] = () if only else groups
    with papers_ahead(found, early) as papers:
        _load_kernel()
        with solids_ahead(found, early) as solids:
            ahead = [one for one in (papers, solids) if one]
            return _written(proved(found, asked), out, groups, only, anyway=anyway, ahead=ahead)


def _written(
    job: Job, out: Path, groups: tuple[Group, ...], only: list[str], *, anyway: bool, ahead: list[Ahead]
) -> int:
    from solids.write.files.table import write_files

    whole = "corner" in groups and not only

    if whole or not job.proof.passes:
        show_proof(job)
    if not job.proof.passes and not anyway:
        what = PIECES[job.piece].what
        raise JointError(f"Nothing was written, because the {what} fails its proof. Mend it, or add --anyway.")
    aids_pass = make_aids(job) if "aids" in groups else True
    with progress() as tell:
        written = write_files(job, out, tell, groups, only, ahead)
    if whole:
        tell_more(job.piece, groups)
    tell_written(written)
    return code_of(job) if aids_pass else OUR_FAULT
