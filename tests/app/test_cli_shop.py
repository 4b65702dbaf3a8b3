"""`halfpin shop`, and a shop behind every command, as a maker meets them."""

from __future__ import annotations

import csv
import json
import tomllib
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from solids.app.batch.tasks import tasks_from
from solids.app.cli import cli
from solids.app.recipe_files import write_over
from solids.base.errors import FileError
from solids.recipe import preset_text
from solids.recipe.text.shop_file import SETTINGS, shop_of
from tests import commands
from tests.app.desk.running import GENEROUS, bench
from tests.app.desk.stand_ins import waited
from tests.commands import names_below
from tests.recipes import MINIMAL

OWN = """\
# mine
[kit]
chisels = [5, 7]
[climate]
shop = "16 C, 60 %"
[print]
nozzle = 0.6
[woods]
plum = { kind = "hardwood", density = 750 }
"""


class Maker:
    """A maker with settings of their own, who works in a folder."""

    def __init__(self, place: Path, text: str | None = OWN) -> None:
        self.settings, self.folder = place / "settings", place / "bench"
        self.folder.mkdir()
        self.file = self.settings / "shop.toml"
        self.run = partial(commands.halfpin, cwd=self.folder, **{SETTINGS: str(self.settings)})
        if text is not None:
            self.settings.mkdir()
            self.file.write_text(text)

    def good(self, *arguments: str) -> str:
        done = self.run(*arguments)
        assert done.returncode == 0, done.stderr
        return done.stdout

    def refused(self, *arguments: str) -> str:
        done = self.run(*arguments)
        assert (done.returncode, done.stdout) == (2, ""), done.stderr
        return done.stderr


@pytest.fixture
def maker(tmp_path: Path) -> Maker:
    return Maker(tmp_path)


# --- the command ---------------------------------------------------------------------------------


def test_it_shows_what_is_set_and_where(maker: Maker) -> None:
    shown = maker.good("shop")
    assert shown.splitlines()[0] == f"# {maker.file}"
    assert tomllib.loads(shown) == tomllib.loads(OWN)
    assert '# paper.size = "A4"' in shown
    told = json.loads(maker.good("shop", "--json"))
    assert told == {"file": str(maker.file), "is_there": True, "settings": tomllib.loads(OWN)}


def test_where_nothing_is_set_it_says_how(tmp_path: Path) -> None:
    maker = Maker(tmp_path, None)
    shown = maker.good("shop")
    assert "is not there yet; `halfpin shop --set KEY=VALUE` makes it" in shown
    assert tomllib.loads(shown) == {}
    assert not maker.settings.exists(), "looking makes nothing"
    done = maker.run("shop", "--set", "kit.chisels=[6, 12]", "--set", 'climate.home="21 C, 35 %"')
    assert (done.returncode, done.stderr) == (0, f"Wrote {maker.file}.\n")
    assert tomllib.loads(done.stdout) == tomllib.loads(maker.file.read_text())
    assert maker.file.read_text() == '[kit]\nchisels = [6, 12]\n\n[climate]\nhome = "21 C, 35 %"\n'
    assert names_below(maker.settings) == {"shop.toml"}


def test_it_changes_one_line_and_keeps_the_others(maker: Maker) -> None:
    maker.file.chmod(0o640)
    maker.good("shop", "--set", "kit.chisels=[6]", "--unset", "print.nozzle")
    assert maker.file.read_text() == OWN.replace("[5, 7]", "[6]").replace("nozzle = 0.6\n", "")
    assert maker.file.stat().st_mode & 0o777 == 0o640
    before = maker.file.stat()
    done = maker.run("shop", "--set", "kit.chisels=[6]")
    assert (done.returncode, "was left unchanged" in done.stderr) == (0, True)
    assert maker.file.stat().st_mtime_ns == before.st_mtime_ns


def test_a_bad_value_is_refused_and_nothing_is_written(maker: Maker) -> None:
    said = maker.refused("shop", "--set", "kit.knife=0.8", "--set", "kit.chisels=wide")
    assert f"Error: {maker.file}, kit.chisels: 'wide' is not a list; write a list, as in [3, 6, 10]" in said
    assert "the nearest known key is kit.chisels" in maker.refused("shop", "--set", "kit.chisel=[3]")
    assert "is not set; what is set is" in maker.refused("shop", "--unset", "kit.knife")
    assert maker.file.read_text() == OWN
    assert names_below(maker.settings) == {"shop.toml"}


def test_new_units_are_told_as_they_change_what_numbers_mean(maker: Maker) -> None:
    maker.file.write_text("[kit]\nsaw_kerf = 0.6\n")
    assert (
        "plain numbers in it, and in recipes that name no units, are now inches"
        in maker.run("shop", "--set", "units=in").stderr
    )
    assert "now millimetres" in maker.run("shop", "--unset", "units").stderr


