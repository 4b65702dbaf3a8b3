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
        return FAILS_PROOF, (told(err),)
    if isinstance(err, RecipeError) and len(err.problems) > 1:
        return BAD_INPUT, ("Errors:", *map(str, err.told))
    if isinstance(err, FaultError) or not isinstance(err, HalfpinError | OSError):
        return OUR_FAULT, (told(err),)
    return BAD_INPUT, (f"Error: {told(err)}",)


def told(err: Exception) -> str:
    """What an error says to a maker."""
    if isinstance(err, HalfpinError) and not isinstance(err, FaultError):
        return str(err)
    if isinstance(err, OSError) and not isinstance(err, FaultError):
        return f"{err.filename or 'the output'} cannot be read or written: {why_not(err)}"
    return f"{REPORT} Add this line: halfpin {__version__}: {type(err).__name__}: {str(err)[:300]}"
