"""`halfpin batch`: processes, a real scheduler, resuming, the index, and what goes wrong on the way."""

from __future__ import annotations

import csv
import errno
import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from collections.abc import Iterator
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import pytest
import tomlkit

from solids.app.batch import run, worker
from solids.app.batch.index import csv_bytes, html_bytes, summary
from solids.app.batch.ledger import LEDGER, Ledger
from solids.app.batch.tasks import Task, tasks_from
from solids.app.batch.worker import Outcome, do_task
from solids.base.errors import FileError, InputError, KernelError
from solids.recipe import preset_text
from solids.write.named import NAMED, pieces_with
from solids.write.publishing.claim import claimed
from tests import commands
from tests.commands import MAIN, ended
from tests.forks import Forked

ROWS = "title,joint.width,joint.tails\none,96,4\ntwo,3 1/2 in,3\nthree,110,5\nclosed,40,9\n"
SCHEDULER = "--host 127.0.0.1 --port 0 --no-dashboard"
WORKER = "--nworkers 1 --nthreads 1 --no-dashboard --no-nanny --host 127.0.0.1"
PICKED = ("corner.step", "tail-board.stl")

halfpin = partial(commands.halfpin, "batch")


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("table") / "joints.csv"
    path.write_text(ROWS, "utf-8")
    return str(path)


def some(table: str, *files: str) -> list[Task]:
    return tasks_from(table, "tool-tray", (), (), files or PICKED)


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.parent != folder
    }


def rows(folder: Path) -> dict[str, dict[str, str]]:
    with (folder / "index.csv").open(encoding="utf-8", newline="") as file:
        return {row["title"]: row for row in csv.DictReader(file)}


# --- the command ---------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def done(table: str, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, subprocess.CompletedProcess[str]]:
    out = tmp_path_factory.mktemp("out")
    return out, halfpin(table, "--out", str(out), "--files", ",".join(PICKED), "--jobs", "2")


@pytest.mark.whole
def test_every_row_is_done_and_the_refused_one_is_told_and_harms_no_other(
    done: tuple[Path, subprocess.CompletedProcess[str]],
) -> None:
    out, process = done
    assert process.returncode == 2
    assert "4 of 4 joints: 3 pass, 1 refused." in process.stdout
    assert "refused: closed (joints.csv, row 5): joint.tails: tail" in process.stderr
    found = rows(out)
    assert [row["verdict"] for row in found.values()] == ["passes", "passes", "passes", "refused"]
    assert found["two"]["width_mm"] == "88.9"
    assert {name for name in contents(out) if name.startswith("one/")} == {
        "one/corner.step",
        "one/boards/tail-board.stl",
        "one/cnc-jig-note.md",
        "one/report.json",
    }
    page = (out / "index.html").read_text("utf-8")
    assert '<a href="one/">one</a>' in page
    assert "http:" not in page
    assert "https:" not in page


def test_the_same_joints_one_by_one_give_the_same_bytes(
    done: tuple[Path, subprocess.CompletedProcess[str]], table: str, tmp_path: Path
) -> None:
    ledger = Ledger(tmp_path)
    for task in some(table):
        ledger.put(do_task(task, check_only=False, anyway=False))
    ledger.close()
    assert contents(tmp_path) == contents(done[0])


