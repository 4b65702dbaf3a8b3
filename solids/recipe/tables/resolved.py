"""The recipe with nothing left out: what `layout` and everything after it reads. Lengths in mm."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from solids.base import tolerances as tol
from solids.base.lengths import Reading, rule_of
from solids.base.messages import Units
from solids.base.sources import COMMON_PRACTICE
from solids.base.windows import is_reserved
from solids.wood import Climate, Sawn, Seasons, Wood
from solids.wood.glues import Glue
from solids.wood.rack import NO_RACK, Rack

MARK = 6
"""Letters of a hash. Among a thousand titles that transliterate alike, two get the same mark once in thirty times; the
second is then refused."""

LONGEST_FOLDER = 80
"""As many letters as a title may have, though one character may become several. Windows takes 259 for a whole path, and
our own names below this folder need 80."""

JointKind = Literal["through", "half-blind"]
PaperName = Literal["A4", "Letter", "A3"]
DxfVersion = Literal["R12", "R2010", "R2018"]


@dataclass(frozen=True)
class Choice:
    """A value the maker left out: its key, the value in words, the rule of the trade that chose it, the value itself in
    its inside form, and where the rule is from: one of `sources.SOURCES`."""

    key: str
    value: str
    rule: str
    chosen: object
    source: str = COMMON_PRACTICE

    @property
    def why(self) -> str:
        """The rule with its source."""
        return f"{self.rule} ({self.source})"


Measured = float | tuple[float, ...]
"""A thickness as a recipe has it: one length, or one for each place where the board was measured."""


def thickest(thickness: Measured) -> float:
    """The thickness of the thickest place."""
    return max(thickness) if isinstance(thickness, tuple) else float(thickness)


def unevenness(thickness: Measured) -> float:
    """How much thinner the thinnest place is; 0 where one length was given."""
    return max(thickness) - min(thickness) if isinstance(thickness, tuple) else 0.0


def told_thickness(thickness: float, uneven: float, say: Callable[[float], str]) -> str:
    """A thickness in words: "12 mm", or "11.6 mm to 12 mm" where the two are told apart."""
    return " to ".join(dict.fromkeys(map(say, (thickness - uneven, thickness))))


@dataclass(frozen=True)
class Board:
    """One board. `thickness` is that of its thickest place, which gauges and geometry follow; `uneven` is how much
    thinner its thinnest place is. `length` runs from the baseline away from the joint; `proud` is how far its ends
    stand past the other board's show face as cut (o_t or o_p). `cup` is how hollow it is across its width."""

    thickness: float
    length: float
    wood: Wood
    sawn: Sawn
    proud: float
    uneven: float = 0.0
    cup: float = 0.0

    @property
    def thinnest(self) -> float:
        """The thickness of its thinnest place, which limits what may be planed off."""
        return self.thickness - self.uneven

    def told(self, say: Callable[[float], str]) -> str:
        """Its thickness in words: a length, or from the thinnest place to the thickest. `say` tells a length (mm)."""
        return told_thickness(self.thickness, self.uneven, say)


@dataclass(frozen=True)
class Finish:
    """`chamfer` runs round ends left proud; `planing` is taken off both show faces and needs flush ends."""

    ends: Literal["flush", "proud"]
    chamfer: float
    planing: float


@dataclass(frozen=True)
class EntryChamfer:
    """On the inside edges of the tails: equal legs of `width`, from the baseline to `back` short of the show face. A
    width of 0 is no chamfer."""

    width: float
    back: float


@dataclass(frozen=True)
class Undercut:
    """The hollow in the socket floors: two planes that meet `depth` deep, half-way between lands of width `land`. A
    depth of 0 is no hollow."""

    depth: float
    land: float


@dataclass(frozen=True)
class Kit:
    """The maker's own tools: widths of chisels, kerf of the saw, thickness of the knife, diameters of router cutters,
    the outside diameter of the router's guide bush, and how far apart the lines of the rule are. Empty or 0 where the
    maker named none."""

    chisels: tuple[float, ...]
    saw_kerf: float
    knife: float
    cutters: tuple[float, ...]
    bush: float = 0.0
    scale: float = 0.0


