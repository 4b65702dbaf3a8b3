"""The folder of a box: the same bytes each time, nothing of others touched, what is left behind told as stale."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from solids.base.errors import FileError, ReadBackError
from solids.write.files.table import files_of, write_files
from solids.write.named import Group
from solids.write.notes import cut_list_file
from tests.boxes import box_case, job_of_box
from tests.corners import piece_of


def whole(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def stale(folder: Path) -> dict[str, bool]:
    records = json.loads((folder / "report.json").read_text("utf-8"))["files"]
    return {record["name"]: record["stale"] for record in records}


# --- the same bytes --------------------------------------------------------------------------------


@pytest.mark.whole
def test_the_same_box_gives_the_same_bytes_here_and_in_another_process(tmp_path: Path) -> None:
    first = whole(write_files(box_case("keepsake"), tmp_path / "a").folder)
    script = "from solids.app.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", script, "build", "keepsake-box", "--out", str(tmp_path / "b")],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONHASHSEED": "7", "TZ": "Pacific/Apia", "LC_ALL": "C"},
    )
    assert done.returncode == 0, done.stderr
    second = whole(tmp_path / "b" / "keepsake-box")
    assert set(first) == set(second)
    for name, data in first.items():
        assert second[name] == data, name


@pytest.mark.whole
def test_writing_over_oneself_changes_nothing(tmp_path: Path) -> None:
    folder = write_files(box_case("keepsake"), tmp_path).folder
    before = whole(folder)
    written = write_files(box_case("keepsake"), tmp_path)
    assert whole(folder) == before
    assert written.stale == ()
    assert written.count == len(before)


@pytest.mark.whole
def test_what_is_made_one_by_one_is_what_is_made_at_once(tmp_path: Path) -> None:
    at_once = whole(write_files(box_case("drawer"), tmp_path / "a").folder)
    for name in ("box.step", "boards/left.stl", "cut-list.csv", "box-note.md"):
        folder = write_files(box_case("drawer"), tmp_path / name, only=(name,)).folder
        assert set(whole(folder)) == {name, "box-note.md", "report.json"}, "no set goes without its cautions"
        if name != "box-note.md":  # by itself it names no files that are not there
            assert (folder / name).read_bytes() == at_once[name]


@pytest.mark.parametrize("group", ["corner", "paper", "model", "page", "picture", "aids"])
def test_each_file_of_a_box_names_one_of_its_own_group_or_the_note_for_its_cautions(group: Group) -> None:
    job = box_case("drawer")
    files = list(files_of(job, group))
    names = {file.name for each in ("corner", "paper", "page") for file in (*files, *files_of(job, each))}
    for file in files:
        assert file.cautions in names
        holds = ("-note.md", "booklet.pdf", "setup-sheet.pdf", "box-sheet.pdf", "glue-up.pdf", "box.html")
        assert file.cautions.endswith(holds), file.name
        if file.name.endswith(holds):
            assert file.cautions == file.name, "it has them all itself"
        # Single boards and drawings go with what stands above them; what else has a folder has its cautions there.
        folder = file.name.rpartition("/")[0].removesuffix("boards").removesuffix("drawings")
        assert file.cautions.rpartition("/")[0] == folder


@pytest.mark.whole
def test_titles_make_folders_that_any_disk_takes(tmp_path: Path) -> None:
    for title, name in (("小箱", "xiaoxiang-686676"), ("walnut " * 11 + "box", None)):
        folder = write_files(job_of_box("keepsake-box", "box.groove.width=0", f'title="{title}"'), tmp_path)
        assert folder.folder.parent == tmp_path
        assert name is None or folder.folder.name == name
        assert folder.folder.name.isascii()
        assert json.loads((folder.folder / "report.json").read_text("utf-8"))["title"] == title


# --- other groups, other files ---------------------------------------------------------------------


@pytest.mark.whole
def test_files_of_other_groups_stay_and_are_stale_once_the_recipe_changes(tmp_path: Path) -> None:
    folder = write_files(job_of_box("keepsake-box"), tmp_path).folder
    write_files(job_of_box("keepsake-box"), tmp_path, groups=("model",))
    assert set(stale(folder).values()) == {False}
    assert "box.glb" in stale(folder)
    model = (folder / "box.glb").read_bytes()
    written = write_files(job_of_box("keepsake-box", "box.length=250"), tmp_path)
    assert written.stale == ("box.glb",)
    assert stale(folder) == {name: name == "box.glb" for name in stale(folder)}
    assert (folder / "box.glb").read_bytes() == model, "left as it was"
    assert write_files(job_of_box("keepsake-box"), tmp_path).stale == ("box.glb",), "nobody can know that it fits again"
    assert write_files(job_of_box("keepsake-box"), tmp_path, groups=("model",)).stale == ()


CHANGES = [
    "box.height=82",
    "box.groove.ends=through",
    "box.panel.grain=width",
    "box.panel.wood=cherry",
    "box.left.wood=cherry",
    "box.joints.back.tails=2",
    "finish.planing=0.2",
]


@pytest.mark.parametrize("change", CHANGES)
def test_every_change_of_the_box_is_noticed(tmp_path: Path, change: str) -> None:
    deeper = ("box.groove.depth=6", "stock.length=2000")
    write_files(job_of_box("keepsake-box", *deeper), tmp_path, groups=("model",), only=("box.glb",))
    assert write_files(job_of_box("keepsake-box", *deeper, change), tmp_path, only=("cut-list.csv",)).stale == (
        "box.glb",
    )


OWN = 'box.panel.wood={{name = "pear", kind = "hardwood", density = 690, radial = {0}, tangential = {1}}}'


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (("box.panel.sawn=flat",), ("box.panel.sawn=quarter",)),
        ((OWN.format(0.001, 0.002),), (OWN.format(0.002, 0.004),)),
    ],
    ids=["sawn", "a wood of the same name"],
)
def test_every_change_of_the_bottom_is_noticed(tmp_path: Path, before: tuple[str, ...], after: tuple[str, ...]) -> None:
    first, second = job_of_box("keepsake-box", *before), job_of_box("keepsake-box", *after)
    assert first.proof.box.panel != second.proof.box.panel
    write_files(first, tmp_path, groups=("model",), only=("box.glb",))
    assert write_files(second, tmp_path, only=("cut-list.csv",)).stale == ("box.glb",)


@pytest.mark.whole
def test_files_of_others_in_the_folder_are_left_alone(tmp_path: Path) -> None:
    folder = write_files(box_case("keepsake"), tmp_path).folder
    (folder / "mine.txt").write_text("mine")
    (folder / "photos").mkdir()
    (folder / "photos" / "box.step").write_text("mine too")
    write_files(job_of_box("keepsake-box", "box.length=250"), tmp_path)
    assert (folder / "mine.txt").read_text() == "mine"
    assert (folder / "photos" / "box.step").read_text() == "mine too"
    assert not {"mine.txt", "photos/box.step"} & set(stale(folder))


@pytest.mark.parametrize("name", ["box.step", "cut-list.csv", "report.json"])
@pytest.mark.whole
def test_a_file_that_was_changed_since_is_not_written_over(tmp_path: Path, name: str) -> None:
    folder = write_files(box_case("keepsake"), tmp_path).folder
    (folder / name).write_bytes((folder / name).read_bytes() + b"mine\n")
    before = whole(folder)
    with pytest.raises(FileError):
        write_files(job_of_box("keepsake-box", "box.length=250"), tmp_path)
    assert whole(folder) == before


@pytest.mark.whole
def test_the_folder_of_another_title_is_left_alone(tmp_path: Path) -> None:
    folder = write_files(box_case("keepsake"), tmp_path).folder
    before = whole(folder)
    with pytest.raises(FileError, match="holds the files of 'keepsake box'"):
        write_files(job_of_box("keepsake-box", 'title="Keepsake, box"'), tmp_path)
    assert whole(folder) == before


@pytest.mark.whole
def test_a_corner_and_a_box_of_one_title_share_a_folder_and_each_knows_its_own(tmp_path: Path) -> None:
    write_files(piece_of("tool-tray"), tmp_path)
    job = job_of_box("keepsake-box", "title=tool tray")
    written = write_files(job, tmp_path)
    assert "corner.step" in written.stale
    assert {"corner.step", "box.step"} <= set(whole(written.folder))


@pytest.mark.whole
def test_a_file_that_does_not_read_back_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = cut_list_file.csv_bytes
    monkeypatch.setattr(cut_list_file, "csv_bytes", lambda rows: real(rows).replace(b"back", b"lid"))
    with pytest.raises(ReadBackError):
        write_files(box_case("keepsake"), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_told_and_nothing_is_left(tmp_path: Path) -> None:
    (tmp_path / "keepsake-box").write_text("a file")
    with pytest.raises(FileError, match="is a file; a folder is needed"):
        write_files(box_case("keepsake"), tmp_path)
    assert whole(tmp_path) == {"keepsake-box": b"a file"}