@pytest.mark.whole
def test_a_run_that_is_resumed_does_only_what_is_left(
    done: tuple[Path, subprocess.CompletedProcess[str]], table: str, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    first = halfpin(table, "--out", str(out), "--files", ",".join(PICKED), "--jobs", "1")
    assert first.returncode == 2
    (out / "two" / "corner.step").write_text("harmed")
    (out / "two" / "corner.step").unlink()
    before = {name: (out / name).stat().st_mtime_ns for name in contents(out)}
    again = halfpin(table, "--out", str(out), "--files", ",".join(PICKED), "--resume")
    assert "2 joints are already done." in again.stderr
    assert again.returncode == 2
    assert contents(out) == contents(done[0])
    after = {name: (out / name).stat().st_mtime_ns for name in contents(out)}
    assert all(after[name] == stamp for name, stamp in before.items() if not name.startswith("two/"))


@pytest.mark.whole
def test_check_writes_nothing_but_the_list_and_a_failing_joint_ends_in_one(table: str, tmp_path: Path) -> None:
    fails = halfpin(table, "--check", "--out", str(tmp_path), "--set", "fit.flank_gap=-0.08", "--set", "joint.tails=2")
    assert fails.returncode == 1
    assert contents(tmp_path) == {}
    assert {row["verdict"] for row in rows(tmp_path).values()} == {"fails"}
    assert "tight" in rows(tmp_path)["one"]["message"]


@pytest.mark.whole
def test_a_folder_of_corners_and_boxes_is_done_too(tmp_path: Path) -> None:
    source = tmp_path / "recipes"
    source.mkdir()
    (source / "a.toml").write_text(preset_text("drawer-front"))
    (source / "b.toml").write_text(preset_text("keepsake-box"))
    process = halfpin(str(source), "--out", str(tmp_path / "out"), "--files", "corner.step,box.step,cut-list.csv")
    assert process.returncode == 0, process.stderr
    found = contents(tmp_path / "out")
    assert {"drawer-front/corner.step", "keepsake-box/box.step", "keepsake-box/cut-list.csv"} <= set(found)
    assert rows(tmp_path / "out")["keepsake box"]["kind"] == "box"


@pytest.mark.parametrize(
    ("preset", "files", "words"),
    [
        ("keepsake-box", "corner.step", "a box has no corner.step"),
        ("keepsake-box", "box.step,gaps", "a box has no gaps"),
        ("tool-tray", "box.step", "a single corner has no box.step"),
        ("tool-tray", "corner,cut-list.csv,left.stl", "a single corner has no cut-list.csv and no left.stl"),
    ],
)
def test_nothing_asked_for_is_passed_over(preset: str, files: str, words: str, tmp_path: Path) -> None:
    source = tmp_path / "recipes"
    source.mkdir()
    (source / "a.toml").write_text(preset_text(preset))
    process = halfpin(str(source), "--out", str(tmp_path / "out"), "--files", files)
    assert process.returncode == 2
    assert words in process.stderr
    assert contents(tmp_path / "out") == {}


@pytest.mark.whole
def test_a_box_without_a_bottom_is_refused_its_mesh_and_harms_no_other(tmp_path: Path) -> None:
    source = tmp_path / "recipes"
    source.mkdir()
    (source / "a.toml").write_text(preset_text("keepsake-box"))
    (source / "b.toml").write_text(_bare_box())
    process = halfpin(str(source), "--out", str(tmp_path / "out"), "--files", "bottom.stl")
    assert process.returncode == 2
    assert "a box like this has no bottom.stl. Nothing was written" in process.stderr
    assert "keepsake-box/boards/bottom.stl" in contents(tmp_path / "out")


def _bare_box() -> str:
    tables = {**tomllib.loads(preset_text("keepsake-box")), "title": "bare"}
    tables["box"].pop("groove")
    tables["box"].pop("panel")
    return tomlkit.dumps(tables)


@pytest.mark.parametrize("asked", ["cnc-jig-note.md", "template.pdf"])
@pytest.mark.whole
def test_what_each_kind_of_corner_has_is_found_by_its_plain_name(asked: str, tmp_path: Path) -> None:
    """A drawer has three kinds of corner: the front ones are alike, the back ones are each other's mirror images."""
    source = tmp_path / "recipes"
    source.mkdir()
    (source / "a.toml").write_text(preset_text("desk-drawer"))
    process = halfpin(str(source), "--out", str(tmp_path / "out"), "--files", asked)
    assert process.returncode == 0, process.stderr
    assert sum(name.endswith(asked) for name in contents(tmp_path / "out")) == 3


def test_files_of_both_are_papers_notes_and_the_booklet() -> None:
    """What a box has for each kind of corner too; all else of a corner is named after it."""
    papers = {name for name, rows in NAMED.items() if rows[0].group == "paper" and "corner" in rows[0].of}
    of_both = {*papers, "cnc-jig-note.md", "booklet.pdf", "waste.step", "bill-of-materials.csv", "cutting-plan.pdf"}
    assert {name for name in NAMED if len(pieces_with(name)) == 2} == of_both
    of_box = [name for name in NAMED if name.startswith("box") or name == "cut-list.csv"]
    assert {pieces_with(name) for name in of_box} == {frozenset({"box"})}
    assert pieces_with("tail-board.stl") == pieces_with("gaps") == frozenset({"corner"})


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("nowhere",), "neither a folder"),
        (("TABLE", "--files", "corner.stp"), "the nearest is corner.step"),
        (("TABLE", "--base", "nowhere"), "neither a recipe file nor a preset"),
        (("TABLE", "--grid", "joint=3"), "not a key that a grid can vary"),
        (("TABLE", "--cluster", "nonsense://x"), "is not an address"),
    ],
)
def test_bad_input_is_one_line_and_exit_two(table: str, tmp_path: Path, arguments: tuple[str, ...], words: str) -> None:
    process = halfpin(*(table if each == "TABLE" else each for each in arguments), "--out", str(tmp_path / "out"))
    assert process.returncode == 2
    assert words in process.stderr
    assert not (tmp_path / "out" / "index.csv").exists()


