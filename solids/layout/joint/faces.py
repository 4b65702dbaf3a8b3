"""The names of a board's faces, each found from where the face lies: its outward normal and a point on it, in the
joint's frame (see `model`). Pure arithmetic, lengths in mm.

Tails, sockets, shoulders and pins are counted from the reference edge, half pins among the pins, and "left" is the side
toward it. A flank of a socket has the name of the tail's flank that it meets. Pieces of one plane share a name.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from solids.base.geometry import Point, Vector
from solids.layout.joint.shape.model import Layout

FaceNames = Callable[[Vector, Point], str]
"""The name of a face from its outward normal, of length 1, and a point within its outline."""

UNNAMED = "face"
"""The name of a face that no board of ours has; no proved board has one."""


def unnamed(_normal: Vector, _point: Point) -> str:
    """The name of every face of a solid that is no part of ours."""
    return UNNAMED


SAME_PLACE = 1e-6
"""Faces nearer than this lie in one plane: nothing that a recipe can ask for is so thin (mm)."""

SQUARE = 1e-7
"""A component of a normal under this is rounding: the flattest hollow, 0.01 mm in some 100 mm, leans a thousand times
as much."""

INSIDE, SHOW = "inside face", "show face"
REFERENCE_EDGE, OTHER_EDGE = "reference edge", "other edge"
FAR_END, RAW_END = "far end", "raw end"
SHOULDERS = "shoulders"
"""All shoulders of a tail board, which its rebate joins to one face."""


def signs(normal: Vector) -> tuple[int, int, int]:
    """The sign of each component, 0 where it is none."""
    x, y, z = (0 if abs(component) < SQUARE else 1 if component > 0 else -1 for component in normal)
    return x, y, z


def at(value: float, place: float) -> bool:
    """Whether a coordinate lies in a plane."""
    return abs(value - place) < SAME_PLACE


@dataclass(frozen=True, eq=False)
class _Faces:
    """What both boards have: edges, hands and counting from the reference edge."""

    layout: Layout

    def edge(self, toward: int) -> str:
        """The edge of the board that looks toward X = 0 (-1) or X = W (1)."""
        return REFERENCE_EDGE if (toward < 0) != self.layout.mirrored else OTHER_EDGE

    def hand(self, toward: int) -> str:
        """The side that lies toward X = 0 (-1) or X = W (1), as seen from the reference edge."""
        return "left" if (toward < 0) != self.layout.mirrored else "right"

    def tail(self, point: Point) -> int:
        """The number of the tail, or of the socket, at a point."""
        x, y, _ = point
        middles = (sum(gap.span(y)) / 2 for gap in self.layout.gaps if not gap.is_half)
        return self.layout.tails[sum(middle < x for middle in middles)].number

    def gap(self, point: Point) -> int:
        """The number of the pin, or of the shoulder, at a point, from 1 for the one nearest the reference edge."""
        return self.layout.counted(range(1, len(self.layout.gaps) + 1))[self._place(point)]

    def _place(self, point: Point) -> int:
        """The place of the gap at a point, in order of X. Hollows behind the baseline go straight on."""
        x, y, _ = point
        middles = (sum(self.layout.tail_edges(tail, max(y, 0.0))) / 2 for tail in self.layout.tails)
        return sum(middle < x for middle in middles) - (self.layout.tails[0].flank(-1) is None)

    def pin(self, point: Point) -> str:
        """ "pin 2", or "half pin 1"."""
        return f"{'half pin' if self.layout.gaps[self._place(point)].is_half else 'pin'} {self.gap(point)}"

    def flank(self, x: float, y: float, side: int) -> str:
        """ "3 left" for the flank near a point: of the flanks on the `side` of their tails toward X = 0 (-1) or X = W
        (1), the nearest."""
        flanks = (flank for flank in self.layout.flanks if flank.side == side)
        near = min(flanks, key=lambda flank: abs(flank.x(y) - x))
        return f"{near.tail} {self.hand(side)}"

    def mitre(self, x: float) -> str | None:
        """ "mitre at the reference edge" where X lies in a mitred strip."""
        low, high = self.layout.mitred
        if SAME_PLACE < x < low:
            return f"mitre at the {self.edge(-1)}"
        return f"mitre at the {self.edge(1)}" if self.layout.width - high < x < self.layout.width - SAME_PLACE else None

    def beside_mitre(self, x: float) -> str | None:
        """ "cheek beside the mitre at the reference edge" where X is the side of a mitred strip."""
        low, high = self.layout.mitred
        for wide, inner, toward in ((low, low, -1), (high, self.layout.width - high, 1)):
            if wide and at(x, inner):
                return f"cheek beside the mitre at the {self.edge(toward)}"
        return None


@dataclass(frozen=True, eq=False)
class TailBoardFaces(_Faces):
    """The faces of the tail board of a layout, as cut or finished."""

    def __call__(self, normal: Vector, point: Point) -> str:
        """The name of the face with this outward normal and this point on it."""
        match signs(normal):
            case 0, 0, up:
                return self._level(up, point)
            case side, 0, 0:
                return self._side(side, point)
            case 0, ahead, 0:
                return self._across(ahead, point)
            case looks:
                return self._leaning(looks, point)

    def _leaning(self, looks: tuple[int, int, int], point: Point) -> str:
        """A face that is square to no axis: a flank, a mitre, or a face of a chamfer or of a hollow."""
        x, y, _ = point
        match looks:
            case side, _, 0 if self._on_flank(side, point):
                return f"flank {self.flank(x, y, side)}"
            case side, _, -1 if side:
                return f"entry chamfer {self.flank(x, y, side)}"
            case 0, 1, up if y < 0.0:
                # A hollow lies behind the baseline. Its half at the inside face looks toward the show face.
                return f"undercut of shoulder {self.gap(point)}, {'inside' if up > 0 else 'show'} half"
            case 0, 1, up:
                mitre = self.mitre(x) if up < 0 else None
                return mitre or f"chamfer of tail {self.tail(point)}, {'show' if up > 0 else 'inside'} side"
            case side, 1, 0:
                return f"chamfer of tail {self.tail(point)}, {self.hand(side)} side"
        return UNNAMED

    def _on_flank(self, side: int, point: Point) -> bool:
        x, y, _ = point
        return y > 0.0 and any(flank.side == side and at(flank.x(y), x) for flank in self.layout.flanks)

    def _side(self, side: int, point: Point) -> str:
        """A face square to X: an edge, a square flank, the wall of the strip that runs on beside the joint or of a
        mitred one, or a hollow's end."""
        x, y, _ = point
        below, above = self.layout.strips
        if at(x, -below if side < 0 else self.layout.width + above):
            return self.edge(side)
        if self._on_flank(side, point):
            return f"flank {self.flank(x, y, side)}"
        if y > 0.0:
            return self.beside_mitre(x) or f"wall of {self._strip(x)}"
        # The wall of a hollow looks into it, so the one that looks toward X = W is at its end toward X = 0.
        return f"undercut of shoulder {self.gap(point)}, {self.hand(-side)} end"

    def _across(self, ahead: int, point: Point) -> str:
        """A face square to the length of the board. A rebate joins all shoulders."""
        x, y, _ = point
        if ahead < 0:
            reach = self.layout.chamfer_reach
            if reach and at(y, reach):
                return f"end of entry chamfer {self.nearest_flank(x, y)}"
            return FAR_END
        if self._in_strip(x) and y > 0.0:
            return f"end of {self._strip(x)}"
        if y > SAME_PLACE:
            return f"end of tail {self.tail(point)}"
        return SHOULDERS if self.layout.rebate else f"shoulder {self.gap(point)}"

    def _in_strip(self, x: float) -> bool:
        """Whether X lies in a strip that runs on beside the joint, and is no part of a half tail."""
        low, high = self.layout.walls
        return (low and x < 0.0) or (high and x > self.layout.width)

    def _strip(self, x: float) -> str:
        """The strip that runs on beside the joint at the nearer edge."""
        is_reference = (x < self.layout.width / 2) != self.layout.mirrored
        return "the strip beside the joint" if is_reference else "the strip at the other edge"

    def _level(self, up: int, point: Point) -> str:
        """A face, or on the rebate that of a tail or of the strip beside the joint."""
        x, _, z = point
        if up > 0 or not self.layout.rebate or not at(z, self.layout.rebate):
            return SHOW if up > 0 else INSIDE
        return f"inside face of {self._strip(x) if self._in_strip(x) else f'tail {self.tail(point)}'}"

    def nearest_flank(self, x: float, y: float) -> str:
        """ "3 left" for the nearest flank of either side."""
        near = min(self.layout.flanks, key=lambda flank: abs(flank.x(y) - x))
        return f"{near.tail} {self.hand(near.side)}"


