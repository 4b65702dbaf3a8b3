"""`halfpin freeze` as a user meets it, and a report that is built again."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest

from solids.app.recipe_files import write_over
from solids.base.errors import FileError
from solids.recipe import preset_text
from tests.commands import halfpin, refused
from tests.recipes import MINIMAL

SOLIDS = {
    "tool-tray": ("corner.step", "corner-finished.step", "boards/tail-board.stl", "boards/pin-board.step"),
    "desk-drawer": ("box.step", "box-finished.step", "boards/left.stl", "boards/bottom.stl", "cut-list.csv"),
}


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    """A short recipe with comments, in a folder of its own."""
    path = tmp_path / "tray.toml"
    path.write_text(f"# my own words\n{MINIMAL}# and these\n")
    return path


def layout_of(source: str, folder: Path) -> dict[str, Any]:
    """`layout --json` without what was chosen, of a corner or of a box and its corners."""
    done = halfpin("layout", source, "--json", cwd=folder)
    assert done.returncode == 0, done.stderr
    report: dict[str, Any] = json.loads(done.stdout)
    for part in (report, *(corner["report"] for corner in report.get("corners", ()))):
        part.pop("choices")
    return report


def test_it_writes_in_place_and_says_what(recipe: Path) -> None:
    before = recipe.read_text()
    done = halfpin("freeze", recipe.name, cwd=recipe.parent)
    assert done.returncode == 0, done.stderr
    assert "joint.pin = 3: about 3 mm, wide enough for a marking knife" in done.stdout
    assert "Wrote tray.toml" in done.stderr
    assert list(recipe.parent.iterdir()) == [recipe], "nothing is left beside it"
    text = recipe.read_text()
    assert all(line in text.splitlines() for line in before.splitlines())
    assert len(text.splitlines()) >= len(before.splitlines()) + len(done.stdout.splitlines())
    assert "Chosen for you" not in halfpin("layout", recipe.name, cwd=recipe.parent).stdout


def test_freezing_twice_leaves_the_file_alone(recipe: Path) -> None:
    halfpin("freeze", recipe.name, cwd=recipe.parent)
    os.utime(recipe, (1, 1))
    text = recipe.read_bytes()
    done = halfpin("freeze", recipe.name, cwd=recipe.parent)
    assert (done.returncode, done.stdout) == (0, "")
    assert "tray.toml leaves nothing to choose" in done.stderr
    assert recipe.read_bytes() == text
    assert recipe.stat().st_mtime == 1


def test_another_file_takes_it_and_the_recipe_stays(recipe: Path) -> None:
    before = recipe.read_bytes()
    assert halfpin("freeze", recipe.name, "--out", "kept.toml", cwd=recipe.parent).returncode == 0
    assert recipe.read_bytes() == before
    assert layout_of("kept.toml", recipe.parent) == layout_of(recipe.name, recipe.parent)
    said = refused("freeze", recipe.name, "--out", "kept.toml", cwd=recipe.parent)
    assert "kept.toml already exists and was left alone" in said


@pytest.mark.parametrize("preset", ["drawer-front", "tea-box", "desk-drawer", "keepsake-box"])
def test_a_preset_goes_into_another_file_and_is_the_same_joint(preset: str, tmp_path: Path) -> None:
    assert "add --out FILE" in refused("freeze", preset, cwd=tmp_path)
    assert halfpin("freeze", preset, "--out", "kept.toml", cwd=tmp_path).returncode == 0
    assert layout_of("kept.toml", tmp_path) == layout_of(preset, tmp_path)
    report = json.loads(halfpin("layout", "kept.toml", "--json", cwd=tmp_path).stdout)
    assert report["choices"] == []
    assert all(corner["report"]["choices"] == [] for corner in report.get("corners", ()))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (MINIMAL.replace("96", "-3"), "joint.width"),
        (MINIMAL.replace("96", "96\ntails = 30"), "joint.width: 96 mm leaves nothing for 30 tails"),
        (MINIMAL + "[box]\nlength = 3\n", "box."),
        ("joint = \n", "is not TOML"),
    ],
)
def test_what_is_refused_is_left_as_it_is(text: str, words: str, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(text)
    assert words in refused("freeze", "bad.toml", cwd=tmp_path)
    assert path.read_text() == text


def test_a_name_that_is_nothing(tmp_path: Path) -> None:
    assert "neither a recipe file nor a preset" in refused("freeze", "nothing", cwd=tmp_path)
    assert "gone.toml does not exist" in refused("freeze", "gone.toml", cwd=tmp_path)


# --- the disk --------------------------------------------------------------------------------------


def test_a_file_keeps_its_rights_and_a_link_stays_a_link(recipe: Path) -> None:
    recipe.chmod(0o640)
    link = recipe.parent / "link.toml"
    link.symlink_to(recipe.name)
    assert halfpin("freeze", link.name, cwd=recipe.parent).returncode == 0
    assert link.is_symlink()
    assert recipe.stat().st_mode & 0o777 == 0o640
    assert "spacing" in recipe.read_text()


def test_a_disk_that_fails_leaves_the_old_file(recipe: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = recipe.read_bytes()

    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fails)
    with pytest.raises(FileError, match="left unchanged: No space left on device"):
        write_over(recipe, "new", "; or give --out FILE")
    assert recipe.read_bytes() == before
    assert list(recipe.parent.iterdir()) == [recipe]


def test_a_file_that_is_read_only_is_left_alone(recipe: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked of the system, as root may write anything."""
    monkeypatch.setattr(os, "access", lambda _, mode: mode != os.W_OK)
    with pytest.raises(FileError, match=r"it is read-only; or give --out FILE"):
        write_over(recipe, "new", "; or give --out FILE")
    assert recipe.read_text().startswith("# my own words")


