"""`halfpin batch`: many joints in one run."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

import click

from solids.app.cli.steps.lists import list_option
from solids.app.cli.steps.recipe_argument import shop_option
from solids.app.exits import BAD_INPUT, FAILS_PROOF, GOOD, OUR_FAULT, STOPPED
from solids.app.terminal import say
from solids.base.messages import counted
from solids.write.named import GROUPS

if TYPE_CHECKING:
    from solids.app.batch.ledger import Ledger
    from solids.app.batch.tasks import Task
    from solids.app.batch.worker import Outcome
    from solids.recipe.completing.shop import Shop

CODES = {"passes": GOOD, "fails": FAILS_PROOF, "refused": BAD_INPUT, "crashed": OUR_FAULT, "too slow": OUR_FAULT}
BAD_LISTED = 20
"""How many joints with problems are listed in the terminal; the index lists all."""


@click.command()
@click.argument("source")
@click.option("--base", default="tool-tray", metavar="RECIPE", help="The recipe that a table's rows change.")
@click.option("--out", type=click.Path(path_type=Path), default=Path("exports"), help="The folder for all the files.")
@click.option("--set", "overrides", multiple=True, metavar="KEY=VALUE", help="Change a key of every joint.")
@shop_option
@click.option("--grid", "grids", multiple=True, metavar="KEY=A,B,C", help="Make every joint once for each value.")
@list_option("--files", "files", "corner,paper", "Files to write, by name, or whole groups", GROUPS, default="corner")
@click.option("--check", "check_only", is_flag=True, help="Prove only; write nothing but the index.")
@click.option("--anyway", is_flag=True, help="Also write joints that fail their proof.")
@click.option("--resume", is_flag=True, help="Continue an earlier run into this folder.")
@click.option("--jobs", type=click.IntRange(1, 1024), default=None, help="Processes to use; default: one per core.")
@click.option("--limit", type=click.FloatRange(1.0), default=120.0, help="The most seconds one joint may take.")
@click.option("--cluster", default="", metavar="ADDRESS", help="A running Dask scheduler to hand the work to.")
def batch(  # noqa: PLR0913, PLR0917  one for each option
    source: str,
    base: str,
    out: Path,
    overrides: tuple[str, ...],
    shop: Shop,
    grids: tuple[str, ...],
    files: str,
    check_only: bool,
    anyway: bool,
    resume: bool,
    jobs: int | None,
    limit: float,
    cluster: str,
) -> int:
    """Many joints in one run: a folder of recipes, or a table (CSV) with a base recipe.

    Exit 0 if all pass, 1 if any fails its proof, 2 if any is refused, 3 if any hits a fault of ours.
    """
    from solids.app.batch.ledger import Ledger
    from solids.app.batch.run import executor_for, outcomes
    from solids.app.batch.tasks import tasks_from
    from solids.base.parallel import cores
    from solids.write.publishing.claim import claimed
    from solids.write.publishing.publish import as_file_errors

    tasks = tasks_from(source, base, overrides, grids, tuple(dict.fromkeys(files.split(","))), shop)
    found: dict[str, Outcome] = {}
    stopped = False
    with ExitStack() as stack:
        with as_file_errors(out):
            stack.enter_context(claimed(out))
        ledger = stack.enter_context(closing(Ledger(out)))
        try:
            found = _reusable(tasks, ledger, check_only=check_only, anyway=anyway) if resume else {}
            _tell_earlier(out, len(ledger.kept), len(found), resume=resume)
            left = [task for task in tasks if task.origin not in found]
            workers = jobs or min(cores(), max(len(left), 1))
            needed = any(not task.wrong for task in left)
            with (
                _progress(len(left)) as tell,
                executor_for(cluster, workers, limit) if needed else nullcontext() as crew,
            ):
                for outcome in outcomes(left, crew, check_only=check_only, anyway=anyway):
                    found[outcome.origin] = ledger.put(outcome)
                    tell(found[outcome.origin])
        except KeyboardInterrupt:
            stopped = True
        told = [found[task.origin] for task in tasks if task.origin in found]
        return _end(told, len(tasks), ledger, stopped=stopped)


def _reusable(tasks: Sequence[Task], ledger: Ledger, *, check_only: bool, anyway: bool) -> dict[str, Outcome]:
    """The outcomes of an earlier run that still hold, by the origin of their task."""
    found = {}
    for task in tasks:
        earlier = None if task.wrong else ledger.still_good(task, check_only=check_only, anyway=anyway)
        if earlier:
            found[task.origin] = earlier
    return found


def _tell_earlier(out: Path, earlier: int, kept: int, *, resume: bool) -> None:
    """Says what an earlier run left in the folder, and what happens to it."""
    if resume and kept:
        say(f"{counted(kept, 'joint')} {'is' if kept == 1 else 'are'} already done.", err=True)
    elif earlier and not resume:
        say(
            f"{out} holds {counted(earlier, 'joint')} of an earlier run. Those in this run are made again; "
            "with --resume, unchanged ones are kept.",
            err=True,
        )


def _end(outcomes: Sequence[Outcome], count: int, ledger: Ledger, *, stopped: bool) -> int:
    """Writes the index, prints a summary, and returns the exit code."""
    from solids.app.batch.index import csv_bytes, html_bytes, summary

    out = ledger.folder
    ledger.put_index({"index.csv": csv_bytes(outcomes, out), "index.html": html_bytes(outcomes, out)})
    bad = [outcome for outcome in outcomes if outcome.verdict != "passes"]
    for outcome in bad[:BAD_LISTED]:
        say(f"{outcome.verdict}: {outcome.title} ({outcome.origin}): {outcome.message}", err=True)
    if len(bad) > BAD_LISTED:
        say(f"and {len(bad) - BAD_LISTED} more; see index.csv.", err=True)
    say(f"{len(outcomes)} of {counted(count, 'joint')}: {summary(outcomes)}. The list is {out / 'index.html'}.")
    if stopped:
        say("Stopped. Finished joints are complete; --resume continues.", err=True)
        return STOPPED
    return max((CODES[outcome.verdict] for outcome in outcomes), default=GOOD)


@contextmanager
def _progress(total: int) -> Iterator[Callable[[Outcome], None]]:
    """Shows joints done, problems, speed and time left on a terminal; shows nothing in a pipe."""
    if not sys.stderr.isatty() or not total:
        yield lambda _: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    words = TextColumn("{task.fields[bad]} with problems, {task.fields[rate]}")
    columns = (MofNCompleteColumn(), BarColumn(), words, TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        number = bar.add_task("", total=total, bad=0, rate="starting")
        bad = 0

        def tell(outcome: Outcome) -> None:
            nonlocal bad
            bad += outcome.verdict != "passes"
            speed = bar.tasks[0].speed
            bar.update(number, advance=1, bad=bad, rate=f"{speed:.1f} joints a second" if speed else "")

        yield tell
