"""Where Windows differs: names that it reserves, moves that fail while a file is open, and how long a path may be. On
other systems nothing here makes a difference, but for names: a folder may be taken to another machine.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

RESERVED = {
    *("con", "prn", "aux", "nul", "conin$", "conout$"),
    *(f"{port}{n}" for port in ("com", "lpt") for n in "0123456789\u00b9\u00b2\u00b3"),
}
"""Names of devices, whatever their ending (Microsoft, Naming Files, Paths, and Namespaces)."""

PATIENCE_S = (0.05, 0.1, 0.2, 0.4) if sys.platform == "win32" else ()
"""Windows moves no file that is open, nor over one that is. A virus scanner opens what is new for some moments, so a
move is tried again after these; a program that shows a file keeps it open for good. Elsewhere nothing hinders."""

WINDOWS_PATH_LONGEST = 259
"""Letters of a whole path on Windows, unless its user has switched long paths on (Microsoft, Maximum Path Length
Limitation: MAX_PATH is 260 with the closing zero)."""


def is_reserved(name: str) -> bool:
    """Whether a file's name is that of a device: what is written there is lost."""
    return name.partition(".")[0].rstrip().lower() in RESERVED


def move(source: Path, target: Path) -> None:
    """`os.replace`, with some patience. OSError as the system gives it."""
    for seconds in PATIENCE_S:
        try:
            os.replace(source, target)
        except PermissionError:
            time.sleep(seconds)
        else:
            return
    os.replace(source, target)


def why_not(err: OSError) -> str:
    """The reason of a failed write in words: the system's own, and on Windows what they mean there."""
    said = str(err.strerror or err)
    if sys.platform != "win32":
        return said
    longest = max((str(name) for name in (err.filename, err.filename2) if name), key=len, default="")
    if len(longest) > WINDOWS_PATH_LONGEST:
        return (
            f"{said}. The path {longest} has {len(longest)} letters, and Windows takes {WINDOWS_PATH_LONGEST}: "
            "take a folder with a shorter path, or a shorter title"
        )
    if isinstance(err, PermissionError) and err.filename2:
        return f"{said}. Close {err.filename2} where another program shows it, and try again"
    return said