@pytest.mark.whole
def test_a_cluster_that_does_not_answer_is_bad_input(table: str, tmp_path: Path) -> None:
    script = f"import solids.app.batch.run\nsolids.app.batch.run.ANSWERS_WITHIN = 1.0\n{MAIN}"
    process = ended(script, "batch", table, "--cluster", "tcp://127.0.0.1:9", "--out", str(tmp_path / "out"))
    assert process.returncode == 2, process.stderr
    assert "no scheduler answers there" in process.stderr
    assert "Traceback" not in process.stderr
    assert not (tmp_path / "out" / "index.csv").exists()


def test_two_runs_into_one_folder_do_not_meet(table: str, tmp_path: Path) -> None:
    with claimed(tmp_path):
        second = halfpin(table, "--out", str(tmp_path))
        assert second.returncode == 2
        assert "is being written by another run" in second.stderr
        assert list(tmp_path.iterdir()) == []


@pytest.mark.whole
def test_ctrl_c_ends_it_whole_and_the_rest_is_done_later(tmp_path: Path) -> None:
    source = tmp_path / "many.csv"
    source.write_text("title,joint.width\n" + "".join(f"joint {n},{96 + n / 10}\n" for n in range(400)), "utf-8")
    out = tmp_path / "out"
    script = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n" + MAIN
    with subprocess.Popen(
        [sys.executable, "-c", script, "batch", str(source), "--out", str(out), "--check", "--jobs", "2"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    ) as process:
        for _ in range(600):
            if (out / LEDGER).is_file() and (out / LEDGER).read_text().count("\n") > 5:
                break
            time.sleep(0.05)
        os.killpg(process.pid, signal.SIGINT)
        said, told = process.communicate(timeout=60)
    assert process.returncode == 130, told
    assert "Stopped. Finished joints are complete; --resume continues." in told
    assert "Traceback" not in told
    count = len(rows(out))
    assert 5 <= count < 400
    assert f"{count} of 400 joints" in said


# --- executors -----------------------------------------------------------------------------------


class Broken(Executor):
    """Gives what it is told to."""

    def __init__(self, error: BaseException) -> None:
        self.error = error

    def submit(self, fn: Any, /, *_: Any, **__: Any) -> Future[Any]:
        assert fn
        future: Future[Any] = Future()
        future.set_exception(self.error)
        return future


@pytest.mark.parametrize(
    ("error", "verdict"), [(TimeoutError(), "too slow"), (OSError("gone"), "crashed"), (KernelError("x"), "crashed")]
)
def test_what_an_executor_cannot_do_costs_that_joint_alone(table: str, error: Exception, verdict: str) -> None:
    found = list(run.outcomes(some(table), run.Crew(Broken(error), 1), check_only=True, anyway=False))
    assert {outcome.verdict for outcome in found} == {verdict}


class Gone(Broken):
    """Takes work, and never gives any back."""

    def submit(self, fn: Any, /, *_: Any, **__: Any) -> Future[Any]:
        assert fn
        return Future()


def test_a_cluster_that_goes_away_is_told_and_ends_the_wait(table: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "CHECK_EVERY", 0.05)
    crew = run.Crew(Gone(OSError()), 1, lambda: False)
    found = list(run.outcomes(some(table), crew, check_only=True, anyway=False))
    assert [outcome.message for outcome in found if outcome.verdict == "crashed"] == [run.GONE] * 4


def test_an_executor_that_takes_nothing_is_told_joint_by_joint(table: str) -> None:
    executor = ThreadPoolExecutor(1)
    executor.shutdown()
    found = list(run.outcomes(some(table), run.Crew(executor, 1), check_only=True, anyway=False))
    assert [outcome.verdict for outcome in found] == ["crashed"] * 4
    assert "no worker took it: RuntimeError" in found[0].message


def test_any_executor_of_the_standard_interface_serves(table: str) -> None:
    with ThreadPoolExecutor(1) as executor:
        found = list(run.outcomes(some(table), run.Crew(executor, 1), check_only=True, anyway=False))
    assert sorted(outcome.verdict for outcome in found) == ["passes", "passes", "passes", "refused"]


def _dies(task: Task, check_only: bool, anyway: bool) -> Outcome:
    if task.title == "two":
        os._exit(9)
    if task.title == "three":
        time.sleep(60)
    return worker.outcome_of(task, "passes", "")


@pytest.mark.whole
def test_a_crash_and_a_slow_joint_cost_themselves_and_the_workers_are_replaced(
    table: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(run, "do_task", _dies)
    monkeypatch.setattr(run, "load_kernel", int)
    with run.executor_for("", 1, 1.0) as crew:
        found = {o.title: o for o in run.outcomes(some(table), crew, check_only=True, anyway=False)}
    assert found["one"].verdict == found["closed"].verdict == "passes"
    assert found["two"].verdict == "crashed"
    assert found["three"].verdict == "too slow"


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    pytest.importorskip("distributed", reason="the package distributed is not installed (halfpin[cluster])")
    folder = tmp_path_factory.mktemp("cluster")
    file = folder / "scheduler.json"
    quiet: dict[str, Any] = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "cwd": folder}
    python = [sys.executable, "-W", "ignore", "-m"]
    started = [
        subprocess.Popen(
            [*python, "distributed.cli.dask_scheduler", *SCHEDULER.split(), "--scheduler-file", str(file)],
            **quiet,
        )
    ]
    for _ in range(400):
        if file.is_file() and file.read_text():
            break
        time.sleep(0.1)
    address = json.loads(file.read_text())["address"]
    for _ in range(2):
        started.append(
            subprocess.Popen(
                [*python, "distributed.cli.dask_worker", address, *WORKER.split()],
                **quiet,
            )
        )
    from distributed import Client

    with Client(address, timeout=60, set_as_default=False) as client:
        client.wait_for_workers(2, timeout=60)
    yield address, started
    for process in reversed(started):
        process.kill()
        process.wait()


@pytest.mark.filterwarnings("ignore")
@pytest.mark.whole
def test_a_real_scheduler_gives_the_same_bytes_also_when_a_worker_is_killed(
    cluster: tuple[str, list[subprocess.Popen[bytes]]],
    done: tuple[Path, subprocess.CompletedProcess[str]],
    tmp_path: Path,
) -> None:
    address, processes = cluster
    source = tmp_path / "joints.csv"
    extra = "".join(f"more {n},{96 + n},4\n" for n in range(24))
    source.write_text(ROWS + extra, "utf-8")
    out, picked = tmp_path / "out", ("--files", ",".join(PICKED))
    with Forked(MAIN, "batch", str(source), "--out", str(out), *picked, "--cluster", address) as process:
        for _ in range(1200):
            if (out / LEDGER).is_file() and (out / LEDGER).read_text().count("\n") >= 3:
                break
            time.sleep(0.05)
        processes[-1].kill()
        said, told = process.communicate(timeout=240)
    assert process.returncode == 2, told
    assert "28 of 28 joints: 27 pass, 1 refused." in said
    found = contents(out)
    for name, data in contents(done[0]).items():
        assert found[name] == data, name


# --- one joint -----------------------------------------------------------------------------------


def test_what_goes_wrong_in_a_joint_is_an_outcome(table: str, monkeypatch: pytest.MonkeyPatch) -> None:
    task = some(table)[0]

    def raises(error: Exception) -> Outcome:
        def fail(*_: object) -> None:
            raise error

        monkeypatch.setattr(worker, "_prove_and_make", fail)
        return do_task(task, check_only=True, anyway=False)

    assert raises(KernelError("bad")).verdict == "crashed"
    assert raises(InputError("bad")).verdict == "refused"
    assert raises(ZeroDivisionError("odd")).message == "ZeroDivisionError: odd"


def test_a_failing_joint_is_written_only_when_told(table: str) -> None:
    tight = replace(
        some(table)[0], tables=some(table)[0].tables.replace('"joint"', '"fit": {"flank_gap": -0.08}, "joint"')
    )
    assert do_task(tight, check_only=False, anyway=False).files == {}
    told = do_task(tight, check_only=False, anyway=True)
    assert told.verdict == "fails"
    assert set(told.files) == {"corner.step", "boards/tail-board.stl", "cnc-jig-note.md", "report.json"}


def test_a_worker_loads_the_kernel_once() -> None:
    worker.load_kernel()
    assert "OCP" in sys.modules


# --- the folder ----------------------------------------------------------------------------------


def outcome(**changes: Any) -> Outcome:
    plain = Outcome("row 2", "one", "one", "k", "passes", files={"report.json": b'{"title": "one", "files": []}'})
    return replace(plain, **changes)


def test_files_that_are_not_ours_are_left_and_the_joint_is_refused(table: str, tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "one" / "corner.step").write_text("mine")
    ledger = Ledger(tmp_path)
    told = ledger.put(do_task(some(table)[0], check_only=False, anyway=False))
    ledger.close()
    assert told.verdict == "refused"
    assert "corner.step" in told.message
    assert (tmp_path / "one" / "corner.step").read_text() == "mine"


def test_a_full_disk_ends_the_run_and_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise FileError("cannot be written: no space left") from OSError(errno.ENOSPC, "no space left")

    monkeypatch.setattr("solids.app.batch.ledger.publish", full)
    ledger = Ledger(tmp_path)
    with pytest.raises(FileError, match="no space left"):
        ledger.put(outcome())
    ledger.close()


def test_a_line_that_was_cut_off_counts_for_nothing(table: str, tmp_path: Path) -> None:
    task = some(table)[0]
    ledger = Ledger(tmp_path)
    ledger.put(do_task(task, check_only=True, anyway=False))
    ledger.close()
    text = (tmp_path / LEDGER).read_text()
    (tmp_path / LEDGER).write_text(text + text[: len(text) // 2])
    again = Ledger(tmp_path)
    found = again.still_good(task, check_only=True, anyway=False)
    assert found is not None
    assert found.verdict == "passes"
    assert again.still_good(replace(task, files=("paper",)), check_only=True, anyway=False) is None
    again.put(do_task(some(table)[1], check_only=True, anyway=False))
    again.close()
    with closing(Ledger(tmp_path)) as last:
        assert len(last.kept) == 2, "what is written after it begins a line of its own"


def test_a_folder_that_cannot_be_made_is_told(table: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    assert "file is a file; a folder is needed" in commands.refused("batch", table, "--out", str(tmp_path / "file/out"))


# --- resuming ------------------------------------------------------------------------------------


def resumed(table: str, out: Path, *options: str) -> str:
    """What a run that goes on says."""
    return halfpin(table, "--out", str(out), "--files", "corner.step", "--jobs", "1", "--resume", *options).stderr


@pytest.mark.whole
def test_what_was_only_proved_is_written_when_a_resumed_run_writes(table: str, tmp_path: Path) -> None:
    halfpin(table, "--out", str(tmp_path), "--files", "corner.step", "--jobs", "1", "--check")
    assert "already done" not in resumed(table, tmp_path)
    assert {"one/corner.step", "two/corner.step", "three/corner.step"} <= set(contents(tmp_path))
    assert "3 joints are already done." in resumed(table, tmp_path, "--check")


@pytest.mark.whole
def test_a_failing_joint_is_written_when_a_resumed_run_insists(tmp_path: Path) -> None:
    table = tmp_path / "tight.csv"
    table.write_text("title,fit.flank_gap\none,-0.06\n", "utf-8")
    out = tmp_path / "out"
    halfpin(str(table), "--out", str(out), "--files", "corner.step", "--jobs", "1")
    assert "1 joint is already done." in resumed(str(table), out)
    assert contents(out) == {}
    assert "already done" not in resumed(str(table), out, "--anyway")
    assert set(contents(out)) == {"one/corner.step", "one/cnc-jig-note.md", "one/report.json"}


@pytest.mark.whole
def test_rows_that_moved_and_tables_that_were_renamed_are_known_again(table: str, tmp_path: Path) -> None:
    out = tmp_path / "out"
    halfpin(table, "--out", str(out), "--files", "corner.step", "--jobs", "1")
    moved = tmp_path / "other.csv"
    moved.write_text("title,joint.width,joint.tails\nzero,80,3\nthree,110,5\none,96,4\n", "utf-8")
    assert "2 joints are already done." in resumed(str(moved), out)
    assert {title: row["origin"] for title, row in rows(out).items()} == {
        "zero": "other.csv, row 2",
        "three": "other.csv, row 3",
        "one": "other.csv, row 4",
    }


@pytest.mark.whole
def test_a_recipe_that_was_renamed_is_known_again(tmp_path: Path) -> None:
    source, out = tmp_path / "recipes", tmp_path / "out"
    source.mkdir()
    (source / "a.toml").write_text(preset_text("tool-tray"), "utf-8")
    halfpin(str(source), "--out", str(out), "--files", "corner.step", "--jobs", "1")
    (source / "a.toml").rename(source / "b.toml")
    assert "1 joint is already done." in resumed(str(source), out)
    assert rows(out)["tool tray"]["origin"] == "b.toml"


@pytest.mark.whole
def test_a_run_that_forgets_to_resume_loses_nothing_and_says_what_it_does(table: str, tmp_path: Path) -> None:
    halfpin(table, "--out", str(tmp_path), "--files", "corner.step", "--jobs", "1", "--check")
    before = (tmp_path / LEDGER).read_text()
    again = halfpin(table, "--out", str(tmp_path), "--files", "corner.step", "--jobs", "1", "--check")
    assert "holds 4 joints of an earlier run. Those in this run are made again; with --resume" in again.stderr
    assert (tmp_path / LEDGER).read_text().startswith(before)


# --- what is not ours ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["index.html", "index.csv", "batch.jsonl"])
@pytest.mark.parametrize("as_link", [False, True])
def test_a_file_of_somebody_else_in_the_folder_is_never_touched(
    table: str, tmp_path: Path, name: str, as_link: bool
) -> None:
    out, elsewhere = tmp_path / "out", tmp_path / "elsewhere.txt"
    out.mkdir()
    elsewhere.write_text("mine")
    (out / name).symlink_to(elsewhere) if as_link else (out / name).write_text("mine")
    told = commands.refused("batch", table, "--out", str(out), "--check", "--jobs", "1")
    assert f"{name} {'is not an ordinary file' if as_link else 'was not written by this tool'}" in told
    assert (out / name).read_text() == elsewhere.read_text() == "mine"


@pytest.mark.whole
def test_a_list_that_was_changed_is_told_and_stays(table: str, tmp_path: Path) -> None:
    halfpin(table, "--out", str(tmp_path), "--check", "--jobs", "1")
    (tmp_path / "index.csv").write_text("my own notes")
    told = commands.refused("batch", table, "--out", str(tmp_path), "--check", "--jobs", "1")
    assert "index.csv was changed since it was written. Move it away" in told
    assert (tmp_path / "index.csv").read_text() == "my own notes"


@pytest.mark.whole
def test_code_beside_the_table_is_not_run(table: str, tmp_path: Path) -> None:
    """Modules by the names of those that a new process loads first."""
    for name in ("socket", "signal", "struct", "random", "selectors", "pebble", "solids"):
        (tmp_path / f"{name}.py").write_text(
            f"open({str(tmp_path / 'ran')!r}, 'a').write('{name} ')\nraise SystemExit(9)\n"
        )
    source = tmp_path / "joints.csv"
    source.write_text("title,joint.width\none,96\n", "utf-8")
    script = Path(sys.executable).parent / "halfpin"
    done = subprocess.run(
        [str(script), "batch", "joints.csv", "--check", "--jobs", "2"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert not (tmp_path / "ran").exists(), (tmp_path / "ran").read_text()
    assert done.returncode == 0, done.stderr


# --- the index -----------------------------------------------------------------------------------


def test_the_index_names_every_verdict_and_keeps_formulas_out_of_spreadsheets(tmp_path: Path) -> None:
    found = [
        outcome(title="=1+1", size={"width_mm": 88.9}, warnings=("a <b>",)),
        outcome(title="slow", slug="slow", verdict="too slow", message="it took long"),
    ]
    assert summary(found) == "1 passes, 1 too slow"
    assert summary([]) == "none"
    assert b"'=1+1," in csv_bytes(found, tmp_path)
    page = html_bytes(found, tmp_path).decode()
    assert "a &lt;b&gt;" in page
    assert 'data-verdict="too slow"' in page
    assert "<img" not in page
    (tmp_path / "one").mkdir()
    (tmp_path / "one" / "corner.png").write_bytes(b"x")
    (tmp_path / "one" / "corner.html").write_bytes(b"x")
    page = html_bytes(found, tmp_path).decode()
    assert '<img src="one/corner.png"' in page
    assert 'href="one/corner.html"' in page
    assert '<li><a href="one/corner.png">corner.png</a></li>' in page, "and so is every other file"


def test_the_index_is_in_inches_where_every_recipe_is(tmp_path: Path) -> None:
    """By hand: 88.9 mm are 3.5 in; beside a recipe in millimetres, or a refused one, it stays 88.9."""
    inches, mm = ({"width_mm": 88.9, "tail_board_mm": 9.525, "units": units} for units in ("in", "mm"))
    both = [outcome(size=inches), outcome(title="other", slug="other", verdict="refused", message="too wide")]
    page = html_bytes(both, tmp_path).decode()
    assert "width, in" in page
    assert '<td class="number">3.5</td>\n<td class="number">0.375</td>' in page
    page = html_bytes([*both, outcome(title="third", slug="third", size=mm)], tmp_path).decode()
    assert "width, mm" in page
    assert page.count('<td class="number">88.9</td>') == 2


def test_the_index_tells_of_drawers_in_their_openings_where_a_run_has_any(tmp_path: Path) -> None:
    """By hand: 381 mm are 15 in; a joint that is no drawer has nothing in those columns."""
    drawer = {"width_mm": 100.0, "units": "in", "opening_width_mm": 381.0, "free_sides_mm": 0.5}
    found = [outcome(size=drawer), outcome(title="corner", slug="corner", size={"width_mm": 96.0, "units": "in"})]
    first, second = csv.DictReader(csv_bytes(found, tmp_path).decode("utf-8-sig").splitlines())
    assert (first["opening_width_mm"], first["free_sides_mm"], second["opening_width_mm"]) == ("381", "0.5", "")
    assert "lip_covers_mm" not in first
    page = html_bytes(found, tmp_path).decode()
    assert "opening&#39;s width, in" in page
    assert '<td class="number">15</td>' in page
    assert "opening" not in html_bytes(found[1:], tmp_path).decode()


def test_a_drawer_of_a_table_is_told_with_its_room(tmp_path: Path) -> None:
    path = tmp_path / "drawers.csv"
    path.write_text("title,opening.width,box.front.lip.width\nlipped,400,9\n", "utf-8")
    (task,) = tasks_from(str(path), "fitted-drawer", (), (), ())
    done = do_task(task, check_only=True, anyway=False)
    assert done.verdict == "passes", done.message
    assert done.size["opening_width_mm"] == 400
    assert done.size["free_sides_mm"] == pytest.approx(0.5)
    assert done.size["free_damp_mm"] == pytest.approx(1)
    assert done.size["lip_covers_mm"] == pytest.approx(9 - done.size["free_dry_mm"])
