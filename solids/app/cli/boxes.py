"""What the commands do with a recipe for a whole box."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, cast

from solids.app.cli.exits import FAILS_PROOF, GOOD, OUR_FAULT
from solids.app.cli.loading import kernel_loading
from solids.app.cli.written import tell_written
from solids.app.terminal import (
    console,
    hand_out,
    print_caution,
    print_layout,
    print_proof,
    print_table,
    print_workshop,
    progress,
    say,
)
from solids.base.errors import InputError, JointError

if TYPE_CHECKING:
    from solids.aids.asked import AidsAsked
    from solids.layout import Layout
    from solids.layout.box import BoxLayout
    from solids.proof.box import BoxProof
    from solids.write.box.files import BoxJob
    from solids.write.job import Group

NOT_OF_A_BOX = ("gaps",)
"""What shows one corner only."""


def box_of(recipe: str, overrides: Iterable[str]) -> BoxLayout | None:
    """The box that a recipe lays out; None where it is for a single corner."""
    from solids.recipe.boxes import is_box, raw_recipe

    raw, problems = raw_recipe(recipe, overrides)
    if not is_box(raw):
        return None  # whoever reads it as a corner tells what is wrong with the overrides, and with the rest
    from solids.layout.plan import plan_of

    box = cast("BoxLayout", plan_of(raw, problems))
    for notice in box.recipe.notices:
        say(f"Note: {notice}.", err=True)
    return box


def code_of(plans: Iterable[Layout]) -> int:
    """How `halfpin layout` ends: badly where a joint cannot be cut."""
    from solids.base.findings import fails
    from solids.bench.remarks import remarks

    return FAILS_PROOF if any(fails(remarks(plan)) for plan in plans) else GOOD


def show_box(box: BoxLayout, *, as_json: bool) -> int:
    """`halfpin layout`: sizes, cut list and each kind of corner, in the terminal; or the report without a proof."""
    from solids.layout.box import box_headline, kinds_of_corner, shown_layout
    from solids.layout.box_bottom import bottom_words
    from solids.layout.cut_list import cut_list_rows, glue_up_words

    plans = [shown_layout(box, names) for names in kinds_of_corner(box)]
    if as_json:
        from solids.write.box.report import make_layout_report
        from solids.write.report import report_bytes

        hand_out(report_bytes(make_layout_report(box)))
        return code_of(plans)
    screen = console()
    screen.print(f"{box.recipe.title}: {box_headline(box)}", style="bold")
    screen.print()
    print_table(screen, *cut_list_rows(box))
    if bottom := bottom_words(box):
        screen.print(f"\n{bottom}")
    if words := glue_up_words(box):
        screen.print(words)
    if box.recipe.choices:
        screen.print("\nChosen for you, because the recipe leaves it out:")
        for choice in box.recipe.choices:
            screen.print(f"  {choice.key} = {choice.value}: {choice.why}")
    for plan in plans:
        screen.print()
        print_layout(screen, plan)
    print_caution(screen)
    return code_of(plans)


def prove_it(box: BoxLayout) -> BoxJob:
    """The box made and proved."""
    with progress() as tell:
        tell("loading the geometry kernel")
        with kernel_loading():
            from solids.write.box.files import prove_box_layout

        tell("the proof")
        return prove_box_layout(box)


def check_it(box: BoxLayout, *, as_json: bool) -> int:
    """`halfpin check`."""
    proof = prove_it(box).proof
    if as_json:
        from solids.write.box.report import make_box_report
        from solids.write.report import report_bytes

        hand_out(report_bytes(make_box_report(proof)))
    else:
        screen = console()
        print_proof(screen, proof, "box")
        print_caution(screen)
    return GOOD if proof.passes else FAILS_PROOF


def live_page(box: BoxLayout, version: int) -> tuple[bytes, BoxProof]:
    """`halfpin watch`: the page of the box as it is now, and its proof."""
    job = prove_it(box)
    from solids.write.box.page import box_page_bytes

    return box_page_bytes(job.proof, job.scene, (), live=version), job.proof


def write_it(
    box: BoxLayout, out: Path, groups: tuple[Group, ...], *, anyway: bool, asked: AidsAsked | None = None
) -> int:
    """`halfpin build`, `paper` and `aids`: the files of some groups. `asked` says which aids."""
    wrong = [group for group in groups if group in NOT_OF_A_BOX]
    if wrong:
        raise InputError(f"--{wrong[0]} shows a single corner; leave it out, or leave out the table [box]")
    job = replace(prove_it(box), aids=asked)
    if "corner" in groups or not job.proof.passes:
        print_proof(console(), job.proof, "box")
    if not job.proof.passes and not anyway:
        raise JointError("Nothing was written, because the box fails its proof. Mend it, or add --anyway.")
    from solids.write.box.files import write_box

    all_pass = _aids_pass(job) if "aids" in groups else True
    with progress() as tell:
        written = write_box(job, out, tell, groups)
    tell_written(written)
    if not all_pass:
        return OUR_FAULT
    return GOOD if job.proof.passes else FAILS_PROOF


def _aids_pass(job: BoxJob) -> bool:
    """Makes the aids of each kind of corner and shows them; whether all pass their own proof. InputError where none
    could be made."""
    workshops = []
    for corner, of_corner in job.corners:
        with progress() as tell:
            tell("the aids and their proof")
            workshops.append(of_corner.workshop)
        console().print(f"{corner.heading}:", style="bold")
        print_workshop(console(), of_corner.workshop)
    if not any(workshop.good for workshop in workshops):
        raise InputError("No shop aid could be made; the reasons stand above")
    return not any(workshop.failed for workshop in workshops)


def box_row(name: str) -> tuple[str, ...]:
    """A preset for a box, in the list of all."""
    from solids.base.lengths import format_both
    from solids.layout.box import kinds_of_corner
    from solids.layout.box_refusals import lay_out_box
    from solids.recipe.boxes import read_box

    box = lay_out_box(read_box(name))
    tails = ", ".join(dict.fromkeys(str(len(box.corners[names[0]].layout.tails)) for names in kinds_of_corner(box)))
    woods = " / ".join(box.board_of(side).wood.name for side in ("left", "front"))
    return name, "box", tails, format_both(box.recipe.height, box.recipe.units), woods
