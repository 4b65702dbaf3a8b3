"""The one table of files: its names are the design's, and all of them are made, re-read and published together."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from solids.errors import FileError, ReadBackError
from solids.kernel import measure
from solids.recipe import read_recipe
from solids.write import table
from tests.corners import CASES, case, job_of, titled
from tests.part21 import read_step

NAMES = [
    "corner.step",
    "corner-finished.step",
    "tail-board.step",
    "pin-board.step",
    "tail-board.stl",
    "pin-board.stl",
    "cnc-jig-note.md",
]

HASH_ALL = """
import hashlib, locale, sys
from solids.layout import lay_out
from solids.recipe import read_recipe
from solids.write import report, table
try:
    locale.setlocale(locale.LC_ALL, "")
except locale.Error:
    pass
job = table.prove_layout(lay_out(read_recipe(sys.argv[1])))
made = {kind.name: kind.make(job) for kind in table.CORNER}
records = [report.file_record(kind.name, kind.holds, made[kind.name]) for kind in table.CORNER]
made["report.json"] = report.report_bytes(report.make_report(job.layout, job.proof, records))
print({name: hashlib.sha256(data).hexdigest() for name, data in made.items()})
"""


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_the_tables_names_are_the_designs() -> None:
    assert [kind.name for kind in table.CORNER] == NAMES
    assert all(kind.holds for kind in table.CORNER)


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_eight_files_go_to_the_folder_of_the_title_and_the_report_lists_seven(tmp_path: Path, preset: str) -> None:
    folder = table.write_files(job_of(preset), tmp_path)
    assert folder == tmp_path / preset
    made = contents(folder)
    assert sorted(made) == sorted([*NAMES, "report.json"])
    listed = {record["name"]: record for record in json.loads(made["report.json"])["files"]}
    assert list(listed) == NAMES
    for name, record in listed.items():
        assert record["bytes"] == len(made[name])
        assert record["sha256"] == hashlib.sha256(made[name]).hexdigest()
    assert [path.name for path in tmp_path.iterdir()] == [preset]


def test_writing_twice_gives_the_same_bytes_and_leaves_the_job_as_it_was(tmp_path: Path) -> None:
    job = job_of("tool-tray")
    before = [measure(solid) for corner in (job.cut, job.finished) for _, solid in corner.boards]
    first = contents(table.write_files(job, tmp_path))
    assert contents(table.write_files(job, tmp_path)) == first
    assert contents(table.write_files(job, tmp_path / "elsewhere")) == first
    assert [measure(solid) for corner in (job.cut, job.finished) for _, solid in corner.boards] == before


@pytest.mark.parametrize("preset", ["drawer-front", "tea-box"])
def test_another_process_with_another_hash_order_time_zone_and_language_gives_the_same_bytes(
    tmp_path: Path, preset: str
) -> None:
    made = contents(table.write_files(job_of(preset), tmp_path / "out"))
    # Python gives each process another hash order, unless a variable that begins with PYTHONHASH fixes it.
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHONHASH", "SOURCE_DATE"))}
    environment = {**kept, "TZ": "Asia/Kathmandu", "LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8"}
    done = subprocess.run(
        [sys.executable, "-c", HASH_ALL, preset],
        capture_output=True,
        text=True,
        env=environment,
        cwd=tmp_path,
        check=True,
    )
    hashes = {name: hashlib.sha256(made[name]).hexdigest() for name in [*NAMES, "report.json"]}
    assert done.stdout.strip() == str(hashes)


@pytest.mark.parametrize("name", CASES)
def test_every_kind_of_joint_can_be_written(tmp_path: Path, name: str) -> None:
    job = case(name)
    assert sorted(contents(table.write_files(job, tmp_path))) == sorted([*NAMES, "report.json"])


@pytest.mark.parametrize("title", ["Kästchen für Nähzeug, Öl, Übungsstücke", "木工の引き出しの角の箱", "O'Brien's"])
def test_a_title_in_any_script_can_be_written(tmp_path: Path, title: str) -> None:
    folder = table.write_files(titled(title), tmp_path)
    assert folder.parent == tmp_path
    assert folder.name.isascii()
    assert json.loads((folder / "report.json").read_bytes())["title"] == title


def test_each_step_file_holds_what_its_name_says(tmp_path: Path) -> None:
    folder = table.write_files(job_of("shoe-bench"), tmp_path)
    products = {
        name: [record.values[0] for record in read_step((folder / name).read_bytes()).all("PRODUCT")]
        for name in NAMES
        if name.endswith(".step")
    }
    assert products == {
        "corner.step": ["shoe bench", "tail board", "pin board"],
        "corner-finished.step": ["shoe bench", "tail board", "pin board"],
        "tail-board.step": ["tail board"],
        "pin-board.step": ["pin board"],
    }
    # n = 6 tails: 4n + 6 faces as cut, and 4n, 4n + 4 more where proud ends are chamfered.
    faces = {name: len(read_step((folder / name).read_bytes()).all("ADVANCED_FACE")) for name in products}
    assert faces == {
        "corner.step": 2 * 30,
        "corner-finished.step": 2 * 30 + 24 + 28,
        "tail-board.step": 30,
        "pin-board.step": 30,
    }


def test_progress_is_told_of_every_file(tmp_path: Path) -> None:
    told: list[str] = []
    table.write_files(job_of(), tmp_path, told.append)
    assert told == [*NAMES, *(f"{name}, reading back" for name in NAMES)]


@pytest.mark.parametrize("number", range(len(NAMES)))
def test_a_file_that_does_not_read_back_stops_all_of_them(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, number: int
) -> None:
    kinds = list(table.CORNER)
    make = kinds[number].make
    kinds[number] = replace(kinds[number], make=lambda job: make(job)[: len(make(job)) // 2])
    monkeypatch.setattr(table, "FILES", tuple(kinds))
    with pytest.raises(ReadBackError, match=NAMES[number]):
        table.write_files(job_of(), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_another_joint_under_the_same_title_replaces_the_first(tmp_path: Path) -> None:
    first = contents(table.write_files(job_of(), tmp_path))
    second = contents(table.write_files(job_of("tool-tray", "joint.tails=3"), tmp_path))
    assert second != first
    assert len(read_step(second["tail-board.step"]).all("ADVANCED_FACE")) == 4 * 3 + 6


def test_a_preset_can_be_read_again_where_its_own_files_were_written_to_the_working_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    table.write_files(job_of(), Path())
    assert read_recipe("tool-tray") == job_of().layout.recipe


def test_another_title_with_the_same_folder_is_refused(tmp_path: Path) -> None:
    before = contents(table.write_files(titled("Tool tray!"), tmp_path))
    with pytest.raises(FileError, match="holds the files of 'Tool tray!'"):
        table.write_files(job_of(), tmp_path)
    assert contents(tmp_path / "tool-tray") == before
