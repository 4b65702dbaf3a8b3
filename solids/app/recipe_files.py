"""Recipe files: read as they stand, and written new or in place of what stood there, whole or not at all."""

from __future__ import annotations

import os
import secrets
import shutil
import sys
from contextlib import suppress
from pathlib import Path

from solids.base.errors import FileError
from solids.base.windows import is_reserved, move, why_not
from solids.recipe.text.texts import text_of


def recipe_text(path: Path) -> str:
    """The text of a recipe in the folder as it is at this moment. FileError where it cannot be read, or is a link;
    FileNotFoundError where there is none."""
    if path.is_symlink():
        raise FileError(f"{path.name} is a link to another place; only recipes in the folder itself are opened")
    return text_of(path)


def write_new(file: Path, text: str) -> None:
    """Writes a new file. FileError if it exists or cannot be written."""
    if sys.platform == "win32" and is_reserved(file.name):
        raise FileError(f"{file.name} is the name of a device on Windows; give another name")
    begun = False
    try:
        with file.open("x", encoding="utf-8", newline="") as handle:
            begun = True
            handle.write(text)
    except FileExistsError:
        raise FileError(f"{file} already exists and was left alone; give another name") from None
    except (OSError, ValueError) as err:
        if begun:  # once it is closed, or Windows would keep it
            with suppress(OSError):
                file.unlink()
        raise FileError(f"{file} cannot be written: {_reason(err)}") from None


def write_over(file: Path, text: str, instead: str = "") -> None:
    """Replaces the contents of a file, whole or not at all: the old text goes only once the new text is on disk. A file
    that is not there yet is made, with its folder. FileError if it cannot be written, with what can be done instead;
    the file is then unchanged."""
    place = file.resolve()  # so that a link stays a link
    # A file made by `tempfile` would be private, in a folder that a workshop may share.
    beside = place.parent / f".halfpin-{secrets.token_hex(8)}"
    try:
        is_new = not place.exists()
        if is_new:
            place.parent.mkdir(parents=True, exist_ok=True)
        elif not os.access(place, os.W_OK):
            raise PermissionError(None, "it is read-only")
        with beside.open("x", encoding="utf-8", newline="") as handle:
            handle.write(text)
            handle.flush()
            os.fsync(handle.fileno())
        if not is_new:
            shutil.copymode(place, beside)
        move(beside, place)
    except OSError as err:
        raise FileError(f"{file} cannot be written and was left unchanged: {_reason(err)}{instead}") from None
    finally:
        with suppress(OSError):
            beside.unlink()


def _reason(err: OSError | ValueError) -> str:
    return why_not(err) if isinstance(err, OSError) else str(err)
