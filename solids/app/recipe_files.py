"""Recipe files, as they are written: new, or in place of what stood there, whole or not at all."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

from solids.base.errors import FileError
from solids.base.windows import is_reserved, move, why_not


def write_new(file: Path, text: str) -> None:
    """Writes a new file. FileError if it exists or cannot be written."""
    if sys.platform == "win32" and is_reserved(file.name):
        raise FileError(f"{file.name} is the name of a device on Windows; give another name")
    try:
        with file.open("x", encoding="utf-8", newline="") as handle:
            try:
                handle.write(text)
                handle.flush()
            except (OSError, ValueError):
                file.unlink()
                raise
    except FileExistsError:
        raise FileError(f"{file} already exists and was left alone; give another name") from None
    except (OSError, ValueError) as err:
        raise FileError(f"{file} cannot be written: {_reason(err)}") from None


def write_over(file: Path, text: str, instead: str = "") -> None:
    """Replaces the contents of a file, whole or not at all: the old text goes only once the new text is on disk. A file
    that is not there yet is made, with its folder. FileError if it cannot be written, with what can be done instead;
    the file is then unchanged."""
    place = file.resolve()  # so that a link stays a link
    beside = ""
    try:
        is_new = not place.exists()
        if is_new:
            place.parent.mkdir(parents=True, exist_ok=True)
        elif not os.access(place, os.W_OK):
            raise PermissionError(None, "it is read-only")
        number, beside = tempfile.mkstemp(prefix=".halfpin-", dir=place.parent)
        with open(number, "w", encoding="utf-8", newline="") as handle:
            handle.write(text)
            handle.flush()
            os.fsync(handle.fileno())
        if not is_new:
            shutil.copymode(place, beside)
        move(Path(beside), place)
    except OSError as err:
        raise FileError(f"{file} cannot be written and was left unchanged: {_reason(err)}{instead}") from None
    finally:
        with suppress(OSError):
            os.unlink(beside)


def _reason(err: OSError | ValueError) -> str:
    return why_not(err) if isinstance(err, OSError) else str(err)
