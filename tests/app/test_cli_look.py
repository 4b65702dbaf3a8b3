"""`halfpin build --page --picture --model --gaps` as a user meets it. Every run is a process of its own."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from pathlib import Path

import pytest

from solids.write.report import Report
from tests.commands import CORNER_FILES, PAPERS, TIGHT, ended, halfpin
from tests.commands import whole as contents
from tests.glb import read

OPTIONS = {
    "--page": {"corner.html", "corner.glb"},
    "--model": {"corner.glb"},
    "--gaps": {"corner-gaps.glb"},
    "--picture": {"corner.png"},
}
LOOK = {name for names in OPTIONS.values() for name in names}


def good(done: subprocess.CompletedProcess[str], count: int, folder: str = "exports/tool-tray") -> None:
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.endswith(f"\n{count} files in {folder}\n")
    assert "\nThe joint goes together.\n" in done.stdout


@pytest.mark.parametrize("option", OPTIONS)
def test_each_option_adds_its_files_and_the_report_lists_them(option: str, tmp_path: Path) -> None:
    done = halfpin("build", "tool-tray", option, cwd=tmp_path)
    good(done, len(CORNER_FILES | OPTIONS[option]))
    made = contents(tmp_path / "exports" / "tool-tray")
    assert set(made) == CORNER_FILES | OPTIONS[option]
    report = Report.model_validate_json(made["report.json"])
    listed = {record.name: record for record in report.files}
    assert set(listed) == set(made) - {"report.json"}
    for name, record in listed.items():
        assert (record.bytes, record.sha256) == (len(made[name]), hashlib.sha256(made[name]).hexdigest())
        assert record.holds
        assert not record.stale


@pytest.mark.whole
def test_all_of_them_together_with_the_paper(tmp_path: Path) -> None:
    done = halfpin("build", "drawer-front", *OPTIONS, "--paper", "--out", "here", cwd=tmp_path)
    good(done, len(CORNER_FILES) + len(PAPERS) + len(LOOK), "here/drawer-front")
    made = contents(tmp_path / "here" / "drawer-front")
    assert made.keys() >= CORNER_FILES | LOOK
    assert read(tmp_path / "here" / "drawer-front" / "corner.glb").content["nodes"][0]["name"] == "drawer front"
    page = made["corner.html"].decode("utf-8")
    beside, _, more = page.partition("<h3>More, for the asking</h3>")
    links, further = ({part.partition('"')[0] for part in text.split('<a href="')[1:]} for text in (beside, more))
    assert links <= set(made), "nothing leads to a file that is not there"
    assert further - set(made) == {"aids/aids-note.md"}, "but for what another command writes, which is named"
    assert "<code>halfpin aids</code>: aids to print" in more
    assert links == CORNER_FILES | {"corner.glb"}


@pytest.mark.whole
def test_the_files_are_the_same_each_time_and_those_of_an_ordinary_build_as_ever(tmp_path: Path) -> None:
    for folder in ("one", "two"):
        good(
            halfpin("build", "tool-tray", *OPTIONS, "--out", folder, cwd=tmp_path),
            len(CORNER_FILES | LOOK),
            f"{folder}/tool-tray",
        )
    good(halfpin("build", "tool-tray", "--out", "plain", cwd=tmp_path), len(CORNER_FILES), "plain/tool-tray")
    one, two, plain = (contents(tmp_path / folder / "tool-tray") for folder in ("one", "two", "plain"))
    assert one == two
    assert {name: data for name, data in one.items() if name not in {*LOOK, "report.json"}} == {
        name: data for name, data in plain.items() if name != "report.json"
    }


@pytest.mark.whole
def test_a_build_afterwards_keeps_them_and_a_changed_recipe_tells_which_are_stale(tmp_path: Path) -> None:
    good(halfpin("build", "tool-tray", *OPTIONS, cwd=tmp_path), len(CORNER_FILES | LOOK))
    folder = tmp_path / "exports" / "tool-tray"
    before = contents(folder)
    good(halfpin("build", "tool-tray", cwd=tmp_path), len(CORNER_FILES))
    assert contents(folder) == before
    done = halfpin("build", "tool-tray", "--set", "joint.tails=5", cwd=tmp_path)
    assert done.returncode == 0
    assert done.stderr.startswith("Note: out of date; make them again: ")
    assert all(name in done.stderr for name in LOOK)
    after = contents(folder)
    assert {name: after[name] for name in LOOK} == {name: before[name] for name in LOOK}
    stale = {record["name"] for record in json.loads(after["report.json"])["files"] if record["stale"]}
    assert stale == LOOK
    good(halfpin("build", "tool-tray", *OPTIONS, "--set", "joint.tails=5", cwd=tmp_path), len(CORNER_FILES | LOOK))
    assert not any(record["stale"] for record in json.loads(contents(folder)["report.json"])["files"])
    assert contents(folder)["corner.glb"] != before["corner.glb"]


@pytest.mark.parametrize("key", ["paper.size=A3", "kit.cutters=[3, 6]", "print.nozzle=0.6"])
@pytest.mark.whole
def test_a_change_that_matters_to_paper_or_printers_only_makes_them_no_older(key: str, tmp_path: Path) -> None:
    good(halfpin("build", "tool-tray", "--model", "--picture", cwd=tmp_path), len(CORNER_FILES) + 2)
    done = halfpin("build", "tool-tray", "--set", key, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.whole
def test_a_joint_that_fails_its_proof_has_none_unless_told_and_then_the_page_says_so(tmp_path: Path) -> None:
    done = halfpin("build", "tool-tray", *TIGHT, *OPTIONS, cwd=tmp_path)
    assert done.returncode == 1
    assert "Nothing was written" in done.stderr
    assert list(tmp_path.iterdir()) == []
    assert halfpin("build", "tool-tray", *TIGHT, *OPTIONS, "--anyway", cwd=tmp_path).returncode == 1
    made = contents(tmp_path / "exports" / "tool-tray")
    assert set(made) == CORNER_FILES | LOOK
    assert b"This joint fails its proof. Do not cut it." in made["corner.html"]


def test_a_file_that_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "exports" / "tool-tray"
    folder.mkdir(parents=True)
    (folder / "corner.html").write_text("mine")
    done = halfpin("build", "tool-tray", "--page", cwd=tmp_path)
    assert done.returncode == 2
    assert "corner.html was not written by this tool" in done.stderr
    assert contents(folder) == {"corner.html": b"mine"}


@pytest.mark.whole
def test_a_title_in_another_script_goes_into_all_of_them(tmp_path: Path) -> None:
    title = "Kästchen 木箱"
    done = halfpin("build", "tool-tray", *OPTIONS, "--set", f"title={title}", cwd=tmp_path)
    assert done.returncode == 0
    (folder,) = (tmp_path / "exports").iterdir()
    assert folder.name.isascii()
    assert f'<h1 id="title">{title}</h1>' in (folder / "corner.html").read_text("utf-8")
    for name in ("corner.glb", "corner-gaps.glb"):
        assert read(folder / name).content["nodes"][0]["name"] == title


LACKING = """
import sys
from solids.write.page import library
library.REVISION = "999"
from solids.app.cli import main
main()
"""


def test_a_library_that_is_another_is_one_line_exit_3_and_nothing_is_written(tmp_path: Path) -> None:
    """What is installed is at fault, and so are we, who did not pin it."""
    done = ended(LACKING, "build", "tool-tray", "--page", cwd=tmp_path)
    assert done.returncode == 3
    assert "three.js revision 999" in done.stderr
    assert "constraints.txt" in done.stderr
    assert done.stderr.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


@pytest.mark.whole
def test_a_picture_needs_no_display(tmp_path: Path) -> None:
    done = halfpin("build", "tool-tray", "--picture", cwd=tmp_path, DISPLAY="", WAYLAND_DISPLAY="")
    good(done, len(CORNER_FILES) + 1)
    assert (tmp_path / "exports" / "tool-tray" / "corner.png").stat().st_size > 10_000


USED = """
import sys, pathlib
import solids
job = solids.prove_layout(solids.lay_out(solids.read_recipe("tool-tray")))
solids.write_files(job, pathlib.Path("out"), groups=("model", "gaps", "page"))
print([name for name in ("cadquery", "trimesh", "vtk", "vtkmodules", "reportlab") if name in sys.modules])
"""


@pytest.mark.whole
def test_model_and_page_load_neither_cadquery_nor_trimesh_nor_vtk(tmp_path: Path) -> None:
    done = subprocess.run([sys.executable, "-c", USED], capture_output=True, text=True, check=True, cwd=tmp_path)
    assert done.stdout.strip() == "[]"


def test_help_tells_each_option() -> None:
    done = halfpin("build", "--help", cwd=Path.cwd())
    assert all(option in done.stdout for option in OPTIONS)
