"""The command as a user runs it, a process of its own, and what it leaves in a folder.

The process is forked from an interpreter that has loaded everything (`tests/forks.py`), where nothing depends on what
Python settles when it starts.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tests.forks import Forked

MAIN = "from solids.app.cli import main; main()"
"""What the script `halfpin` does, for tests that start their process otherwise."""

CORNER_FILES = {
    "corner.step",
    "corner-finished.step",
    "waste.step",
    "boards/tail-board.step",
    "boards/pin-board.step",
    "boards/tail-board.stl",
    "boards/pin-board.stl",
    "boards/tail-board.dxf",
    "boards/pin-board.dxf",
    "boards/tail-board.svg",
    "boards/pin-board.svg",
    "bill-of-materials.csv",
    "cnc-jig-note.md",
    "booklet.pdf",
    "report.json",
}
PAPERS = {"glue-up.pdf", "setup-sheet.pdf", "template.pdf", "drawing.dxf", "drawing.svg", "drawing.pdf"}
TIGHT = ("--set", "fit.flank_gap=-0.06")
"""More than hardwood forgives: the tool tray then fails its proof."""


def halfpin(
    *arguments: str, cwd: Path | None = None, timeout: float | None = None, **environment: str
) -> subprocess.CompletedProcess[str]:
    """A run that has ended, well or not, but never with a traceback. Timeout in s."""
    done = ended(MAIN, *arguments, cwd=cwd, timeout=timeout, **environment)
    assert "Traceback" not in done.stdout + done.stderr
    return done


def ended(
    script: str, *arguments: str, cwd: Path | None = None, timeout: float | None = None, **environment: str
) -> subprocess.CompletedProcess[str]:
    """A run of `python -c SCRIPT ARGUMENTS` with these variables added, waited for. Timeout in s."""
    env = {**os.environ, **environment}
    if any(key.startswith(("PYTHON", "LC_", "LANG")) for key in environment):
        return _fresh(script, *arguments, cwd=cwd, timeout=timeout, env=env)
    with Forked(script, *arguments, cwd=cwd, env=env) as run:
        out, err = run.communicate(timeout)
    return subprocess.CompletedProcess(run.args, run.wait(), out, err)


def _fresh(
    script: str, *arguments: str, env: dict[str, str], cwd: Path | None = None, timeout: float | None = None
) -> subprocess.CompletedProcess[str]:
    """A run in an interpreter that is started for it."""
    command = [sys.executable, "-c", script, *arguments]
    return subprocess.run(
        command, capture_output=True, text=True, encoding="utf-8", check=False, cwd=cwd, timeout=timeout, env=env
    )


def told_elsewhere(script: str, *arguments: str, zone: str = "Asia/Kathmandu", cwd: Path | None = None) -> str:
    """What a script prints in a process with another hash order, another time zone and another language.

    Always a fresh interpreter, for a fork would have the order of hashes of the one it comes from. Python gives each
    process another, unless a variable that begins with PYTHONHASH fixes it.
    """
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHONHASH", "SOURCE_DATE"))}
    language = {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8"}
    env = {**kept, **language, "TZ": zone, "PYTHONPATH": str(Path(__file__).parents[1])}
    done = _fresh(script, *arguments, cwd=cwd, env=env)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def refused(*arguments: str, cwd: Path | None = None) -> str:
    """What the tool says on stderr when it refuses; nothing goes to stdout."""
    done = halfpin(*arguments, cwd=cwd)
    assert done.returncode == 2, done.stderr
    assert done.stdout == ""
    return done.stderr


def names_below(folder: Path) -> set[str]:
    """Every file below the folder."""
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def whole(folder: Path) -> dict[str, bytes]:
    """Every file below the folder, with its bytes."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder that must hold files only: one that holds a folder is an error."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}
