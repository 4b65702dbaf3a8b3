"""What the proof of a piece has found, apart from its solids: all that papers tell of it. No kernel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solids.base.findings import Finding, fails
from solids.bench.assembling import Move, Order, steps_of
from solids.layout import Layout
from solids.layout.assembly import Assembly, JointKind
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.model import BoxLayout


@dataclass(frozen=True)
class JointVerdict:
    """One kind of joint, and whether it goes together."""

    kind: JointKind
    passes: bool

    @property
    def layout(self) -> Layout:
        """The layout that its papers show."""
        return self.kind.layout


@dataclass(frozen=True)
class Verdict:
    """A piece, its joints, the order in which it goes together (empty where it is one joint alone), and every
    finding."""

    assembly: Assembly
    joints: Sequence[JointVerdict]
    order: Order
    findings: tuple[Finding, ...]

    @property
    def passes(self) -> bool:
        """Whether it goes together."""
        return not fails(self.findings)

    @property
    def box(self) -> BoxLayout:
        """The box that it is; for what is written of boxes alone."""
        assert self.assembly.box is not None
        return self.assembly.box

    @property
    def steps(self) -> list[str]:
        """The order in which the box goes together, in words, up to the glue-up."""
        fitted = fitting_of(self.box).parts
        order = Order(self._glued, self.order.stuck)
        return steps_of(order, {part.name: f"{part.step} {part.glue}".rstrip() for part in fitted})

    @property
    def parts(self) -> tuple[str, ...]:
        """The part of each of these steps; empty for one joint alone."""
        return tuple(move.part for move in self._glued)

    @property
    def _glued(self) -> tuple[Move, ...]:
        """The order without what goes in when the glue has set."""
        late = late_in(self.assembly.box) if self.assembly.box else set()
        return tuple(move for move in self.order.moves if move.part not in late)


def of_open_box(box: BoxLayout) -> set[str]:
    """The names of the parts that go in when the lid is sawn off."""
    return {part.name for part in fitting_of(box).parts if part.of_open_box}


def late_in(box: BoxLayout) -> set[str]:
    """The names of the parts that go in when the glue of the box has set."""
    return {part.name for part in fitting_of(box).parts if part.late}