@dataclass(frozen=True)
class Paper:
    """The sheet to print on, whether a cutter's path runs into inside corners, and how DXF files are written."""

    size: PaperName
    corner_relief: bool
    dxf_units: Units = "mm"
    dxf_version: DxfVersion = "R2010"

    @property
    def dxf(self) -> tuple[Units, DxfVersion]:
        """How a DXF file is written."""
        return self.dxf_units, self.dxf_version


@dataclass(frozen=True)
class Magnet:
    """A disc magnet."""

    diameter: float
    thickness: float


@dataclass(frozen=True)
class Printing:
    """The maker's printer: its bed in X and Y, its nozzle, the clearance of a printed fit on each side, and the disc
    magnets that go into printed aids."""

    bed: tuple[float, float]
    nozzle: float
    clearance: float
    magnet: Magnet


@dataclass(frozen=True)
class Marker:
    """The marking template: the form of its body; the slopes of its ends as N of 1:N, the joint's own where there is
    none; the thickest board that its legs reach across, and their length, each 0 where the maker named none; the words
    on it, "" for none; the diameter of a hole to hang it by, 0 for none."""

    body: Literal["plain", "waisted"] = "plain"
    slopes: tuple[float, ...] = ()
    thickest: float = 0.0
    leg: float = 0.0
    words: str = ""
    hang_hole: float = 0.0


@dataclass(frozen=True)
class Hand:
    """How far the hand errs: `sigma` of one flank, normal to it, and `shift` of a whole board in X."""

    sigma: float
    shift: float


EdgeName = Literal["half pin", "half tail"]


@dataclass(frozen=True)
class Listed:
    """What the maker gives one by one, each from the reference edge, and empty where all are alike: the widths of the
    full `pins` and of both `half_pins`, N of the slope 1:N of each flank (two for each tail), and the `faces` of tails
    given by their flanks: the X of both their sides at the finished face. `edges` tells what stands at the reference
    edge and at the other. The slope of a side that is flush with the edge is not looked at."""

    pins: tuple[float, ...] = ()
    half_pins: tuple[float, ...] = ()
    ratios: tuple[float, ...] = ()
    faces: tuple[tuple[float, float], ...] = ()
    edges: tuple[EdgeName, EdgeName] = ("half pin", "half pin")

    @property
    def is_empty(self) -> bool:
        """Whether all pins, half pins and slopes are alike, with half pins at both edges."""
        return self == Listed()


