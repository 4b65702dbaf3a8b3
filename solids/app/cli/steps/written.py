"""The message about files that were written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from solids.app.terminal import say
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
