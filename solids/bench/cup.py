"""What it takes to press a hollow board flat, so that its joint closes: as figures, as a note, and as a warning. Pure
arithmetic on a layout, lengths in mm.

A hollow of c across a width W has the curvature 8 c/W^2. Pressed flat, a board of thickness t is bent by that much:

    stress at its faces  s = E 4 c t/W^2
    force at one end     F = 6.4 E b c (t/W)^3,  b = W/2

E is the stiffness across the grain. F is what a load spread evenly over the width takes to close c, 384 E I/(5 W^3)
with I = b t^3/12. Only the end is pressed: the bend dies away along the board, and holds back as much as if half a
width were pressed and the rest were not there. That half is our own estimate, for a plate 16 times as stiff along the
grain as across it and as stiff in twist as across it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from solids.base import tolerances as tol
from solids.base.amounts import fine
from solids.base.findings import Finding, Severity
from solids.base.forces import format_force
from solids.base.messages import Amount, Key, Words, joined, message
from solids.base.sources import FROM_MEMORY
from solids.layout import Layout
from solids.layout.box.model import BoardKind
from solids.recipe.tables.resolved import Board
from solids.wood.across import stiffness_across, tension_across

PRESSED_SHARE = 0.5
"""Of the width: how much of a board's end counts as pressed. Our own estimate, see above."""

Closes = Literal["well", "under strain", "not"]

TURNED = (
    "Turn the hollow to the inside: cauls then press on the hump from outside, and the edges of the joint stay closed."
)
"""Common practice."""

WIND = (
    "No joint closes wind, a twist: lay a straight stick across each end of the board and sight over both; plane it "
    "until they agree."
)
"""Common practice."""


@dataclass(frozen=True)
class Pressed:
    """A hollow board pressed flat: what its faces are strained to, as a share of the tension strength across the grain,
    the force at one end (N), and how it `closes`."""

    name: BoardKind
    board: Board
    width: float
    share: float
    force_n: float

    @property
    def closes(self) -> Closes:
        """Whether it closes, and at what price."""
        if self.share > tol.CUP_HOLDS or self.force_n > tol.CLAMPS_MOST:
            return "not"
        return "under strain" if self.share > tol.CUP_RESTS else "well"

    @property
    def by(self) -> str:
        """What presses so hard."""
        if self.force_n > tol.CLAMPS_PRESS:
            return "under heavy clamps only"
        return "by hand" if self.force_n <= tol.HAND_PRESS else "under clamps"

    @property
    def planed(self) -> float:
        """The thickest flat board that is in it: one face loses the hollow at its edges, the other in its middle."""
        return self.board.thinnest - self.board.cup


def pressed(layout: Layout) -> tuple[Pressed, ...]:
    """The boards of a joint that are hollow, each pressed flat. A tail board may be wider than the joint."""
    boards: tuple[tuple[BoardKind, Board, float], ...] = (
        ("tail board", layout.recipe.tail_board, layout.width + sum(layout.strips)),
        ("pin board", layout.recipe.pin_board, layout.width),
    )
    return tuple(_pressed(*each) for each in boards if each[1].cup)


def _pressed(name: BoardKind, board: Board, width: float) -> Pressed:
    stiff, c, t = stiffness_across(board.wood, board.sawn), board.cup, board.thickness
    stress = stiff * 4 * c * t / width**2
    force = 6.4 * stiff * PRESSED_SHARE * width * c * (t / width) ** 3
    return Pressed(name, board, width, stress / tension_across(board.wood), force)


# --- in words ------------------------------------------------------------------------------------


def cup_note(layout: Layout) -> Finding | None:
    """Hollow boards that all close well; None where there is none, or where one does not."""
    found = pressed(layout)
    return _finding(found, "note") if found and _all_well(found) else None


def cup_warning(layout: Layout) -> Finding | None:
    """Hollow boards of which one stays under strain or does not close; None where all close well."""
    found = pressed(layout)
    return None if _all_well(found) else _finding(found, "warning")


def _all_well(found: tuple[Pressed, ...]) -> bool:
    return all(each.closes == "well" for each in found)


def _finding(found: tuple[Pressed, ...], severity: Severity) -> Finding:
    return Finding(
        code="cup",
        severity=severity,
        sentence=joined(map(_told, found)),
        place=" and ".join(each.name for each in found),
        measured=100 * max(each.share for each in found),
        limit=100 * tol.CUP_HOLDS,
        unit="%",
        remedy=joined([*_flat_first(found), TURNED, WIND]),
        source=FROM_MEMORY,
    )


def _told(each: Pressed) -> Words:
    ends = {
        "well": f"It closes {each.by}.",
        "under strain": f"It closes {each.by}, but stays under strain: it may split or open later.",
        "not": "It does not close: pressed flat it splits, at once or later.",
    }
    if each.force_n > tol.CLAMPS_MOST:
        ends["not"] = "It does not close: no clamps press so hard."
    return message(
        "The {} is hollow by {} across its width of {}. To press it flat at the joint takes about {} and strains it to "
        "{:.0f} % of what {} holds across the grain. {}",
        *(each.name, fine(each.board.cup), fine(each.width), Amount(format_force, (each.force_n,)), 100 * each.share),
        *(each.board.wood.told, ends[each.closes]),
    )


def _flat_first(found: tuple[Pressed, ...]) -> Iterator[Words]:
    """How to plane those flat that do not close well. The hollow is then gone from the recipe too."""
    for each in found:
        if each.closes != "well":
            table, better = each.name.replace(" ", "_"), "Plane" if each.closes == "not" else "Better plane"
            yield message(
                "{} the {} flat first: it is then about {} thick ({}), and {} is 0.",
                *(better, each.name, fine(each.planed), Key(f"{table}.thickness"), Key(f"{table}.cup")),
            )
