"""The command `halfpin`: reads arguments, calls, prints, and knows the exit codes. No arithmetic and no geometry.

Exit 0 good, 1 the joint fails its proof, 2 bad input or a file that cannot be read or written, 3 a fault of ours.
Results go to stdout, talk to stderr. Whatever needs the geometry kernel is imported inside the command that needs it,
because the kernel takes most of a second to load.
"""

from __future__ import annotations

import gc
import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from solids import __version__
from solids.errors import FaultError, FileError, HalfpinError, JointError, RecipeError

if TYPE_CHECKING:
    from rich.console import Console

    from solids.fit import Proof
    from solids.layout import Layout
    from solids.write.table import Job

GOOD, FAILS_PROOF, BAD_INPUT, OUR_FAULT, STOPPED = 0, 1, 2, 3, 130

DRAWING_WIDEST = 100
PIPE_WIDTH = 10_000
STYLES = {"fail": "bold red", "warning": "yellow", "pass": "green"}
LABELS = {"fail": "FAIL", "warning": "warn", "pass": "pass"}

recipe_argument = click.argument("recipe", metavar="RECIPE")
set_option = click.option(
    "--set", "overrides", metavar="KEY=VALUE", multiple=True, help="Override a key of the recipe; may be repeated."
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for a script.")


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="halfpin")
def cli() -> None:
    """Exact solids of hand-cut dovetailed corners: recipe in, proved joint and files out.

    RECIPE is a TOML file or the name of a preset (see `halfpin presets`).
    """


@cli.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--preset", default="tool-tray", show_default=True, help="The preset to start from.")
def new(file: Path, preset: str) -> None:
    """Write a starter recipe, with a comment for every key."""
    from solids.recipe.starter import starter_text

    text = starter_text(preset)
    try:
        with file.open("x", encoding="utf-8") as handle:
            handle.write(text)
    except FileExistsError:
        raise FileError(f"{file} is there already and was left alone; give another name") from None
    except (OSError, ValueError) as err:
        raise FileError(f"{file} cannot be written: {_reason(err)}") from None
    click.echo(f"Wrote {file}. Change it, then try: halfpin layout {file}", err=True)


@cli.command()
@recipe_argument
@set_option
@json_option
def layout(recipe: str, overrides: tuple[str, ...], as_json: bool) -> None:
    """Numbers and a drawing of the joint in the terminal."""
    from solids.write.report import make_report, report_bytes

    plan = _lay_out(recipe, overrides)
    if as_json:
        click.echo(report_bytes(make_report(plan)), nl=False)
        return
    _print_layout(_console(), plan)


@cli.command()
@recipe_argument
@set_option
@json_option
def check(recipe: str, overrides: tuple[str, ...], as_json: bool) -> int:
    """Prove that the joint goes together; exit 1 if it would not."""
    job = _prove(recipe, overrides)
    from solids.write.report import make_report, report_bytes

    if as_json:
        click.echo(report_bytes(make_report(job.layout, job.proof)), nl=False)
    else:
        _print_proof(_console(), job.proof)
    return GOOD if job.proof.passes else FAILS_PROOF


@cli.command()
@recipe_argument
@set_option
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("exports"),
    show_default=True,
    help="The folder that the joint's own folder goes into.",
)
@click.option("--anyway", is_flag=True, help="Write the files though the joint fails its proof.")
def build(recipe: str, overrides: tuple[str, ...], out: Path, anyway: bool) -> int:
    """Prove the joint, then write its files."""
    job = _prove(recipe, overrides)
    from solids.write.table import FILES, write_files

    _print_proof(_console(), job.proof)
    if not job.proof.passes and not anyway:
        raise JointError("Nothing was written, because the joint fails its proof. Mend it, or add --anyway.")
    with _progress() as progress:
        folder = write_files(job, out, progress)
    click.echo(f"{len(FILES) + 1} files in {folder}")
    return GOOD if job.proof.passes else FAILS_PROOF


@cli.command()
@json_option
def presets(as_json: bool) -> None:
    """List the recipes that ship with the tool."""
    from solids.layout import lay_out
    from solids.lengths import format_both
    from solids.recipe import preset_names, read_recipe

    plans = {name: lay_out(read_recipe(name)) for name in preset_names()}
    if as_json:
        click.echo(json.dumps([{"name": name, "title": plan.recipe.title} for name, plan in plans.items()], indent=2))
        return
    rows = [
        (
            name,
            plan.recipe.kind,
            str(len(plan.tails)),
            format_both(plan.width, plan.recipe.units),
            _woods_of(plan),
        )
        for name, plan in plans.items()
    ]
    _print_table(_console(), ("preset", "kind", "tails", "width", "tail board / pin board"), rows)


@cli.command()
@json_option
def woods(as_json: bool) -> None:
    """List the woods that ship with the tool."""
    from solids.wood import WOODS

    if as_json:
        fields = ("name", "botanical", "kind", "source")
        plain = [{**{f: getattr(wood, f) for f in fields}, "density_kg_m3": wood.density} for wood in WOODS]
        click.echo(json.dumps(plain, indent=2))
        return
    rows = [(wood.name, wood.botanical, wood.kind, f"{wood.density:.0f} kg/m3") for wood in WOODS]
    console = _console()
    _print_table(console, ("wood", "botanical name", "kind", "density"), rows)
    console.print(f"\nDensity at 12 % moisture, from {WOODS[0].source}.")


