"""A step of the work, and how lengths are told in it."""

from __future__ import annotations

from dataclasses import dataclass

from solids.bench.told import fine
from solids.layout import Layout


@dataclass(frozen=True)
class WorkStep:
    """One step: what to do in a few words, and how, in short sentences."""

    what: str
    how: str


@dataclass(frozen=True)
class Stage:
    """Steps of one part of the work, under a title. A step without a name is part of the one before it."""

    title: str
    steps: tuple[WorkStep, ...]


def kerf(layout: Layout) -> str:
    """The kerf of the maker's saw, in brackets; "" where none is named."""
    return f" (kerf {fine(layout, layout.recipe.kit.saw_kerf)})" if layout.recipe.kit.saw_kerf else ""
