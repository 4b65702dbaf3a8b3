"""What the commands do with a recipe for a whole box."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from solids.cli.exits import FAILS_PROOF, GOOD, OUR_FAULT
from solids.cli.loading import kernel_loading
from solids.errors import InputError, JointError
from solids.terminal import console, print_findings, print_layout, print_table, print_workshop, progress

if TYPE_CHECKING:
    from solids.box_layout import BoxLayout
    from solids.write.box.files import BoxJob
    from solids.write.job import Group

NOT_OF_A_BOX = ("gaps",)
"""What shows one corner only."""


def box_of(recipe: str, overrides: Iterable[str]) -> BoxLayout | None:
    """The box that a recipe lays out; None where it is for a single corner."""
    from solids.recipe.boxes import check_box, is_box, raw_recipe

    raw = raw_recipe(recipe, overrides)
    if not is_box(raw):
        return None
    from solids.box_refusals import lay_out_box

    box = lay_out_box(check_box(raw))
    for notice in box.recipe.notices:
        click.echo(f"Note: {notice}.", err=True)
    return box


def show_box(box: BoxLayout, *, as_json: bool) -> None:
    """`halfpin layout`: sizes, cut list and each kind of corner, in the terminal; or the report without a proof."""
    from solids.box_layout import box_headline, kinds_of_corner
    from solids.cut_list import cut_list_rows

    if as_json:
        from solids.write.box.report import make_layout_report, report_bytes

        click.echo(report_bytes(make_layout_report(box)), nl=False)
        return
    screen = console()
    screen.print(f"{box.recipe.title}: {box_headline(box)}", style="bold")
    screen.print()
    print_table(screen, *cut_list_rows(box))
    if box.recipe.choices:
        screen.print("\nChosen for you, because the recipe leaves it out:")
        for choice in box.recipe.choices:
            screen.print(f"  {choice.key} = {choice.value}: {choice.rule}")
    for names in kinds_of_corner(box):
        screen.print()
        print_layout(screen, box.corners[names[0]].layout)


def prove_it(box: BoxLayout) -> BoxJob:
    """The box made and proved, and its findings shown."""
    with progress() as tell:
        tell("loading the geometry kernel")
        with kernel_loading():
            from solids.write.box.files import prove_box_layout

        tell("the proof")
        job = prove_box_layout(box)
    verdict = "The box goes together." if job.proof.passes else "The box fails its proof."
    print_findings(console(), job.proof.findings, verdict)
    return job


def check_it(box: BoxLayout, *, as_json: bool) -> int:
    """`halfpin check`."""
    if as_json:
        from solids.write.box.files import prove_box_layout
        from solids.write.box.report import make_box_report, report_bytes

        proof = prove_box_layout(box).proof
        click.echo(report_bytes(make_box_report(proof)), nl=False)
    else:
        proof = prove_it(box).proof
    return GOOD if proof.passes else FAILS_PROOF


def write_it(box: BoxLayout, out: Path, groups: tuple[Group, ...], *, anyway: bool) -> int:
    """`halfpin build`, `paper` and `aids`: the files of some groups."""
    wrong = [group for group in groups if group in NOT_OF_A_BOX]
    if wrong:
        raise InputError(f"--{wrong[0]} shows a single corner; leave it out, or leave out the table [box]")
    job = prove_it(box)
    if not job.proof.passes and not anyway:
        raise JointError("Nothing was written, because the box fails its proof. Mend it, or add --anyway.")
    from solids.write.box.files import write_box

    failed = False
    for corner, of_corner in job.corners if "aids" in groups else ():
        with progress() as tell:
            tell("the aids and their proof")
            workshop = of_corner.workshop
        console().print(f"{corner.title[0].upper()}{corner.title[1:]}:", style="bold")
        print_workshop(console(), workshop)
        failed = failed or bool(workshop.failed)
    with progress() as tell:
        written = write_box(job, out, tell, groups)
    if written.stale:
        click.echo(
            f"Note: made from an earlier state of this recipe, make again: {', '.join(written.stale)}.", err=True
        )
    click.echo(f"{written.count} files in {written.folder}")
    if failed:
        return OUR_FAULT
    return GOOD if job.proof.passes else FAILS_PROOF


def box_row(name: str) -> tuple[str, ...]:
    """A preset for a box, in the list of all."""
    from solids.box_layout import kinds_of_corner
    from solids.box_refusals import lay_out_box
    from solids.lengths import format_both
    from solids.recipe.boxes import read_box

    box = lay_out_box(read_box(name))
    tails = ", ".join(str(len(box.corners[names[0]].layout.tails)) for names in kinds_of_corner(box))
    woods = " / ".join(box.board_of(side).wood.name for side in ("left", "front"))
    return name, "box", tails, format_both(box.recipe.height, box.recipe.units), woods
