"""What is said of files that were written, for a corner and for a box."""

from __future__ import annotations

from typing import TYPE_CHECKING

from solids.terminal import say

if TYPE_CHECKING:
    from solids.write.table import Written

STALE_NAMED = 7
"""Of files that a change of the recipe has left behind: as many as come with every corner."""


def tell_written(written: Written) -> None:
    """How many files are where; and on stderr, what a reader should know of them."""
    for notice in written.notices:
        say(f"Note: {notice}.", err=True)
    if written.stale:
        names = ", ".join(written.stale[:STALE_NAMED])
        more = f" and {len(written.stale) - STALE_NAMED} more" if len(written.stale) > STALE_NAMED else ""
        say(f"Note: made from an earlier state of this recipe, make again: {names}{more}.", err=True)
    say(f"{written.count} files in {written.folder}")
