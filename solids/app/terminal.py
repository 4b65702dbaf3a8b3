"""Output to a terminal or a pipe: progress, drawings, tables, findings. Nothing is decided here."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import click

from solids.base.safe_text import printable

if TYPE_CHECKING:
    from rich.console import Console

    from solids.aids.catalogue import Workshop
    from solids.base.findings import Finding
    from solids.base.messages import Units
    from solids.bench.comparing import Candidate
    from solids.bench.listing import Rows
    from solids.layout import Layout
    from solids.layout.assembly import Assembly, JointKind
    from solids.layout.box.model import BoxLayout
    from solids.proof.assembly import PieceProof
    from solids.proof.joint.corner import Proof
    from solids.recipe.tables.resolved import Choice

    Numbers = tuple[tuple[str, ...], tuple[Rows, ...], tuple[str, ...]]

DRAWING_WIDTH_MAX = 100
PIPE_WIDTH = 10_000
STYLES = {"fail": "bold red", "warning": "yellow", "pass": "green", "note": "cyan"}
LABELS = {"fail": "FAIL", "warning": "warn", "pass": "pass", "note": "note"}


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Shows the current step on a terminal; shows nothing in a pipe."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.live import Live

    # No refresh thread: work is shared out by forking, and a fork does not copy other threads.
    with Live(console=Console(stderr=True, markup=False), auto_refresh=False, transient=True) as line:
        yield lambda text: line.update(f"{text} ...", refresh=True)


def say(text: str, *, err: bool = False) -> None:
    """Prints a line for people on stdout or stderr. Control characters in names and values are made harmless."""
    click.echo(printable(text), file=sys.stderr if err else sys.stdout)  # click would choose UTF-8 on an ASCII terminal


def print_raw(data: bytes | str) -> None:
    """Prints JSON for another program on stdout, unchanged."""
    click.echo(data, nl=isinstance(data, str))


def draw_code(rows: Sequence[str]) -> None:
    """Draws a code for a phone's camera on a terminal that has its blocks and the room for it, in white on black
    whatever the terminal's own colours. Anywhere else nothing is drawn."""
    from rich.text import Text

    screen = console()
    if not sys.stdout.isatty() or screen.width < len(rows[0]) or not _can_print("".join(rows)):
        return
    for row in rows:
        screen.print(Text(row, style="#ffffff on #000000"), no_wrap=True)


def console() -> Console:
    """A console with colour on a terminal only, none if NO_COLOR is set, and no wrapping in a pipe."""
    from rich.console import Console

    class Screen(Console):
        """A console that removes colours and other terminal commands from any text it prints."""

        def print(self, *objects: Any, **options: Any) -> None:
            super().print(*(_without_terminal_commands(item) for item in objects), **options)

    width = None if sys.stdout.isatty() else PIPE_WIDTH
    return Screen(highlight=False, markup=False, emoji=False, width=width, soft_wrap=width is not None)


def _without_terminal_commands(item: Any) -> Any:
    """Strips terminal commands from a text but keeps its line breaks."""
    return "\n".join(printable(line) for line in item.split("\n")) if isinstance(item, str) else item


@dataclass
class _Told:
    """What stands on the screen already, so that what joints of a piece have in common is told once: chosen values,
    findings, and drawings with their numbers by the title of the joint."""

    choices: list[Choice] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    numbers: dict[str, Numbers] = field(default_factory=dict)


def print_piece(console: Console, assembly: Assembly) -> None:
    """Prints the layout of a piece. For a box, its sizes and cut list come first, then each kind of corner, with what
    is told for it alone."""
    told = _Told()
    if assembly.box is not None:
        _print_box(console, assembly, assembly.box, told)
    for place, kind in enumerate(assembly.kinds):
        if place or assembly.box is not None:
            console.print()
        _print_joint(console, kind, told)


