"""Recipe files that commands write, and the message about files that were written."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from solids.app.cli.steps.exits import reason
from solids.app.terminal import say
from solids.base.errors import FileError
from solids.base.windows import is_reserved, move
from solids.write.named import offered

if TYPE_CHECKING:
    from solids.layout.assembly import PieceName
    from solids.write.files.table import Written
    from solids.write.named import Group

STALE_NAMED = 8
"""How many stale files are named: as many as come with every corner."""


def tell_written(written: Written) -> None:
    """Prints how many files were written and where. Notices about them go to stderr."""
    for notice in written.notices:
        say(f"Note: {notice}.", err=True)
    if written.stale:
        names = ", ".join(written.stale[:STALE_NAMED])
        more = f" and {len(written.stale) - STALE_NAMED} more" if len(written.stale) > STALE_NAMED else ""
        say(f"Note: out of date; make them again: {names}{more}.", err=True)
    say(f"{written.count} files in {written.folder}")


def tell_more(piece: PieceName, made: Sequence[Group]) -> None:
    """Prints in one line what else there is to write of a piece."""
    more = [f"`{command}` ({words})" for _, command, words in offered(piece, made)]
    if more:
        say(f"There is more: {', '.join(more)}.")


def write_new(file: Path, text: str) -> None:
    """Writes a new file. FileError if it exists or cannot be written."""
    if sys.platform == "win32" and is_reserved(file.name):
        raise FileError(f"{file.name} is the name of a device on Windows; give another name")
    try:
        with file.open("x", encoding="utf-8", newline="") as handle:
            try:
                handle.write(text)
                handle.flush()
            except OSError:
                file.unlink()
                raise
    except FileExistsError:
        raise FileError(f"{file} already exists and was left alone; give another name") from None
    except (OSError, ValueError) as err:
        raise FileError(f"{file} cannot be written: {reason(err)}") from None


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
        raise FileError(f"{file} cannot be written and was left unchanged: {reason(err)}{instead}") from None
    finally:
        with suppress(OSError):
            os.unlink(beside)
