"""The boards in the maker's rack, as a cutting plan reads them. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Literal

from solids.base.geometry import Span
from solids.wood.record import Wood

GrainPlan = Literal["round", "yield"]


@dataclass(frozen=True)
class RackBoard:
    """Boards of one kind, as they lie in the rack: `count` of them, with the grain along `length`. `planed` ones have
    their thickness already, others are still to be planed. `avoid` are spans along the length, from the left end, that
    no part may lie on, in their order and apart. `name` is what the maker chalked on them, "" for nothing."""

    length: float
    width: float
    thickness: float
    wood: Wood
    count: int = 1
    name: str = ""
    planed: bool = False
    avoid: tuple[Span, ...] = ()

    @property
    def assumed_wood(self) -> str:
        """How its wood is told where a rule chose it for a board of the piece."""
        return replace(self.wood, is_assumed=True).told

    def given(self) -> dict[str, object]:
        """What is said of it, by the keys of a recipe."""
        found = {item.name: getattr(self, item.name) for item in fields(self)}
        return {key: value for key, value in found.items() if value not in ("", False, ())}

    @property
    def clear(self) -> tuple[Span, ...]:
        """What lies between the spans to avoid and the ends, from the left."""
        starts = (0.0, *(high for _, high in self.avoid))
        ends = (*(low for low, _ in self.avoid), self.length)
        return tuple((low, high) for low, high in zip(starts, ends, strict=True) if high > low)


@dataclass(frozen=True)
class Rack:
    """The boards, what the saw that cuts them takes, and what goes first: grain that runs "round" the piece, or the
    best "yield". Empty where the maker named no board."""

    boards: tuple[RackBoard, ...] = ()
    kerf: float = 0.0
    grain: GrainPlan = "yield"


NO_RACK = Rack()
"""That of a maker who named no board."""
