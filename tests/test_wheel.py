"""The wheel holds all that the command needs, and works outside the checkout."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path
from zipfile import ZipFile

import pytest

from tests.commands import halfpin, whole

ROOT = Path(__file__).parents[1]


def run(*command: str | Path, cwd: Path) -> str:
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    done = subprocess.run(
        list(map(str, command)), cwd=cwd, env=environment, capture_output=True, text=True, check=False, timeout=300
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Built from a copy, as building writes beside the sources; with the tests there, which must not come along."""
    source, out = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("wheel")
    for name in ("solids", "presets", "tests/base"):
        shutil.copytree(ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source)
    # Nothing is fetched: the build's own requirement, setuptools, comes with the test extra.
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", out, source, cwd=source)
    (found,) = out.glob("halfpin-*.whl")
    return found


def test_it_holds_every_file_of_the_tool_and_no_other(wheel: Path) -> None:
    def below(place: str) -> set[str]:
        files = (path for path in (ROOT / place).rglob("*") if path.is_file() and "__pycache__" not in path.parts)
        return {path.relative_to(ROOT / place).as_posix() for path in files}

    wanted = {f"solids/{name}" for name in below("solids")} | {f"solids/presets/{name}" for name in below("presets")}
    endings = {Path(name).suffix for name in wanted}
    assert {".py", ".toml", ".jinja", ".css", ".js", ".typed"} <= endings, "what could be left behind is looked for"
    with ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
    assert held == wanted


@pytest.mark.whole
def test_it_works_in_an_environment_and_a_folder_elsewhere(wheel: Path, tmp_path: Path) -> None:
    """Only the tool itself comes from the wheel; its libraries are those that are installed here, by their folder, so
    that no finder of the checkout comes along with them."""
    environment = tmp_path / "environment"
    venv.create(environment, with_pip=False, symlinks=sys.platform != "win32")
    programs = environment / ("Scripts" if sys.platform == "win32" else "bin")
    run(sys.executable, "-m", "pip", "--python", environment, "install", "--no-deps", "--no-index", wheel, cwd=tmp_path)
    packages = Path(
        run(programs / "python", "-c", "import sysconfig as s; print(s.get_path('purelib'))", cwd=tmp_path).strip()
    )
    (packages / "libraries.pth").write_text(sysconfig.get_path("purelib") + "\n", "utf-8")
    where = run(programs / "python", "-c", "import solids; print(solids.__file__)", cwd=tmp_path)
    assert Path(where.strip()) == packages / "solids" / "__init__.py"
    (tmp_path / "elsewhere").mkdir()
    run(programs / "halfpin", "build", "tool-tray", "--page", "--paper", cwd=tmp_path / "elsewhere")
    here = halfpin("build", "tool-tray", "--page", "--paper", "--out", str(tmp_path / "here"))
    assert here.returncode == 0, here.stderr
    assert whole(tmp_path / "elsewhere" / "exports") == whole(tmp_path / "here")
