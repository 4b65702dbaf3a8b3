"""The exit codes of `halfpin`, and what is said about an error."""

from __future__ import annotations

from solids import __version__
from solids.base.errors import FaultError, HalfpinError, JointError, RecipeError
from solids.base.findings import REPORT
from solids.base.windows import why_not

GOOD, FAILS_PROOF, BAD_INPUT, OUR_FAULT, STOPPED = 0, 1, 2, 3, 130
SIGNALLED = 128
"""What shells add to the number of the signal that ended a program."""


def explained(err: Exception) -> tuple[int, tuple[str, ...]]:
    """The exit code for an error, and what is said about it, in lines for people."""
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
    """The system's own words where it has some."""
    return why_not(err) if isinstance(err, OSError) else str(err)
