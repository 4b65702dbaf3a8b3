"""FreeCAD, headless, for the tests that let it read our files: where its command is, and how a script runs in it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

COMMAND = shutil.which("freecadcmd") or shutil.which("FreeCADCmd")

NEEDED = [
    pytest.mark.outside,
    pytest.mark.skipif(COMMAND is None, reason="neither freecadcmd nor FreeCADCmd is on PATH (Debian package freecad)"),
]
"""The marks of a module whose tests all need it: `pytestmark = NEEDED`."""


def found_by(script: str, folder: Path, **paths: Sequence[str]) -> Any:
    """What a script finds in files, {path: anything}. Each keyword is a name in the script that stands for a list of
    paths. The script fills `found`, which goes through a file: with a window FreeCAD cuts long lines short."""
    told = folder / "found.json"
    told.unlink(missing_ok=True)
    lines = ["import json", *(f"{name} = {list(listed)!r}" for name, listed in paths.items()), "found = {}", script]
    lines += [f"with open({str(told)!r}, 'w') as told:", "    json.dump(found, told)", ""]
    file = folder / "read.py"
    file.write_text("\n".join(lines), "utf-8")
    done = subprocess.run(
        [str(COMMAND), str(file)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "HOME": str(folder), "QT_QPA_PLATFORM": "offscreen"},
    )
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    assert told.exists(), done.stdout[-2000:] + done.stderr[-2000:]
    return json.loads(told.read_text("utf-8"))
