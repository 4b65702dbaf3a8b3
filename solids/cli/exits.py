"""The exit codes of `halfpin`, and why something could not be read or written."""

from __future__ import annotations

GOOD, FAILS_PROOF, BAD_INPUT, OUR_FAULT, STOPPED = 0, 1, 2, 3, 130
SIGNALLED = 128
"""What shells add to the number of the signal that ended a program."""


def reason(err: Exception) -> str:
    """The system's own words where it has some."""
    return getattr(err, "strerror", None) or str(err)
