"""The parts of a piece as solids, each in its place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from solids.base.geometry import IDENTITY, Frame
from solids.layout.joint.faces import FaceNames, unnamed
from solids.model.kernel import Solid
from solids.model.kernel.shaping import placed
from solids.wood import Wood


@dataclass(frozen=True)
class Part:
    """One part in its place: `solid` in the frame of its shape, `rows` from there into the piece. Parts of one `shape`
    share their solid. `faces` names its faces, in the frame of its shape."""

    name: str
    shape: str
    solid: Solid
    wood: Wood
    rows: Frame = IDENTITY
    faces: FaceNames = unnamed

    @cached_property
    def in_place(self) -> Solid:
        """The solid where it stands in the piece."""
        return self.solid if self.rows == IDENTITY else placed(self.solid, self.rows)