@dataclass(frozen=True)
class Recipe:
    """One corner. `slope_ratio` is N of 1:N; `tail_shares` are the widths of the tails relative to each other, from the
    reference edge; `pin` and `half_pin` are measured at the show face, Y = d, where they are narrowest. What is
    `listed` one by one goes before them; they are then the least of a list, and the steepest slope. `mitre` is how wide
    the shoulder is mitred at the reference edge and at the other, `rebate` how deep the rebate across the tail board's
    inside face is; 0 for none. `tables` is what the maker wrote, as TOML or JSON holds it; it is no part of the joint,
    and is not compared. `air_is_assumed` says that the maker named the air of no room. `seed` is what tails by eye are
    drawn from, 0 for others. `author` and `date` are for the heads of files, "" where not given; the date is as ISO
    8601 has it. `rack` holds the boards that it is
    cut from."""

    title: str
    units: Units
    kind: JointKind
    width: float
    slope_ratio: float
    pin: float
    half_pin: float
    tail_shares: tuple[float, ...]
    spacing: str
    allow_thin_half_pin: bool
    lap: float
    tail_board: Board
    pin_board: Board
    flank_gap: float
    hand: Hand
    entry_chamfer: EntryChamfer
    undercut: Undercut
    finish: Finish
    kit: Kit
    shop: Climate
    home: Seasons
    air_is_assumed: bool
    paper: Paper
    printing: Printing
    marker: Marker
    glue: Glue
    choices: tuple[Choice, ...]
    notices: tuple[str, ...]
    seed: int = 0
    author: str = ""
    date: str = ""
    listed: Listed = Listed()
    mitre: tuple[float, float] = (0.0, 0.0)
    rebate: float = 0.0
    rack: Rack = NO_RACK
    tables: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)

    @property
    def slug(self) -> str:
        """The name of the folder that the files go into."""
        return slug(self.title)

    @property
    def spacing_told(self) -> str:
        """The spacing, and the seed of tails by eye."""
        return f"{self.spacing}, seed {self.seed}" if self.seed else self.spacing

    @property
    def depth(self) -> float:
        """d, the depth of the joint: the pin board's thickness less the lap."""
        return self.pin_board.thickness - self.lap

    @property
    def pins(self) -> tuple[float, ...]:
        """The widths of the full pins where they are narrowest, from the reference edge."""
        return self.listed.pins or (self.pin,) * (len(self.tail_shares) - 1)

    @property
    def half_pins(self) -> tuple[float, float]:
        """The widths of both half pins where they are narrowest, that at the reference edge first; 0 beside a half
        tail."""
        first, last = self.listed.half_pins or (self.half_pin, self.half_pin)
        at_first, at_last = (edge == "half pin" for edge in self.listed.edges)
        return first if at_first else 0.0, last if at_last else 0.0

    @property
    def tail_room(self) -> float:
        """The width left for all tails together, where they are given by their shares."""
        return self.width - sum(self.mitre) - sum(self.half_pins) - sum(self.pins)

    @property
    def assumed_wood(self) -> Wood | None:
        """The wood that a rule, and not the maker, chose for a board; None where the maker named both."""
        woods = (self.tail_board.wood, self.pin_board.wood)
        return next((wood for wood in woods if wood.is_assumed), None)

    @property
    def least_lap(self) -> float:
        """What is left of the lap where the pin board is thinnest: the depth is the same everywhere."""
        return self.lap - self.pin_board.uneven

    @property
    def wood_is_assumed(self) -> bool:
        """Whether a rule, and not the maker, chose the wood of a board."""
        return self.assumed_wood is not None

    @property
    def rule(self) -> Reading:
        """How places to mark are told, by the maker's own rule where its scale is known."""
        return rule_of(self.kit.scale, self.units)

    @property
    def widest_tail(self) -> float:
        """The widest that a tail is usually made in these boards."""
        return tol.widest_tail(min(self.tail_board.thickness, self.pin_board.thickness))

    @property
    def tight_limit(self) -> float:
        """The tightest flank that the woods forgive (mm, as a positive number): the softer one gives."""
        return tol.tight_limit(soft=self.tail_board.wood.is_soft or self.pin_board.wood.is_soft)


FRACTION_SLASH = "\u2044"
"""What stands between the two numbers of a fraction that is one sign."""


def slug(title: str) -> str:
    """A folder name in plain lower-case ASCII. A title without Latin letters is transliterated, and gets a mark of its
    own at the end, as many titles transliterate alike. "corner" for a title without any letter or digit."""
    ascii_text = unicodedata.normalize("NFKD", title).replace(FRACTION_SLASH, "-").encode("ascii", "ignore").decode()
    if not re.search(r"[A-Za-z]", ascii_text) and any(ch.isalpha() for ch in title):
        from anyascii import anyascii

        same = unicodedata.normalize("NFC", title)
        mark = hashlib.sha256(same.encode("utf-8", "replace")).hexdigest()[:MARK]
        ascii_text = f"{anyascii(same)[:LONGEST_FOLDER]}-{mark}"
    name = re.sub(r"[^a-z0-9]+", "-", ascii_text.lower()).strip("-")[: LONGEST_FOLDER + 1 + MARK].strip("-") or "corner"
    return f"{name}-corner" if is_reserved(name) else name
