"""What the documents say is true: commands run, examples build, tables name what is there."""

from __future__ import annotations

import math
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from solids.app.cli import cli
from solids.layout import lay_out
from solids.layout.box.opening import room_in
from solids.layout.box.refusals import lay_out_box
from solids.recipe import parse_recipe, preset_names, read_recipe
from solids.recipe.text.reading import check_box
from solids.recipe.text.toml import parse_toml
from solids.write.named import DIVIDERS, NAMED
from tests.commands import halfpin

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def blocks(language: str, text: str = README) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", text, flags=re.DOTALL)


def test_the_readme_holds_its_two_commands_each_one_line() -> None:
    first, second = blocks("sh")[0].splitlines()
    assert first.startswith("python3 -m venv .venv && .venv/bin/pip install -c constraints.txt -e ")
    assert first.endswith(".venv/bin/halfpin build tool-tray")
    assert second == ".venv/bin/pytest"


def test_the_readme_recipe_is_accepted_and_asks_for_no_more_than_it_says() -> None:
    corner, uneven, box, chest, lid, lining, hinge, lift_off, dividers, stock, marker = (
        block for block in blocks("toml") if "[opening]" not in block and "[box.front.lip]" not in block
    )
    assert lay_out(parse_recipe(corner)).width == 96
    boards = "[tail_board]\nthickness = 10\n[pin_board]\nthickness = 12\n"
    placed = lay_out(parse_recipe(f"{uneven}\n{boards}"))
    assert (placed.ratios[-1], placed.tails[2].is_half) == (math.inf, True)
    assert lay_out_box(check_box(parse_toml(box, "the README"))).outside == (240, 160)
    divided = lay_out_box(check_box(parse_toml(f"{box}\n{dividers}", "the README"))).recipe.dividers
    assert [(each.runs, each.at, each.joint) for each in divided] == [
        ("across", 70, "housing"),
        ("across", 140, "sliding dovetail"),
        ("along", (136 - divided[2].thickness) / 2, "housing"),
    ]
    panel = lay_out_box(check_box(parse_toml(chest, "the README"))).recipe.panel
    assert (panel.edge, panel.tongue, panel.thickness, panel.face) == ("fielded", 6, 10, "upper face")
    assert lay_out_box(check_box(parse_toml(lid, "the README"))).recipe.closed_height == 138
    lined = lay_out_box(check_box(parse_toml(f"{lid}\n{lining}", "the README"))).recipe.lid
    assert lined is not None
    assert lined.lining is not None
    assert lined.lining.stands == 5
    hung = lay_out_box(check_box(parse_toml(f"{lid}\n{hinge}", "the README"))).recipe.lid
    assert hung is not None
    assert hung.hinge is not None
    assert hung.hinge.count == 2
    board = lay_out_box(check_box(parse_toml(f"{box}\n{lift_off}", "the README"))).recipe.lid_board
    assert board is not None
    assert (board.kind, board.drop, board.overhang) == ("lift off", 6, 3)
    rack = check_box(parse_toml(f"{box}\n{stock}", "the README")).rack
    assert (rack.kerf, rack.grain, [board.count for board in rack.boards]) == (3, "round", [1, 2])
    asked = parse_recipe(f"{corner}\n{marker}").marker
    assert (asked.body, asked.slopes, asked.words) == ("waisted", (6.0, 8.0), "my name")


def test_the_readme_drawer_goes_into_its_opening() -> None:
    (drawer,) = (block for block in blocks("toml") if "[opening]" in block)
    box = lay_out_box(check_box(parse_toml(drawer, "the README")))
    assert box.recipe.opening is not None
    assert room_in(box, box.recipe.opening).damp == pytest.approx(box.recipe.opening.play)
    (lip,) = (block for block in blocks("toml") if "[box.front.lip]" in block)
    lipped = lay_out_box(check_box(parse_toml(f"{drawer}\n{lip}", "the README"))).recipe.lip
    assert (lipped.long, lipped.high, lipped.thickness) == (19, 9.5, 8)


@pytest.mark.whole
def test_the_readme_python_runs() -> None:
    """The first block; `tests/cadquery/` runs the second and looks at what it makes."""
    code, _ = blocks("python")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("True")


def commands() -> list[list[str]]:
    lines = [line.partition("#")[0].strip() for block in blocks("sh") for line in block.splitlines()]
    return [line.split() for line in lines if re.match(r"halfpin (layout|check) tool-tray", line)]


@pytest.mark.parametrize("words", commands(), ids=" ".join)
def test_readme_commands_run(words: list[str]) -> None:
    arguments = " ".join(words[1:])
    parts = [part.strip('"') for part in re.findall(r'"[^"]*"|\S+', arguments)]
    done = halfpin(*parts)
    assert done.returncode == 0, done.stderr


def test_readme_commands_are_found() -> None:
    assert len(commands()) == 2


def test_the_readme_names_every_command_and_every_file() -> None:
    for name in cli.commands:
        assert f"`halfpin {name}" in README
    for name, rows in NAMED.items():
        is_told_by_first = Path(name).stem in DIVIDERS[1:]
        if not is_told_by_first and (rows[0].scope != "board" or "corner" in rows[0].of):
            assert f"`{name}`" in README or _is_in_row_of_boards(name), name


def _is_in_row_of_boards(name: str) -> bool:
    """Whether the row of the README that tells of all boards of a box names this one, and its ending."""
    (row,) = (line for line in README.splitlines() if line.startswith("| `boards/front.step`"))
    board, ending = Path(name).stem, Path(name).suffix
    has_ending = ending == ".step" or f"`{ending}`" in row
    return name.startswith("boards/") and has_ending and (board == "front" or f"`{board}`" in row)


def test_the_picture_of_the_readme_is_there() -> None:
    for path in re.findall(r"!\[[^]]*\]\(([^)]+)\)", README):
        assert (ROOT / path).stat().st_size > 5000


def test_every_room_stands_in_the_developers_page() -> None:
    for path in (ROOT / "solids").glob("*"):
        if path.name.startswith("_") or path.suffix not in ("", ".py"):
            continue
        assert f"`{path.name}{'/' if path.is_dir() else ''}`" in DEVELOPERS, path.name


def test_constraints_pin_by_name_and_version_and_hold_no_address() -> None:
    lines = (ROOT / "constraints.txt").read_text("utf-8").splitlines()
    pins = [line for line in lines if line and not line.startswith("#")]
    assert all(re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.+!]+", line) for line in pins)
    names = {re.sub(r"[-_.]+", "-", line.partition("==")[0].lower()) for line in pins}
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    for requirement in [*project["dependencies"], *project["optional-dependencies"]["test"]]:
        assert re.match(r"[A-Za-z0-9-]+", requirement)[0].lower() in names
    assert "ocp" not in names


def test_presets_differ_in_kind_wood_units_and_spacing() -> None:
    recipes = [read_recipe(name) for name in preset_names()]
    assert len(recipes) >= 6
    assert {recipe.kind for recipe in recipes} == {"through", "half-blind"}
    assert {recipe.units for recipe in recipes} == {"mm", "in"}
    assert {recipe.spacing for recipe in recipes} == {"even", "graduated", "listed"}
    assert {recipe.finish.ends for recipe in recipes} == {"flush", "proud"}
    assert len({recipe.tail_board.wood.name for recipe in recipes}) >= 5
    assert len({recipe.slug for recipe in recipes}) == len(recipes)
    assert {recipe.title.replace(" ", "-") for recipe in recipes} >= {"tool-tray", "drawer-front"}
