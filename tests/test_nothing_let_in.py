"""What lies beside a recipe or a table is never run and never read as settings, whatever the command.

Beside every input lie modules by the names of all that a process of ours could import, and settings of libraries that
break whoever reads them.
"""

from __future__ import annotations

import ast
import os
import signal
import subprocess
import sys
import time
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

import solids
from solids.app.cli import cli
from solids.recipe import preset_text
from solids.recipe.text.texts import preset_text as any_preset

SCRIPT = Path(sys.executable).parent / "halfpin"

BROKEN = b"\xff\xfe[core\n\x00"
SETTINGS = (
    "ezdxf.ini",
    ".ezdxf.ini",
    "pytest.ini",
    "dask.yaml",
    "distributed.yaml",
    "fonts.conf",
    "vtk.ini",
    "pyvenv.cfg",
)

CSV = "title,joint.width\none,96\n"
COMMANDS: dict[str, tuple[list[str], set[int]]] = {
    "new": (["fresh.toml"], {0}),
    "layout": (["mine.toml"], {0}),
    "check": (["mine.toml"], {0}),
    "build": (["mine.toml", "--page", "--gaps", "--paper"], {0}),
    "paper": (["box.toml"], {0}),
    "aids": (["mine.toml", "--only", "marking-template"], {0}),
    "compare": (["mine.toml"], {0}),
    "freeze": (["mine.toml"], {0}),
    "presets": ([], {0}),
    "woods": ([], {0}),
    "schema": ([], {0}),
    "shop": ([], {0}),
    "batch": (["joints.csv", "--base", "mine.toml", "--files", "corner,paper,gaps", "--jobs", "2"], {0}),
    "bench": (["mine.toml", "--no-open"], {128 + signal.SIGTERM}),
}

READY = {"bench": "The recipes are in"}
"""What is said by a command that stays until it is stopped, once it is at work."""


def laid(folder: Path) -> Path:
    """A folder of hostile files, and inputs among them; each module that is run adds its name to `ran`."""
    folder.mkdir()
    ran = folder.parent / "ran"
    code = f"open({str(ran)!r}, 'a').write(__name__ + ' ')\nraise SystemExit(9)\n"
    installed = {name for name in packages_distributions() if name.isidentifier()}
    others = {"sitecustomize", "usercustomize", "reportlab_settings", "local_reportlab_settings", "readline"}
    for name in (sys.stdlib_module_names | installed | others) - {"__main__"}:
        (folder / f"{name}.py").write_text(code)
    (folder / "solids").mkdir()
    (folder / "solids" / "__init__.py").write_text(code)
    for name in SETTINGS:
        (folder / name).write_bytes(BROKEN)
    (folder / "cache" / "ezdxf").mkdir(parents=True)
    (folder / "cache" / "ezdxf" / "font_manager_cache.json").write_text('{"version": 2, "font-faces": [1]}')
    (folder / "mine.toml").write_text(preset_text("tool-tray"), "utf-8")
    (folder / "box.toml").write_text(any_preset("keepsake-box"), "utf-8")
    (folder / "joints.csv").write_text(CSV, "utf-8")
    return ran


def run(folder: Path, *arguments: str) -> tuple[int, str]:
    """The script as it is installed, in the folder."""
    environment = {**os.environ, "XDG_CACHE_HOME": str(folder / "cache")}
    environment.pop("PYTHONSAFEPATH", None)
    with subprocess.Popen(
        [str(SCRIPT), *arguments],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env=environment,
        start_new_session=True,
    ) as process:
        if ready := READY.get(arguments[0]):
            assert process.stdout
            next(line for line in process.stdout if ready in line)
            time.sleep(2.0)  # the process beside it loads what proves and makes
            process.send_signal(signal.SIGTERM)
        said = process.communicate()[0]
    return process.returncode, said


@pytest.mark.parametrize("command", sorted(cli.commands))
def test_no_command_runs_or_reads_what_lies_beside_its_input(command: str, tmp_path: Path) -> None:
    arguments, codes = COMMANDS[command]
    ran = laid(tmp_path / "folder")
    code, said = run(tmp_path / "folder", command, *arguments)
    assert not ran.exists(), f"run: {ran.read_text()}"
    assert code in codes, said


def test_a_hostile_module_is_run_where_nothing_is_done_about_it(tmp_path: Path) -> None:
    """The test above can fail: Python itself, started in that folder, runs them."""
    ran = laid(tmp_path / "folder")
    plain = {key: value for key, value in os.environ.items() if key != "PYTHONSAFEPATH"}
    code = [sys.executable, "-c", "import pebble"]
    subprocess.run(code, cwd=tmp_path / "folder", check=False, capture_output=True, env=plain)
    assert "pebble" in ran.read_text()


def test_one_module_alone_loads_the_library_that_reads_settings() -> None:
    root = Path(solids.__file__).parent
    named = {
        path.relative_to(root).as_posix()
        for path in root.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Import | ast.ImportFrom)
        and any(
            name.partition(".")[0] == "ezdxf"
            for name in (
                [node.module or ""] if isinstance(node, ast.ImportFrom) else [alias.name for alias in node.names]
            )
        )
    }
    assert named == {"write/paper/ezdxf_alone.py"}