def _print_box(console: Console, piece: Assembly, box: BoxLayout, told: _Told) -> None:
    from solids.base.messages import said
    from solids.bench.worktime import corners_of, time_words
    from solids.layout.box.bottom import bottom_words
    from solids.layout.box.cut_list import TALLIED, cut_list_rows, glue_ups_told
    from solids.layout.box.kinds import box_headline
    from solids.layout.box.lid_words import lid_words, top_words

    console.print(f"{box.recipe.title}: {box_headline(box)}", style="bold")
    console.print()
    print_table(console, *cut_list_rows(box))
    if tallied := TALLIED[box.recipe.units]:
        console.print(tallied)
    if bottom := bottom_words(box):
        console.print(f"\n{said(bottom, box.recipe.units)}")
    if words := glue_ups_told(box):
        console.print(words)
    if lid := lid_words(box):
        console.print(f"\n{said(lid, box.recipe.units)}")
    if top := top_words(box):
        console.print(said(top, box.recipe.units))
    console.print(f"\n{time_words(corners_of(piece))}")
    _print_choices(console, box.recipe.choices, told)


def _print_choices(console: Console, choices: Sequence[Choice], told: _Told) -> None:
    new = [choice for choice in choices if choice not in told.choices]
    told.choices += new
    if new:
        console.print("\nChosen for you, because the recipe leaves it out:")
        for choice in new:
            console.print(f"  {choice.key} = {choice.value}: {choice.why}")


def _print_joint(console: Console, kind: JointKind, told: _Told) -> None:
    """Prints the drawing, the tables, the chosen values and any remarks, but for what is told already."""
    from solids.bench.facts import wood_facts
    from solids.bench.listing import headline
    from solids.bench.place_words import place_words
    from solids.bench.remarks import remarks

    plan = kind.layout
    console.print(headline(plan), style="bold")
    for words in place_words(plan):
        console.print(words)
    console.print()
    numbers = _numbers(plan, min(console.width, DRAWING_WIDTH_MAX))
    if like := next((title for title, known in told.numbers.items() if known == numbers), ""):
        console.print(f"The drawing and all numbers are the same as at the {like}.")
    else:
        told.numbers[kind.title] = numbers
        _print_numbers(console, *numbers)
    # Choices that only concern the printer are shown with the shop aids.
    _print_choices(console, [choice for choice in plan.recipe.choices if not choice.key.startswith("print.")], told)
    new = [finding for finding in (*remarks(plan), *wood_facts(plan)) if finding not in told.findings]
    told.findings += new
    for finding in new:
        console.print()
        _print_finding(console, finding)


def _numbers(plan: Layout, width: int) -> Numbers:
    """The drawing, the tables, and what is said below them."""
    from solids.bench.listing import (
        bench_words,
        board_rows,
        chisel_rows,
        pin_rows,
        raw_end_rows,
        table_words,
        tail_rows,
    )
    from solids.bench.sketch import sketch
    from solids.bench.worktime import time_words

    tables = tuple(rows(plan) for rows in (tail_rows, raw_end_rows, pin_rows, board_rows, chisel_rows))
    below = table_words(plan), *bench_words(plan), time_words([plan])
    return tuple(sketch(plan, width, _charset())), tables, below


def _print_numbers(console: Console, drawing: Sequence[str], tables: Sequence[Rows], below: Sequence[str]) -> None:
    for line in drawing:
        console.print(line, soft_wrap=True)
    console.print()
    for heads, rows in tables:
        print_table(console, heads, rows)
        console.print()
    for line in below:
        console.print(line)


def print_caution(console: Console) -> None:
    """Prints where to find the cautions, as the last line of a command that writes no files."""
    from solids.base.cautions import IN_A_LINE

    console.print(f"\n{IN_A_LINE}")


