"""The commands of `halfpin`. They read arguments, call, and print; they hold no arithmetic and no geometry.

Results go to stdout, messages to stderr. Anything that needs the geometry kernel is imported inside the command that
needs it, because the kernel takes most of a second to load.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from solids import __version__
from solids.aids.making.names import KIND_NAMES
from solids.app.cli.commands.batch import batch
from solids.app.cli.commands.bench import bench
from solids.app.cli.commands.freezing import freeze
from solids.app.cli.commands.new import new
from solids.app.cli.commands.shop import shop_command
from solids.app.cli.steps.commands import Commands
from solids.app.cli.steps.lists import list_option
from solids.app.cli.steps.pieces import code_of, planned, proved, show_proof, write
from solids.app.cli.steps.recipe_argument import recipe_argument, shop_option
from solids.app.exits import BAD_INPUT, FAILS_PROOF, GOOD
from solids.app.terminal import console, print_caution, print_comparison, print_piece, print_raw, print_table
from solids.base import tolerances as tol
from solids.write.named import BOARD_NAMES

if TYPE_CHECKING:
    from solids.recipe.completing.shop import Shop
    from solids.write.named import Group


def _complete_key(_context: click.Context, _parameter: click.Parameter, typed: str) -> list[str]:
    from solids.recipe.tables.schema import known_keys

    return [f"{key}=" for key in known_keys() if key.startswith(typed)]


SLOPES = "1:6,1:8"
SLOPES_TAKEN = f"from 1:{tol.STEEPEST_RATIO:g} to 1:{tol.FLATTEST_RATIO:g} or in degrees"

set_option = click.option(
    "--set",
    "overrides",
    metavar="KEY=VALUE",
    multiple=True,
    shell_complete=_complete_key,
    help="Override a key of the recipe; may be repeated.",
)
out_option = click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("exports"),
    show_default=True,
    help="The folder in which the joint's own folder is made.",
)
anyway_option = click.option("--anyway", is_flag=True, help="Write the files even if the joint fails its proof.")
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for a script.")


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="halfpin")
def cli() -> None:
    """Exact solids of hand-cut dovetailed corners: a recipe in, a proved joint and its files out.

    RECIPE is a TOML file or the name of a preset (see `halfpin presets`).
    """


@cli.command()
@recipe_argument
@set_option
@shop_option
@json_option
def layout(recipe: str, overrides: tuple[str, ...], shop: Shop, as_json: bool) -> int:
    """Show numbers and a drawing of the joint in the terminal; exit 1 if no hand can cut it."""
    from solids.base.findings import fails
    from solids.bench.remarks import remarks
    from solids.layout.assembly import assembly_of

    piece = assembly_of(planned(recipe, overrides, shop))
    if as_json:
        from solids.write.report import piece_report, report_bytes

        print_raw(report_bytes(piece_report(piece)))
    else:
        screen = console()
        print_piece(screen, piece)
        print_caution(screen)
    return FAILS_PROOF if any(fails(remarks(kind.layout)) for kind in piece.kinds) else GOOD


@cli.command()
@recipe_argument
@set_option
@shop_option
@json_option
def check(recipe: str, overrides: tuple[str, ...], shop: Shop, as_json: bool) -> int:
    """Prove that the joint goes together; exit 1 if it would not."""
    job = proved(planned(recipe, overrides, shop))
    if as_json:
        from solids.write.report import piece_report, report_bytes

        print_raw(report_bytes(piece_report(job.proof.assembly, job.proof)))
    else:
        show_proof(job)
        print_caution(console())
    return code_of(job)


@cli.command()
@recipe_argument
@set_option
@shop_option
@out_option
@anyway_option
@click.option("--paper", is_flag=True, help="Also write the paper for the bench (see `halfpin paper`).")
@click.option("--page", is_flag=True, help="Write a page for turning the joint in a browser, with its model.")
@click.option("--picture", is_flag=True, help="Write a picture of the joint, put together and apart.")
@click.option("--model", is_flag=True, help="Write a GLB model in which the tail board slides home.")
@click.option("--gaps", is_flag=True, help="Write a GLB model whose colours show how faces meet.")
def build(recipe: str, overrides: tuple[str, ...], shop: Shop, out: Path, anyway: bool, **wanted: bool) -> int:
    """Prove the joint, then write its files."""
    wanted["model"] = wanted["model"] or wanted["page"]  # the page offers it for download
    named = ("corner", *(group for group in ("paper", "model", "gaps", "page", "picture") if wanted[group]))
    return write(planned(recipe, overrides, shop), out, cast("tuple[Group, ...]", named), anyway=anyway)


@cli.command()
@recipe_argument
@set_option
@shop_option
@out_option
@anyway_option
@click.option(
    "--size", type=click.Choice(["A4", "Letter", "A3"]), help="The paper in your printer; default: as the recipe says."
)
@click.option(
    "--board",
    type=click.Choice(list(BOARD_NAMES)),
    help="The files of one board instead, as for a repair: its template, and what a machine needs.",
)
def paper(
    recipe: str,
    overrides: tuple[str, ...],
    shop: Shop,
    out: Path,
    anyway: bool,
    *,
    size: str | None,
    board: str | None,
) -> int:
    """Write the booklet, its setup sheet and 1:1 template by themselves, and the shop drawing."""
    overrides = (*overrides, f'paper.size="{size}"') if size else overrides
    groups: tuple[Group, ...] = ("corner", "board") if board else ("paper",)
    return write(planned(recipe, overrides, shop), out, groups, anyway=anyway, board=board)


@cli.command()
@recipe_argument
@set_option
@shop_option
@out_option
@anyway_option
@list_option("--only", "only", ",".join(KIND_NAMES[:2]), "These kinds only", KIND_NAMES)
@list_option("--slope", "slopes", SLOPES, f"Extra marking templates, of slopes {SLOPES_TAKEN}", of="1:N")
@click.option("--sample", is_flag=True, help="Short boards of the joint instead, to print and slide together.")
def aids(
    recipe: str,
    overrides: tuple[str, ...],
    shop: Shop,
    out: Path,
    anyway: bool,
    *,
    only: str,
    slopes: str,
    sample: bool,
) -> int:
    """Make shop aids for this joint, ready to print or mill; a note tells what each is for, and what it takes."""
    from solids.aids.making.asked import asked_for

    asked = asked_for([only] if only else (), slopes, sample=sample)
    return write(planned(recipe, overrides, shop), out, ("aids",), anyway=anyway, asked=asked)


@cli.command()
@recipe_argument
@set_option
@shop_option
@json_option
@list_option("--look", "looks", "fine,stout", "Looks to try", ("fine", "stout"))
@list_option("--tails", "tails", "3,4,5", f"Tail counts to try, from 1 to {tol.MOST_TAILS}", of="N")
@list_option("--slope", "slopes", SLOPES, f"Slopes to try, {SLOPES_TAKEN}", of="1:N")
def compare(
    recipe: str, overrides: tuple[str, ...], shop: Shop, as_json: bool, looks: str, tails: str, slopes: str
) -> int:
    """Compare layouts side by side: strength, how many come out right, chisels, time. By itself it shows both looks."""
    from solids.bench.comparing import compare as compare_layouts
    from solids.bench.comparing import counts_in, looks_in, slopes_in
    from solids.recipe.completing.corner.looks import LOOKS

    asked = looks_in(looks) if looks or tails or slopes else (None, *LOOKS)
    candidates = compare_layouts(recipe, overrides, counts_in(tails), slopes_in(slopes), asked, shop)
    if as_json:
        from solids.write.report.making.comparison import comparison_bytes

        print_raw(comparison_bytes(candidates))
    else:
        print_comparison(console(), candidates)
    return GOOD if any(candidate.layout for candidate in candidates) else BAD_INPUT


@cli.command()
@json_option
def presets(as_json: bool) -> None:
    """List the recipes that ship with the tool."""
    from solids.bench.listing import PIECE_HEADS, piece_row
    from solids.layout.assembly import assembly_of
    from solids.layout.plan import plan
    from solids.recipe import box_preset_names, preset_names

    pieces = {name: assembly_of(plan(name)) for name in (*preset_names(), *box_preset_names())}
    if as_json:
        print_raw(json.dumps([{"name": name, "title": piece.recipe.title} for name, piece in pieces.items()], indent=2))
        return
    print_table(console(), PIECE_HEADS, [(name, *piece_row(piece)) for name, piece in pieces.items()])


@cli.command()
@json_option
@shop_option
def woods(as_json: bool, shop: Shop) -> None:
    """List your own woods and those that ship with the tool."""
    from solids.bench.listing import WOOD_HEADS, WOOD_WORDS, wood_rows
    from solids.wood import WOODS

    known = (*shop.woods, *WOODS)
    if as_json:
        from solids.write.report import wood_record

        print_raw(json.dumps([wood_record(wood).model_dump(mode="json") for wood in known], indent=2))
        return
    screen = console()
    print_table(screen, WOOD_HEADS, wood_rows(known))
    for line in WOOD_WORDS:
        screen.print(line)


@cli.command(short_help="Print the JSON Schema of a recipe, of shop.toml or of report.json.")
@click.argument("what", type=click.Choice(["recipe", "shop", "report", "box-report"]), default="recipe")
def schema(what: str) -> None:
    """Print the JSON Schema of a recipe or of shop.toml (for an editor), or of report.json."""
    from solids.recipe import recipe_schema
    from solids.recipe.tables.schema import shop_schema
    from solids.write.report import BoxReport, report_schema

    schemas: dict[str, Callable[[], object]] = {
        "recipe": recipe_schema,
        "shop": shop_schema,
        "report": report_schema,
        "box-report": partial(report_schema, BoxReport),
    }
    print_raw(json.dumps(schemas[what](), indent=2))


cli.add_command(batch)
cli.add_command(bench)
cli.add_command(freeze)
cli.add_command(new)
cli.add_command(shop_command)
