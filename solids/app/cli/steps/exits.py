"""The exit codes of `halfpin`, and the message for each error."""

from __future__ import annotations

from solids import __version__
from solids.base.errors import FaultError, HalfpinError, JointError, RecipeError
from solids.base.findings import REPORT
from solids.base.windows import why_not

GOOD, FAILS_PROOF, BAD_INPUT, OUR_FAULT, STOPPED = 0, 1, 2, 3, 130
SIGNALLED = 128
"""Shells report a program that a signal ended as this plus the signal's number."""


def explained(err: Exception) -> tuple[int, tuple[str, ...]]:
    """The exit code for an error, and its message, line by line."""
    if isinstance(err, JointError):
        return FAILS_PROOF, (str(err),)
    if isinstance(err, RecipeError) and len(err.problems) > 1:
        return BAD_INPUT, ("Errors:", *map(str, err.told))
    if isinstance(err, HalfpinError) and not isinstance(err, FaultError):
        return BAD_INPUT, (f"Error: {err}",)
    if isinstance(err, OSError):
        return BAD_INPUT, (f"Error: {err.filename or 'the output'} cannot be read or written: {reason(err)}",)
    return OUR_FAULT, (f"{REPORT} Add this line: halfpin {__version__}: {type(err).__name__}: {str(err)[:300]}",)


def reason(err: Exception) -> str:
    """The reason for an error, in the operating system's words where it has some."""
    return why_not(err) if isinstance(err, OSError) else str(err)