def print_comparison(console: Console, candidates: list[Candidate]) -> None:
    """Prints one row per layout, and what the columns mean."""
    from solids.bench.comparing import NOTES, compare_heads, compare_notes, compare_tables

    inches = any(c.layout.recipe.units == "in" for c in candidates if c.layout)
    for corners, rows in compare_tables(candidates):
        if corners:
            console.print(f"\n{corners}:", style="bold")
        head, *told = narrowed((compare_heads("in" if inches else "mm"), *rows), console)
        print_table(console, head, told)
    for line in ("", NOTES, *compare_notes(candidates)):
        console.print(line)


def narrowed(table: Sequence[tuple[str, ...]], console: Console) -> Sequence[tuple[str, ...]]:
    """A table as it is, or turned on its side where a terminal is too narrow for it and not for that: no number is then
    broken."""
    turned = list(zip(*table, strict=True))
    widths = [sum(max(map(len, column)) + 1 for column in zip(*rows, strict=True)) for rows in (table, turned)]
    return turned if sys.stdout.isatty() and widths[1] <= console.width < widths[0] else table


def print_workshop(console: Console, workshop: Workshop, units: Units, elsewhere: Mapping[str, str]) -> None:
    """Prints each aid with its checks, where those are that other corners have too (their names and these corners),
    the reason for each aid that is not made, and which to print first."""
    from solids.base.findings import Finding
    from solids.base.messages import message

    for proved in (item for item in workshop.good if item.aid.name not in elsewhere):
        how = proved.print_words or "To mill."
        told = message("{}: {} checks passed. {}", proved.aid.name, len(proved.findings), how)
        _print_finding(console, Finding("aid", "pass", told, units=units))
    for proved in workshop.failed:
        wrong = next(finding for finding in proved.findings if finding.severity == "fail")
        words = f"{proved.aid.name} fails its own proof and is not written. {wrong.said}"
        _print_finding(console, Finding("aid", "fail", words, remedy=wrong.remedy))
    for refusal in workshop.refused:
        why = message("{}: {}", refusal.name, refusal.why)
        _print_finding(console, Finding("aid", "note", why, remedy=refusal.remedy, units=units))
    for corner in dict.fromkeys(elsewhere.values()):
        shared = ", ".join(name for name, other in elsewhere.items() if other == corner)
        _print_finding(console, Finding("aid", "note", f"As at {corner}: {shared}."))
    if workshop.first_words and not elsewhere:
        console.print(workshop.first_words)


def print_proof(console: Console, proof: Proof | PieceProof, what: str = "joint") -> None:
    """Prints all findings, worst first, then the verdict."""
    from solids.base.findings import worst_first

    for finding in worst_first(proof.findings):
        _print_finding(console, finding)
    console.print(f"The {what} goes together." if proof.passes else f"The {what} fails its proof.", style="bold")


def _print_finding(console: Console, finding: Finding) -> None:
    from rich.table import Table
    from rich.text import Text

    label = Text(LABELS[finding.severity], style=STYLES[finding.severity])
    text = finding.words
    if not sys.stdout.isatty():
        console.print(f"{label}  {text}")
        return
    grid = Table.grid(padding=(0, 2))
    grid.add_row(label, printable(text))
    console.print(grid, soft_wrap=False)


def print_table(console: Console, head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> None:
    """Prints a table with a rule under its heads. Cells fold only where the terminal is too narrow."""
    from rich import box
    from rich.table import Table

    lines = box.SIMPLE_HEAD if _charset_has_lines() else box.ASCII2
    table = Table(box=lines, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0))
    for title in head:
        table.add_column(title, overflow="fold", no_wrap=not sys.stdout.isatty())
    for row in rows:
        table.add_row(*map(printable, row))
    console.print(table, soft_wrap=False)


def _can_print(text: str) -> bool:
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return os.environ.get("TERM") != "dumb" or not sys.stdout.isatty()


def _charset() -> Any:
    from solids.bench.sketch import ASCII, BLOCKS

    return BLOCKS if _can_print("█░▌▐") else ASCII


def _charset_has_lines() -> bool:
    return _can_print("─")