@dataclass(frozen=True, eq=False)
class PinBoardFaces(_Faces):
    """The faces of the pin board of a layout, as cut or finished."""

    def __call__(self, normal: Vector, point: Point) -> str:
        """The name of the face with this outward normal and this point on it."""
        match signs(normal):
            case 0, out, 0:
                return self._faced(out, point)
            case side, 0, 0:
                return self._side(side, point)
            case 0, 0, up:
                return self._across(up, point)
            case looks:
                return self._leaning(looks, point)

    def _side(self, side: int, point: Point) -> str:
        """A face square to X: an edge, a square flank, the cheek beside a mitre, or the end of a hollow at an edge."""
        x, y, z = point
        if at(x, 0.0 if side < 0 else self.layout.width):
            return self.edge(side)
        if z < self.layout.rebate:
            return f"undercut of socket floor {self.tail(point)}, {self.hand(-side)} end"
        return self.beside_mitre(x) or f"flank {self.flank(x, y, -side)}"

    def _faced(self, out: int, point: Point) -> str:
        """A face that looks outward or inward: behind a lap, the end of a socket looks inward too."""
        _, y, z = point
        if self.layout.is_half_blind and out < 0 and z > 0.0 and at(y, self.layout.depth):
            return f"lap {self.tail(point)}"
        return SHOW if out > 0 else INSIDE

    def _leaning(self, looks: tuple[int, int, int], point: Point) -> str:
        """A face that is square to no axis: a flank, or a face of a chamfer or of a hollow."""
        x, y, z = point
        match looks:
            case side, _, 0:
                # The wood of a pin looks into the socket: a flank that looks toward X = W meets a tail's side toward 0.
                return f"flank {self.flank(x, y, -side)}"
            case 0, out, 1 if z < self.layout.rebate and not self.mitre(x):
                return self._undercut(out, point)
            case 0, out, 1:
                mitre = self.mitre(x) if out < 0 else None
                return mitre or f"chamfer of {self.pin(point)}, {'show' if out > 0 else 'inside'} side"
            case side, _, 1:
                return f"chamfer of {self.pin(point)}, {self.hand(side)} side"
        return UNNAMED

    def _across(self, up: int, point: Point) -> str:
        """A face square to the length of the board."""
        _, _, z = point
        if up < 0:
            return FAR_END
        if not z > self.layout.rebate + SAME_PLACE:
            return f"socket floor {self.tail(point)}"
        return RAW_END if self.layout.is_half_blind else f"end of {self.pin(point)}"

    def _undercut(self, out: int, point: Point) -> str:
        """A hollow's half at the inside face looks toward the show face; behind a lap there is no other half."""
        whole = f"undercut of socket floor {self.tail(point)}"
        return whole if self.layout.is_half_blind else f"{whole}, {'inside' if out > 0 else 'show'} half"
