"""The script that opens the bench, from a fresh clone whose path has a space and a quote in it: real environments, made
by the real pip. Nothing is fetched: the libraries that are installed here stand on Python's path, where pip finds them.
"""

from __future__ import annotations

import os
import re
import runpy
import shutil
import signal
import subprocess
import sys
import sysconfig
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
GENEROUS = 180.0
BARE = "/usr/bin:/bin"

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the script for Windows is not one for this shell")


def clone(place: Path) -> Path:
    """The checkout as it stands, without what git ignores."""
    listed = ["git", "-C", str(ROOT), "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    names = subprocess.run(listed, check=True, capture_output=True).stdout.split(b"\0")
    places = (b"solids/", b"presets/", b"start/")
    for name in [name.decode() for name in names if name.startswith(places) or b"/" not in name]:
        if (ROOT / name).is_file():
            (place / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, place / name)
    return place


@pytest.fixture(scope="module")
def libraries(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """All that is installed here, but for Halfpin itself."""
    place = tmp_path_factory.mktemp("libraries")
    for path in Path(sysconfig.get_path("purelib")).iterdir():
        if "halfpin" not in path.name.lower() and not path.name.endswith(".pth"):
            (place / path.name).symlink_to(path)
    return place


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "recipes").mkdir()
    return clone(tmp_path / "Half pin's")


class Start:
    """The script at work."""

    def __init__(self, home: Path, libraries: Path | None, *arguments: str, script: str = "start-bench.sh") -> None:
        # The Python that this one was made from, as a maker would have it.
        base = str(Path(sys.base_prefix) / "bin")
        environment = {"PATH": f"{base}:{BARE}", "HOME": str(home.parent), "PIP_NO_INDEX": "1", "PIP_RETRIES": "0"}
        environment["HALFPIN_SETTINGS"] = str(home.parent)
        if libraries:
            environment |= {"PYTHONPATH": str(libraries), "PIP_NO_BUILD_ISOLATION": "0"}
        self.run = subprocess.Popen(
            [str(home / "start" / script), str(home.parent / "recipes"), "--no-open", *arguments],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            env=environment,
            start_new_session=True,
        )
        self.said = ""

    def until(self, words: str) -> None:
        assert self.run.stdout
        for line in self.run.stdout:
            self.said += line
            if words in line:
                return
        raise AssertionError(f"{words!r} was not said: {self.said}")

    def rest(self) -> int:
        assert self.run.stdout
        self.said += self.run.stdout.read()
        code = self.run.wait(GENEROUS)
        assert "Traceback" not in self.said
        return code

    def end(self, number: int = signal.SIGINT) -> int:
        """Told to end as by Ctrl-C, which goes to all that the terminal runs."""
        os.killpg(self.run.pid, number)
        return self.rest()


@contextmanager
def started(home: Path, libraries: Path | None, *arguments: str, script: str = "start-bench.sh") -> Iterator[Start]:
    there = Start(home, libraries, *arguments, script=script)
    try:
        yield there
    finally:
        with suppress(ProcessLookupError):
            os.killpg(there.run.pid, signal.SIGKILL)
        there.run.communicate()


def state(home: Path) -> str:
    return (home / ".venv" / "halfpin-state").read_text()


@pytest.mark.whole
def test_from_the_first_start_to_one_after_an_update(home: Path, libraries: Path) -> None:
    with started(home, libraries) as first:
        first.until("The recipes are in")
        assert "This is the first start" in first.said
        assert re.search(r"Open http://127\.0\.0\.1:\d+/", first.said)
        first.end()
    assert state(home).startswith("ready ")
    made = (home / ".venv" / "pyvenv.cfg").stat()
    for script in ("start-bench.sh", "start-bench.command"):
        with started(home, libraries, "--help", script=script) as second:
            assert second.rest() == 0, second.said
            assert second.said.startswith("Usage: halfpin bench"), "pip is not even asked"
    (home / "constraints.txt").write_text((home / "constraints.txt").read_text() + "# newer\n")
    with started(home, libraries) as third:
        third.until("The recipes are in")
        assert "newer than its environment" in third.said
        third.end()
    assert (home / ".venv" / "pyvenv.cfg").stat() == made, "it was not made anew"


@pytest.mark.whole
def test_a_start_that_was_interrupted_is_made_anew_and_two_at_once_wait_for_each_other(
    home: Path, libraries: Path
) -> None:
    with started(home, libraries) as first:
        latest = time.monotonic() + GENEROUS
        while not ((home / ".venv" / "halfpin-state").exists() and (home / ".venv" / "bin").exists()):
            assert time.monotonic() < latest
            time.sleep(0.01)
        first.end(signal.SIGKILL)
    assert state(home) == "making"
    (home / ".venv" / "left over").touch()
    with started(home, libraries) as one:
        one.until("was not finished")
        with started(home, libraries) as other:
            other.until("Another start is at work")
            one.until("The recipes are in")
            other.until("The recipes are in")
            assert not (home / ".venv" / "left over").exists()
            other.end()
        one.end()


@pytest.mark.parametrize(("text", "state"), [("", "making"), ("making", "making"), ("ready 12ab", "ready"), (None, "")])
def test_how_far_an_environment_has_come(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str | None, state: str
) -> None:
    """The file is empty where the machine went out while it was written."""
    script = runpy.run_path(str(ROOT / "start" / "start_bench.py"))
    file = tmp_path / "halfpin-state"
    if text is not None:
        file.write_text(text)
    found = script["state_there"]
    monkeypatch.setitem(found.__globals__, "STATE", file)
    assert found() == state


@pytest.mark.whole
def test_where_libraries_cannot_be_fetched_it_says_so_and_tries_again(home: Path) -> None:
    for words in ("This is the first start", "The last start was not finished"):
        with started(home, None) as there:
            assert there.rest() == 1
            assert words in there.said
            assert "Mostly it is the network" in there.said
        assert state(home) == "making"


def test_an_environment_of_somebodys_own_is_used_or_left_alone(home: Path) -> None:
    own = home / ".venv"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(own)], check=True)
    with started(home, None) as there:
        assert there.rest() == 1
        assert "that was not made here" in there.said
    site = next((own / "lib").glob("python*/site-packages"))
    # The libraries stand behind it, as if they were installed there.
    (site / "all.pth").write_text(f"{home}\n{sysconfig.get_path('purelib')}\n")
    with started(home, None) as there:
        there.until("The recipes are in")
        there.end()
    assert not (own / "halfpin-state").exists()


