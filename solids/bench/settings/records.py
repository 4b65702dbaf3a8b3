"""The records of what is set, scribed, sawn and chopped for a joint. Lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from solids.base.geometry import Span
from solids.layout.joint.shape.flanks import Flank

CHOP_CLEAR = 25.4 / 32
"""How far from the line one begins to chop, in the waste: 1/32 in. The blade is pushed back as it goes in, and must not
be pushed past the line. Common practice."""

INWARD = "from the arris inward, along the board, never off the arris"
"""Which way the outside of a corner is planed. Common practice."""

MOST_NUMBERS = 8
"""Of sockets or flanks named one by one."""

BETWEEN_TAILS = "between tails"
BESIDE_WOOD = "beside the wood that stays"
BESIDE_MITRE = "beside the mitred shoulder"

BoardName = Literal["tail board", "pin board"]
EdgeName = Literal["reference edge", "other edge"]
EDGES: tuple[EdgeName, EdgeName] = ("reference edge", "other edge")


@dataclass(frozen=True)
class GaugeSetting:
    """One setting of a marking gauge, from the end of a board, or from its inside face for a rebate: how far, and for
    which lines. `name` tells it from the others."""

    board: BoardName
    setting: float
    lines: str
    name: str


@dataclass(frozen=True)
class ScribeLine:
    """One baseline on one face: the spans in X to scribe. Where it is not `full` they lie in waste only, so that no
    line is left on what stays."""

    board: BoardName
    face: str
    full: bool
    spans: tuple[Span, ...]


@dataclass(frozen=True)
class SawLine:
    """One flank to saw: its X where the saw starts, its X at the other plane, and the span of the kerf where the saw
    starts, which lies in the waste; None where no kerf is known."""

    board: BoardName
    name: str
    start: float
    end: float
    kerf: Span | None


@dataclass(frozen=True)
class Bevel:
    """One setting of marker and sliding bevel: N of its slope 1:N, and the flanks that have it, in the order in which a
    maker counts them."""

    ratio: float
    flanks: tuple[Flank, ...]

    @property
    def degrees(self) -> float:
        """The angle between such a flank and square; negative where it runs outward."""
        return math.degrees(math.atan(1.0 / self.ratio))


@dataclass(frozen=True)
class MitredShoulder:
    """A shoulder to mitre: the edge along which it lies, and how wide it is."""

    edge: EdgeName
    width: float


@dataclass(frozen=True)
class MitreLine:
    """The line of a mitre on the edge of one board as cut. `angle_rad` is that between the cut and the faces of the
    board. The line begins at the baseline and comes `out` on the show face, `from_arris` away from the raw end, or on
    the raw end, `from_arris` under the show face."""

    board: BoardName
    angle_rad: float
    out: Literal["show face", "raw end"]
    from_arris: float

    @property
    def ratio(self) -> float:
        """N of 1:N: how far it runs along the board for each mm that it rises."""
        return 1.0 / math.tan(self.angle_rad)

    @property
    def angle_words(self) -> str:
        """ "39.8 degrees, 1 in 1.2"."""
        return f"{math.degrees(self.angle_rad):.1f} degrees, 1 in {self.ratio:.3g}"


@dataclass(frozen=True)
class ChiselFit:
    """What fits some sockets of one kind: the widest blade that touches no flank, and the widest of the maker's own,
    None where none fits or none was named. At an open socket the blade may hang over the edge of the board."""

    board: BoardName
    where: str
    side: str
    widest: float
    own: float | None
    is_open: bool

    @property
    def sockets(self) -> str:
        """The sockets in words: "tail board, between tails"."""
        return f"{self.board}, {self.where}"


@dataclass(frozen=True)
class CutLength:
    """How long a board is sawn: from the baseline, the joint, and what stands proud. On a pin board it runs from the
    tail board's inside face, which a rebate puts below its baseline."""

    board: BoardName
    length: float
    joint: float
    proud: float

    @property
    def saw_to(self) -> float:
        """The whole length; `joint` holds what stands proud already."""
        return self.length + self.joint


@dataclass(frozen=True)
class Chop:
    """One cut with the chisel: from which face, how deep, and how far it leans to undercut the floor (0: square)."""

    board: BoardName
    face: str
    depth: float
    lean_deg: float


@dataclass(frozen=True)
class Planing:
    """What is planed after the glue has set: which ends or face, how much, and in which direction. `more` is how much
    more of the ends it is at most, where the board beside them is thinner."""

    what: str
    amount: float
    direction: str
    more: float = 0.0


@dataclass(frozen=True)
class Bench:
    """All of it for one joint. `bevels` are the settings of marker and sliding bevel, one for each slope, steepest
    first. `mitred` are the shoulders to mitre, if any, and `mitre` is its line on each board. `lines_left` tells
    which gauge lines stay on the finished corner."""

    cut_lengths: tuple[CutLength, ...]
    gauges: tuple[GaugeSetting, ...]
    scribes: tuple[ScribeLine, ...]
    saw_lines: tuple[SawLine, ...]
    bevels: tuple[Bevel, ...]
    mitred: tuple[MitredShoulder, ...]
    mitre: tuple[MitreLine, MitreLine]
    chisels: tuple[ChiselFit, ...]
    chops: tuple[Chop, ...]
    planing: tuple[Planing, ...]
    lines_left: tuple[str, ...]

    @property
    def bevel_deg(self) -> float:
        """The angle between the steepest flank and square."""
        return self.bevels[0].degrees