@cli.command()
@click.argument("what", type=click.Choice(["recipe", "report"]), default="recipe")
def schema(what: str) -> None:
    """Print the JSON Schema of a recipe (for an editor) or of report.json."""
    from solids.recipe import recipe_schema
    from solids.write.report import report_schema

    click.echo(json.dumps(recipe_schema() if what == "recipe" else report_schema(), indent=2))


# --- steps that commands share -------------------------------------------------------------------


def _lay_out(recipe: str, overrides: Iterable[str]) -> Layout:
    from solids.layout import complete, lay_out
    from solids.recipe import read_recipe

    try:
        plan = lay_out(read_recipe(recipe, overrides))
    except RecipeError as err:
        raise complete(err) from None
    for notice in plan.recipe.notices:
        click.echo(f"Note: {notice}.", err=True)
    return plan


def _prove(recipe: str, overrides: Iterable[str]) -> Job:
    plan = _lay_out(recipe, overrides)
    with _progress() as progress:
        progress("loading the geometry kernel")
        with _collector_paused():
            from solids.write.table import prove_layout

        progress("the proof")
        return prove_layout(plan)


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Loading the kernel makes a great many objects that live as long as the process. Looking through them for garbage,
    then and at each later collection, costs a sixth of the load time and finds none."""
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()


@contextmanager
def _progress() -> Iterator[Callable[[str], None]]:
    """Shows what is being done on a terminal, and nothing in a pipe."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console

    console = Console(stderr=True)
    with console.status("") as status:
        yield lambda text: status.update(f"{text} ...")


# --- printing ------------------------------------------------------------------------------------


def _console() -> Console:
    """Colour on a terminal only, none where NO_COLOR is set, never wrapped in a pipe."""
    from rich.console import Console

    width = None if sys.stdout.isatty() else PIPE_WIDTH
    return Console(highlight=False, markup=False, emoji=False, width=width, soft_wrap=width is not None)


def _print_layout(console: Console, plan: Layout) -> None:
    from solids.listing import board_rows, headline, pin_rows, tail_rows
    from solids.remarks import remarks
    from solids.sketch import sketch

    recipe = plan.recipe
    console.print(headline(plan), style="bold")
    console.print()
    for line in sketch(plan, min(console.width, DRAWING_WIDEST), _charset()):
        console.print(line, soft_wrap=True)
    console.print()
    _print_table(console, *tail_rows(plan))
    console.print()
    _print_table(console, *pin_rows(plan))
    console.print()
    _print_table(console, *board_rows(plan))
    if recipe.choices:
        console.print("\nChosen for you, because the recipe leaves it out:")
        for choice in recipe.choices:
            console.print(f"  {choice.key} = {choice.value}: {choice.rule}")
    for finding in remarks(plan):
        console.print()
        _print_finding(console, finding)


def _print_proof(console: Console, proof: Proof) -> None:
    from solids.findings import worst_first

    for finding in worst_first(proof.findings):
        _print_finding(console, finding)
    verdict = "The joint goes together." if proof.passes else "The joint fails its proof."
    console.print(verdict, style="bold")


def _print_finding(console: Console, finding: Any) -> None:
    from rich.table import Table
    from rich.text import Text

    label = Text(LABELS[finding.severity], style=STYLES[finding.severity])
    text = finding.sentence + (f" {finding.remedy}" if finding.remedy else "")
    if not sys.stdout.isatty():
        console.print(f"{label}  {text}")
        return
    grid = Table.grid(padding=(0, 2))
    grid.add_row(label, text)
    console.print(grid, soft_wrap=False)


def _print_table(console: Console, head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> None:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD if _charset_has_lines() else box.ASCII2, pad_edge=False, show_edge=False)
    for title in head:
        table.add_column(title, no_wrap=True)
    for row in rows:
        table.add_row(*row)
    console.print(table, soft_wrap=False)


def _can_print(text: str) -> bool:
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return os.environ.get("TERM") != "dumb" or not sys.stdout.isatty()


def _charset() -> Any:
    from solids.sketch import ASCII, BLOCKS

    return BLOCKS if _can_print("█░▌▐") else ASCII


def _charset_has_lines() -> bool:
    return _can_print("─")


def _woods_of(plan: Layout) -> str:
    recipe = plan.recipe
    return f"{recipe.tail_board.wood.name} / {recipe.pin_board.wood.name}"


def _reason(err: Exception) -> str:
    return getattr(err, "strerror", None) or str(err)


# --- the way out -----------------------------------------------------------------------------------


def main() -> None:
    """The entry point: runs a command and turns every outcome into an exit code, with no traceback."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        code = _run()
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read us has gone; leave nothing for Python to flush at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = BAD_INPUT
    sys.exit(code)


def _run() -> int:
    try:
        return int(cli.main(prog_name="halfpin", standalone_mode=False) or GOOD)
    except BrokenPipeError:
        raise
    except click.Abort:
        click.echo("Stopped. What stood in the output folder is unchanged.", err=True)
        return STOPPED
    except click.ClickException as err:
        err.show()
        return BAD_INPUT
    except Exception as err:
        return _explain(err)


def _explain(err: Exception) -> int:
    """Says what went wrong on stderr and gives the exit code for it."""
    text = str(err)
    if isinstance(err, JointError):
        click.echo(text, err=True)
        return FAILS_PROOF
    if isinstance(err, HalfpinError) and not isinstance(err, FaultError):
        click.echo(f"Errors:\n{text}" if "\n" in text else f"Error: {text}", err=True)
        return BAD_INPUT
    line = " ".join(text.split())[:300]
    click.echo(
        f"A fault of ours in halfpin {__version__}: {type(err).__name__}: {line}. "
        "Please report this line together with the recipe.",
        err=True,
    )
    return OUR_FAULT