# --- a report, built again -------------------------------------------------------------------------


@pytest.mark.parametrize("name", SOLIDS)
@pytest.mark.whole
def test_a_report_is_built_again_to_the_same_solids(name: str, tmp_path: Path) -> None:
    """Both ways: the report itself, and the recipe that freezing takes out of it."""
    changed = ("--set", "joint.pin=3.7", "--set", "title=again")
    assert halfpin("build", name, *changed, "--out", "a", cwd=tmp_path).returncode == 0
    report = "a/again/report.json"
    assert halfpin("build", report, "--out", "b", cwd=tmp_path).returncode == 0
    assert halfpin("freeze", report, "--out", "kept.toml", cwd=tmp_path).returncode == 0
    assert "its report" in (tmp_path / "kept.toml").read_text().splitlines()[0]
    assert halfpin("build", "kept.toml", "--out", "c", cwd=tmp_path).returncode == 0
    for file in SOLIDS[name]:
        first, second, third = ((tmp_path / out / "again" / file).read_bytes() for out in "abc")
        assert first == second == third, file
    assert json.loads((tmp_path / "b/again/report.json").read_text())["choices"] == []


def test_a_report_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "report.json"
    path.write_text(halfpin("layout", "tool-tray", "--json").stdout)
    before = path.read_bytes()
    assert "is a report, which is never changed" in refused("freeze", "report.json", cwd=tmp_path)
    assert path.read_bytes() == before


def test_a_report_takes_changes_and_other_commands(tmp_path: Path) -> None:
    (tmp_path / "report.json").write_text(halfpin("layout", "tool-tray", "--set", "joint.tails=5", "--json").stdout)
    report = json.loads(halfpin("layout", "report.json", "--set", "joint.pin=2.5", "--json", cwd=tmp_path).stdout)
    assert (report["recipe"]["tails"], report["recipe"]["pin_mm"]) == (5, 2.5)
    assert halfpin("compare", "report.json", "--tails", "4,5", cwd=tmp_path).returncode == 0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "is not JSON"),
        ("[" * 100_000, "is not JSON"),
        ("[]", "is not the report of a joint"),
        ('{"name": "x"}', "is not the report of a joint"),
        ('{"schema": "urn:halfpin:report:1", "title": "old"}', "holds no recipe, as it was made by an earlier version"),
        ('{"schema": "urn:halfpin:report:1", "frozen_recipe": "[joint"}', "is not TOML"),
        ('{"schema": "urn:halfpin:report:1", "frozen_recipe": "[joint]\\nwidth = 3"}', "tail_board: is missing"),
    ],
)
def test_other_json_is_refused(text: str, words: str, tmp_path: Path) -> None:
    (tmp_path / "report.json").write_text(text)
    assert words in refused("layout", "report.json", cwd=tmp_path)


def test_a_corner_within_a_box_has_no_recipe_of_its_own() -> None:
    report = json.loads(halfpin("layout", "keepsake-box", "--json").stdout)
    assert "[box]" in report["frozen_recipe"]
    assert all(corner["report"]["frozen_recipe"] is None for corner in report["corners"])
    assert preset_text("keepsake-box").splitlines()[0] not in report["frozen_recipe"], "comments are the file's own"
