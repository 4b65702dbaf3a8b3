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
    paths. The script fills `found`; FreeCAD says much besides, so that it is told apart by the word before it."""
    lines = ["import json", *(f"{name} = {list(listed)!r}" for name, listed in paths.items())]
    file = folder / "read.py"
    file.write_text("\n".join([*lines, "found = {}", script, 'print("FOUND " + json.dumps(found))', ""]), "utf-8")
    done = subprocess.run(
        [str(COMMAND), str(file)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "HOME": str(folder), "QT_QPA_PLATFORM": "offscreen"},
    )
    told = [line.removeprefix("FOUND ") for line in done.stdout.splitlines() if line.startswith("FOUND ")]
    assert (done.returncode, len(told)) == (0, 1), done.stdout[-2000:] + done.stderr[-2000:]
    return json.loads(told[0])