# --- where something is missing -------------------------------------------------------------------------


def in_a_system(home: Path, tmp_path: Path, **programs: str) -> tuple[int, str]:
    """Exit code and words of the script where the system has these programs only."""
    place = tmp_path / "bin"
    place.mkdir()
    for name in ("sh", "dirname", "readlink"):
        (place / name).symlink_to(str(shutil.which(name)))
    for name, text in programs.items():
        (place / name).write_text(text)
        (place / name).chmod(0o755)
    done = subprocess.run(
        [str(home / "start" / "start-bench.sh")],
        env={"PATH": str(place)},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stderr
    return done.returncode, done.stdout + done.stderr


def test_no_python_at_all(home: Path, tmp_path: Path) -> None:
    code, said = in_a_system(home, tmp_path)
    assert code == 2
    assert "Python 3.11 or later, and there is none here" in said
    assert "apt install python3" in said


OLD = f"""#!/bin/sh
[ "$1" = -c ] && exit 1
exec {sys.executable} -c '
import runpy, sys
sys.version_info = (3, 9, 2)
runpy.run_path(sys.argv[1], run_name="__main__")
' "$2"
"""


def test_a_python_that_is_too_old(home: Path, tmp_path: Path) -> None:
    code, said = in_a_system(home, tmp_path, python3=OLD)
    assert code == 2
    assert said.startswith("Halfpin needs Python 3.11 or later, and this is 3.9.\n")
    assert not (home / ".venv").exists()


BARE_PYTHON = f"""#!/bin/sh
[ "$1" = -c ] && exit 0
exec {sys.executable} -c '
import importlib.util, runpy, sys
find = importlib.util.find_spec
importlib.util.find_spec = lambda name: None if name == "ensurepip" else find(name)
runpy.run_path(sys.argv[1], run_name="__main__")
' "$2"
"""


def test_a_python_without_its_parts_for_environments(home: Path, tmp_path: Path) -> None:
    """As in Debian without the package python3-venv."""
    code, said = in_a_system(home, tmp_path, python3=BARE_PYTHON)
    assert code == 1
    assert "sudo apt install python3-venv" in said
    assert not (home / ".venv").exists()


# --- the scripts themselves -----------------------------------------------------------------------------


@pytest.mark.outside
@pytest.mark.skipif(shutil.which("shellcheck") is None, reason="shellcheck is not on PATH (Debian package shellcheck)")
def test_shellcheck_finds_nothing() -> None:
    scripts = [str(ROOT / "start" / name) for name in ("start-bench.sh", "start-bench.command")]
    done = subprocess.run(["shellcheck", *scripts], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (0, "")


def test_what_nobody_has_run_yet_says_so() -> None:
    for name, system in (("start-bench.command", "a Mac"), ("start-bench.cmd", "Windows")):
        text = (ROOT / "start" / name).read_bytes().decode()
        assert f"Not yet run on {system}" in text
        assert text.count("\n") == text.count("\r\n") or not name.endswith(".cmd")
    for name in ("start-bench.sh", "start-bench.command"):
        assert os.access(ROOT / "start" / name, os.X_OK), "a double-click starts it"