def test_a_link_stays_a_link(maker: Maker) -> None:
    real = maker.folder / "shared.toml"
    maker.file.rename(real)
    maker.file.symlink_to(real)
    maker.good("shop", "--set", "kit.knife=0.8")
    assert maker.file.is_symlink()
    assert "knife = 0.8" in real.read_text()


def test_a_disk_that_fails_leaves_the_old_file(maker: Maker, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(FileError, match="No space left on device"):
        write_over(maker.file, "new")
    assert maker.file.read_text() == OWN
    assert names_below(maker.settings) == {"shop.toml"}


def test_a_settings_folder_that_cannot_be_made(maker: Maker) -> None:
    (maker.folder / "file").write_text("")
    done = maker.run("shop", "--set", "kit.knife=1", **{SETTINGS: str(maker.folder / "file" / "below")})
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1


# --- behind every command ------------------------------------------------------------------------


def chisels(report: dict[str, Any]) -> list[float]:
    found: list[float] = report["recipe"]["kit"]["chisels_mm"]
    return found


def test_every_command_that_reads_a_recipe_can_leave_it_out() -> None:
    for name, command in cli.commands.items():
        options = {option for parameter in command.params for option in parameter.opts}
        reads = "recipe" in {parameter.name for parameter in command.params} or name in ("batch", "bench", "woods")
        assert ("--no-shop" in options) == reads, name


@pytest.mark.whole
def test_layout_check_and_build_say_what_came_from_it(maker: Maker) -> None:
    shown = maker.good("layout", "tool-tray")
    assert "kit.chisels = 5 mm, 7 mm: from your shop (shop.toml)" in shown
    assert "from your shop" not in maker.good("layout", "tool-tray", "--no-shop")
    assert "kit.chisels" not in maker.good("layout", "tool-tray", "--set", "kit.chisels=[3]").partition("Chosen")[2]
    report = json.loads(maker.good("check", "tool-tray", "--json"))
    chosen = {row["key"]: row for row in report["choices"]}
    assert chosen["kit.chisels"] == {
        "key": "kit.chisels",
        "value": "5 mm, 7 mm",
        "rule": "from your shop",
        "source": "shop.toml",
    }
    maker.good("build", "tool-tray")
    held = json.loads((maker.folder / "exports/tool-tray/report.json").read_text())
    assert tomllib.loads(held["frozen_recipe"])["kit"] == {"chisels": [5, 7]}


@pytest.mark.whole
def test_a_report_alone_says_what_was_used(maker: Maker) -> None:
    """It makes the same again for somebody who has no shop."""
    maker.good("build", "tool-tray", "--set", "pin_board.wood=plum")
    report = "exports/tool-tray/report.json"
    ours = json.loads((maker.folder / report).read_text())
    maker.file.unlink()
    theirs = json.loads(maker.good("layout", report, "--json"))
    assert theirs["choices"] == []
    assert theirs["recipe"] == ours["recipe"]
    assert theirs["recipe"]["pin_board"]["wood"]["name"] == "plum"


def test_freeze_writes_it_into_the_recipe(maker: Maker) -> None:
    recipe = maker.folder / "mine.toml"
    recipe.write_text(f"# my own words\n{MINIMAL}wood = 'plum'  # from the garden\n")
    maker.good("freeze", "mine.toml")
    text = recipe.read_text()
    assert "chisels = [5, 7] # from your shop (shop.toml)" in text
    assert "# my own words" in text
    assert "# from the garden" in text
    tables = tomllib.loads(text)
    assert tables["climate"]["shop"] == "16 C, 60 %"
    assert tables["pin_board"]["wood"] == {"name": "plum", "kind": "hardwood", "density": 750}
    frozen = maker.good("layout", "mine.toml", "--no-shop", "--json")
    assert json.loads(frozen)["choices"] == []


@pytest.mark.whole
def test_a_box_lists_it_once_in_layout_and_note(maker: Maker) -> None:
    line = "kit.chisels = 5 mm, 7 mm: from your shop (shop.toml)"
    assert maker.good("layout", "keepsake-box").count(line) == 1
    maker.good("build", "keepsake-box")
    note = (maker.folder / "exports/keepsake-box/box-note.md").read_text()
    assert note.count("from your shop") == 3
    report = json.loads((maker.folder / "exports/keepsake-box/report.json").read_text())
    assert tomllib.loads(report["frozen_recipe"])["print"]["nozzle"] == 0.6


def test_compare_and_woods_know_it(maker: Maker) -> None:
    first = maker.good("compare", "tool-tray", "--set", "tail_board.wood=plum", "--tails", "3,4")
    assert "refused" not in first
    assert "not a wood we know" in maker.refused("compare", "tool-tray", "--set", "tail_board.wood=plum", "--no-shop")
    assert "plum" in maker.good("woods").splitlines()[2]
    assert "plum" not in maker.good("woods", "--no-shop")
    assert json.loads(maker.good("woods", "--json"))[0]["name"] == "plum"


def test_a_new_recipe_and_a_preset_keep_their_size_in_a_shop_of_inches(maker: Maker) -> None:
    maker.file.write_text('units = "in"\n')
    maker.good("new", "mine.toml")
    maker.good("new", "box.toml", "--preset", "keepsake-box")
    for name in ("mine.toml", "box.toml", "tool-tray"):
        assert maker.good("layout", name) == maker.good("layout", name, "--no-shop")


@pytest.mark.whole
def test_the_bench_reads_it(maker: Maker) -> None:
    recipe = maker.folder / "mine.toml"
    recipe.write_text(preset_text("tool-tray").replace('"maple"', '"plum"'))
    with bench(str(recipe), proves=True, **{SETTINGS: str(maker.settings)}) as there:
        assert json.loads(there.ask("api/piece/mine")[1])["problems"] == []
        proof = waited(lambda: json.loads(there.ask("api/piece/mine")[1])["proof"], GENEROUS)
        assert proof["proof"]["severity"] in ("pass", "warning")


# --- many joints ---------------------------------------------------------------------------------

ROWS = "title,joint.width,pin_board.wood,kit.chisels\none,96,plum,-\ntwo,110,maple,[9]\n"


@pytest.mark.whole
def test_all_joints_of_a_batch_use_it(maker: Maker) -> None:
    (maker.folder / "joints.csv").write_text(ROWS)
    maker.good("batch", "joints.csv", "--jobs", "2", "--files", "tail-board.stl")
    one, two = (json.loads((maker.folder / "exports" / name / "report.json").read_text()) for name in ("one", "two"))
    assert tomllib.loads(one["frozen_recipe"])["kit"]["chisels"] == [5, 7]
    assert tomllib.loads(two["frozen_recipe"])["kit"]["chisels"] == [9]
    assert one["recipe"]["pin_board"]["wood"]["density_kg_m3"] == 750
    done = maker.run("batch", "joints.csv", "--jobs", "2", "--no-shop", "--check", "--out", "plain")
    assert done.returncode == 2, "nobody knows that wood"
    with (maker.folder / "plain/index.csv").open(newline="") as file:
        assert [row["verdict"] for row in csv.DictReader(file)] == ["refused", "passes"]


def test_a_changed_shop_makes_joints_anew(tmp_path: Path) -> None:
    (tmp_path / "joints.csv").write_text("title,joint.width\none,96\n")

    def key(text: str) -> str:
        (task,) = tasks_from(
            str(tmp_path / "joints.csv"), "tool-tray", (), (), ("corner",), shop_of(tomllib.loads(text))
        )
        return task.key

    assert key(OWN) == key(OWN + "# no more than a comment")
    assert len({key(""), key(OWN), key(OWN.replace("0.6", "0.4"))}) == 3


# --- what cannot be used -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[kit\n", "is not TOML"),
        ("[kit]\nchisel = [3]\n", "kit.chisel: is not a key of a shop; the nearest known key is kit.chisels"),
        ("[print]\nnozzle = 9\n", "print.nozzle: 9 mm is over the most"),
    ],
)
@pytest.mark.parametrize("command", ["layout", "check", "build", "compare", "freeze", "batch"])
def test_nothing_is_built_on_half_of_it(command: str, text: str, words: str, maker: Maker) -> None:
    maker.file.write_text(text)
    (maker.folder / "joints.csv").write_text("title,joint.width\none,96\n")
    said = maker.refused(command, "joints.csv" if command == "batch" else "tool-tray")
    assert said.startswith(f"Error: {maker.file}")
    assert words in said
    assert said.count("\n") == 1
    assert names_below(maker.folder) == {"joints.csv"}
    assert maker.good("layout", "tool-tray", "--no-shop")


def test_a_folder_in_its_place(maker: Maker) -> None:
    maker.file.unlink()
    maker.file.mkdir()
    assert "is a folder, not a shop file" in maker.refused("layout", "tool-tray")
    assert "is a folder, not a shop file" in maker.refused("shop")
    assert "is a folder, not a shop file" in maker.refused("shop", "--set", "kit.knife=1")


def test_help_and_presets_need_no_shop(maker: Maker) -> None:
    maker.file.write_text("[kit\n")
    for arguments in (
        ["--help"],
        ["layout", "--help"],
        ["presets"],
        ["schema"],
        ["schema", "shop"],
        ["shop", "--help"],
    ):
        assert maker.good(*arguments)


def test_the_schema_is_printed(maker: Maker) -> None:
    assert json.loads(maker.good("schema", "shop"))["$id"] == "urn:halfpin:shop:1"
