"""What is made of a thing once, and kept with it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Any, Self, TypeVar

T = TypeVar("T")


class Keeping:
    """A thing that keeps what functions make of it."""

    def once(self, make: Callable[[Self], T]) -> T:
        """What a function makes of it, which is made once: many ask for the same."""
        if make not in self._kept:
            self._kept[make] = make(self)
        made: T = self._kept[make]
        return made

    @cached_property
    def _kept(self) -> dict[Callable[[Any], Any], Any]:
        return {}
