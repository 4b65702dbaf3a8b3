"""The family of errors.

    HalfpinError                      everything this package raises on purpose
    |- InputError (ValueError)        what was asked for cannot be done        exit 2
    |  |- LengthError                 a text or number that is no length
    |  `- RecipeError                 one or more problems of a recipe
    |- FileError (OSError)            a file cannot be read or written         exit 2
    |- JointError                     the joint fails its proof                exit 1
    `- FaultError (RuntimeError)      a fault of ours                          exit 3
       |- KernelError                 the geometry kernel refused an operation
       `- ReadBackError               a file we wrote does not read back equal

The library raises; it never prints and never exits. `app/cli/steps/way_out.py` turns these into exit codes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from solids.base.messages import Units, Words, said


class HalfpinError(Exception):
    """Anything this package raises on purpose; its text is one message for a maker."""


class InputError(HalfpinError, ValueError):
    """What was asked for cannot be done as asked."""


class LengthError(InputError):
    """A value that is not a length we can read."""


@dataclass(frozen=True)
class Told:
    """A problem in words."""

    key: str
    wrong: str
    remedy: str
    tries: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.key}: {self.wrong}; {self.remedy}"


@dataclass(frozen=True)
class Problem:
    """One thing wrong with a recipe: where it is, what is wrong, what would be accepted. `tries` are the values of the
    key that the remedy tells, as they would be typed."""

    key: str
    wrong: Words
    remedy: Words
    tries: tuple[Words, ...] = ()

    def told(self, units: Units = "mm") -> Told:
        """The problem in the reader's units."""
        tries = tuple(said(value, units) for value in self.tries)
        return Told(self.key, said(self.wrong, units), said(self.remedy, units), tries)


class RecipeError(InputError):
    """All problems of one recipe at once, and the units in which its reader thinks.

    `usable` is the recipe without its faulty side keys, where the keys that shape the joint are sound,
    so that the joint's own arithmetic can add its problems to the same list; otherwise None.
    """

    def __init__(self, problems: Iterable[Problem], units: Units = "mm", usable: Any = None) -> None:
        self.problems = tuple(problems)
        self.units = units
        self.usable = usable
        super().__init__("\n".join(map(str, self.told)))

    @property
    def told(self) -> tuple[Told, ...]:
        """The problems in words."""
        return tuple(problem.told(self.units) for problem in self.problems)


class FileError(HalfpinError, OSError):
    """A file or folder that cannot be read or written; nothing that stood there was harmed."""


class JointError(HalfpinError):
    """The joint fails its proof, so neither files nor assemblies are made of it."""


class FaultError(HalfpinError, RuntimeError):
    """A fault of ours, worth a report."""


class KernelError(FaultError):
    """The geometry kernel refused an operation or returned something that is no result."""


class ReadBackError(FaultError):
    """A file we wrote does not read back as what we meant to write."""
