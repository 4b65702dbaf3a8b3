"""The mitred shoulder: a strip along an edge where both boards are cut on one plane, in place of a half pin. Lengths in
mm, angles in radians.

Seen along X the plane is a line in (Y, Z). It runs from the inside corner, (0, r) with a rebate of depth r, to the
outside corner as finished, (t_p - c, t_t - c), with c what planing takes off the show faces. Boards of different
thickness meet it at different angles. Before planing it runs on straight to each show face.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.base.geometry import PlanePoint, Span, Vector
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.states import State


@dataclass(frozen=True)
class Mitre:
    """The line of a mitre, from (0, `foot`) to (`run`, `top`) in (Y, Z)."""

    foot: float
    run: float
    top: float

    @property
    def rise(self) -> float:
        """How far it rises along Z over its run along Y."""
        return self.top - self.foot

    @property
    def on_tail_board(self) -> float:
        """The angle between the mitre and the faces of the tail board."""
        return math.atan2(self.rise, self.run)

    @property
    def on_pin_board(self) -> float:
        """The angle between the mitre and the faces of the pin board."""
        return math.atan2(self.run, self.rise)

    @property
    def outward(self) -> Vector:
        """The normal of the mitre, of length 1, out of the tail board."""
        long = math.hypot(self.run, self.rise)
        return 0.0, self.rise / long, -self.run / long

    def y(self, z: float) -> float:
        """Where it is at a height."""
        return self.run * ((z - self.foot) / self.rise)

    def z(self, y: float) -> float:
        """How high it is at a place along Y."""
        share = y / self.run
        return self.foot * (1.0 - share) + self.top * share


def mitre_of(layout: Layout) -> Mitre:
    """The line of the mitred shoulders of a joint."""
    planing = layout.recipe.finish.planing
    return Mitre(layout.rebate, layout.as_cut.show_y - planing, layout.as_cut.show_z - planing)


def mitred_edges(layout: Layout) -> tuple[Span, ...]:
    """The spans in X that are mitred, in order of X."""
    (low, high), width = layout.mitred, layout.width
    return (*(((0.0, low),) if low else ()), *(((width - high, width),) if high else ()))


def tail_strip(layout: Layout, state: State) -> list[PlanePoint]:
    """What the tail board has past its baseline in a mitred strip, in (Y, Z), counter-clockwise."""
    mitre = mitre_of(layout)
    return [(0.0, mitre.foot), (mitre.y(state.show_z), state.show_z), (0.0, state.show_z)]


def pin_strip(layout: Layout, state: State) -> list[PlanePoint]:
    """What the pin board has above its baseline in a mitred strip, in (Y, Z), counter-clockwise."""
    mitre = mitre_of(layout)
    return [(0.0, mitre.foot), (state.show_y, mitre.foot), (state.show_y, mitre.z(state.show_y))]


def cheek(layout: Layout) -> list[PlanePoint]:
    """Where the side of a half pin as cut meets the side of the mitred strip beside it, in (Y, Z),
    counter-clockwise."""
    state, mitre = layout.as_cut, mitre_of(layout)
    (foot, tip, top), back = tail_strip(layout, state), state.show_y
    if tip[0] <= back:
        return [foot, tip, top]
    return [foot, (back, mitre.z(back)), (back, state.show_z), top]


def meeting_length(layout: Layout) -> float:
    """How far both boards as cut lie on each other along the mitre, across the corner."""
    mitre = mitre_of(layout)
    reach = min(mitre.y(layout.as_cut.show_z), layout.as_cut.show_y)
    return math.hypot(reach, mitre.z(reach) - mitre.foot)
