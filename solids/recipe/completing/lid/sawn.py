"""Completes the lid of a box: where it is sawn off, and the top in its groove; and what hangs any lid. Rules without a
source are common practice. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Literal

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.errors import Problem
from solids.base.messages import Key, Words, message
from solids.recipe.completing.board_rules import too_deep
from solids.recipe.completing.choosing import Choosing, leave_out_or_take, round_up
from solids.recipe.tables.accepted import no_less_than, no_more_than
from solids.recipe.tables.box_resolved import (
    NO_GROOVE,
    BackStands,
    BoxRecipe,
    Groove,
    Side,
    first_place,
    moves_across,
)
from solids.recipe.tables.lid_resolved import Hinge, Lid
from solids.recipe.tables.lid_schema import HingeTable, LidGrooveTable, LidKind, LidPanelTable, LidTable
from solids.recipe.tables.panel import CLEARANCE, Panel
from solids.recipe.tables.resolved import Recipe
from solids.recipe.tables.table import Table
from solids.wood import Climate, Seasons, Wood

LID_SHARE = 1 / 4
"""How much of the height the lid usually is. Common practice."""

KERF, PLANING = 1.0, 0.5
"""The kerf of a fine panel saw or tenon saw, and what a sawn edge takes to come clean. Common practice."""

TOP_WIDTH, TOP_SHARE, TOP_DOWN = 6.0, 1 / 3, 6.0
"""The groove of a top where the bottom's gives no pattern: its width, its depth as a share of the thinnest board, and
the wood above it. Common practice, as for a bottom."""

STAYS_SET = "as that of the bottom, so that the plough stays set"

HINGE_AT, DOWN = "box.lid.hinge.from_end", "box.lid.groove.down"

LOWERS = Key("box.height"), Key("joint.half_pin"), Key("box.lid.groove.width")
"""What else gives the groove of a top its place."""


ONLY: dict[str, tuple[tuple[LidKind, ...], str]] = {
    **dict.fromkeys(("at", "kerf", "planing"), (("sawn off",), "a lid that is a board of its own is not sawn off")),
    "groove": (("sawn off",), "a lid that is a board of its own lies in no groove"),
    "drop": (("lift off",), "only a lid that lifts off drops between the boards"),
    "overhang": (("lift off", "hinged"), "a lid that is sawn off is as large as its box"),
    "hinge": (("hinged", "sawn off"), "a lid that lifts off has no hinges"),
    "lining": (("sawn off",), "a lid that is a board of its own has a rebate, or hinges, to keep it in its place"),
    "panel.thickness": (("lift off", "hinged"), "the top of a lid that is sawn off is as thick as its groove is wide"),
    "panel.clearance": (("lift off", "sawn off"), "a hinged lid lies on the boards, and needs no room between them"),
}
"""Keys that not every kind of lid has: which kinds have it, and why others do not."""


def kind_of(table: LidTable) -> LidKind:
    """The kind of lid that is asked for: by rule one that is sawn off."""
    return table.kind or "sawn off"


class LidChoices(Choosing):
    """Goes through the keys of a lid, in the order in which they depend on each other."""

    def __init__(self, units: str, table: LidTable) -> None:
        super().__init__("in" if units == "in" else "mm")
        self.table = table

    def refuse_idle_keys(self) -> None:
        """Refuses keys of what a lid of this kind does not have."""
        kind = kind_of(self.table)
        for name, (kinds, why) in ONLY.items():
            table, _, leaf = name.rpartition(".")
            holder = getattr(self.table, table) if table else self.table
            value = getattr(holder, leaf, None)
            if value is None or kind in kinds:
                continue
            first = next(iter(value.given()), None) if isinstance(value, Table) else None
            key = f"box.lid.{name}.{first}" if first else f"box.lid.{name}"
            self._problem(key, why, leave_out_or_take("box.lid.kind", kinds[0]))

    def lid(self, height: float) -> Lid:
        """Where a box so high is parted."""
        asked = self.table
        self._or(asked.kind, "box.lid.kind", "sawn off", "the grain then runs on from the box to its lid")
        return Lid(
            at=self._length(asked.at, "box.lid.at", height * (1 - LID_SHARE), "a lid of a quarter of the height"),
            kerf=self._length(asked.kerf, "box.lid.kerf", KERF, "that of a fine panel saw; measure your own"),
            planing=self._length(asked.planing, "box.lid.planing", PLANING, "what a sawn edge takes to come clean"),
            hinge=self._hinge(asked.hinge) if asked.hinge else None,
        )

    def _hinge(self, asked: HingeTable) -> Hinge | None:
        """The hinges, whose sizes nobody but the maker can know."""
        sizes = {key: getattr(asked, key) for key in ("leaf", "width", "thickness", "barrel")}
        for key in (key for key, mm in sizes.items() if mm is None):
            self._problem(f"box.lid.hinge.{key}", "is missing", "measure it on the hinge that you have")
        if None in sizes.values():
            return None
        if sizes["barrel"] < sizes["thickness"]:
            wrong = message("{} is thinner than a leaf of {}", typed(sizes["barrel"]), typed(sizes["thickness"]))
            self._problem("box.lid.hinge.barrel", wrong, "measure across the barrel, from outside to outside")
        count = self._or(asked.count, "box.lid.hinge.count", 2, "one near each end")
        rule = "its own length from the end"
        return Hinge(**sizes, count=count, from_end=self._length(asked.from_end, HINGE_AT, sizes["leaf"], rule))

    def check(self, lid: Lid, height: float, groove: Groove, back: BackStands) -> None:
        """Refuses a cut that leaves no box or no lid, or runs into the groove for the bottom."""
        self.refuse_idle_keys()
        if back.above:
            stands, other = "stands beside a lid that is sawn off", "take false"
            if back.is_above_slips:
                stands, other = "slips leave the bottom open at the back, and a lid is sawn off", 'take "groove"'
            wrong = f"{stands}: the box is glued up whole, its bottom in a groove all round"
            self._problem(back.above_key, wrong, f"{other}, or leave out [box.lid]")
        if back.down:
            wrong_down = message("{} leaves the back lower than the sides, where a lid is sawn off", typed(back.down))
            self._problem("box.back.down", wrong_down, "take 0, or leave out [box.lid]")
        least = max(groove.top + tol.LEAST_FEATURE if groove.width else 0.0, tol.LEAST_WIDTH) + lid.lost / 2
        most = height - tol.LEAST_WIDTH - lid.lost / 2
        if least - tol.ROUNDING <= lid.at <= most + tol.ROUNDING:
            return
        if lid.at < least:
            what: Words = message("the groove for the bottom, which ends at {}", typed(groove.top))
            what = what if groove.width else "the lower edge"
            told = "{} leaves no wood between {} and the cut, of {} with what is planed off"
            wrong_at = message(told, typed(lid.at), what, typed(lid.lost))
            accepted, tries = no_less_than(least)
        else:
            wrong_at = message("{} leaves no lid on a box that is {} high", typed(lid.at), typed(height))
            accepted, tries = no_more_than(most)
        if least > most:
            accepted, tries = message("take a higher box ({})", Key("box.height")), ()
        self._problem("box.lid.at", wrong_at, accepted, tries)

    # --- the top -----------------------------------------------------------------------------------

    def top(
        self,
        box: BoxRecipe,
        thin: Mapping[Side, float],
        planing: float,
        air: tuple[Climate, Seasons],
    ) -> tuple[Groove, Panel | None]:
        """The top and its groove, which one setting of the plough cuts with the bottom's where that can be."""
        asked, bottom = self.table.groove or LidGrooveTable(), box.groove
        usual, why = (bottom.width, "as that of the bottom") if bottom.width else (TOP_WIDTH, "a usual top")
        width = self._length(asked.width, "box.lid.groove.width", usual, why)
        if not width:
            return NO_GROOVE, None
        front = box.corners["front left"].pin_board.wood
        panel = self._panel((front, "as the front, or what meets it there"), box.inside, air)
        depth = self._depth(asked.depth, box, panel, min(thin.values()), planing)
        down = self._down(asked.down, box, width)
        groove = Groove(width, depth, box.height - down - width, "stopped")
        self._check_groove(box, groove, {side: mm - planing for side, mm in thin.items()}, planing)
        return groove, replace(panel, thickness=width, tongue=width)

    def _depth(self, given: float | None, box: BoxRecipe, panel: Panel, thinnest: float, planing: float) -> float:
        usual = box.groove.depth if box.groove.width else round_up(max(thinnest * TOP_SHARE, 1.0), self.units)
        rule = STAYS_SET if box.groove.width else "a third of the thinnest board"
        needed = panel.depth_for(box.inside[panel.across(box.inside)], tol.PANEL_HELD)
        if usual < round_up(needed, self.units) <= tol.GROOVE_DEEPEST * (thinnest - planing):
            usual, rule = needed, "so deep that it holds the top as it moves"
        return self._length(given, "box.lid.groove.depth", usual, rule)

    def _down(self, given: float | None, box: BoxRecipe, width: float) -> float:
        usual, rule = max(width, TOP_DOWN), "as much wood above as it is wide, and no less than above a usual top"
        if box.groove.width and box.groove.up >= usual:
            usual, rule = box.groove.up, STAYS_SET
        within = max(first_place(_upside_down(corner), usual, width) for corner in box.corners.values())
        if within > usual:
            usual, rule = within, "within the last tail, so that it cuts no pin"
        return self._length(given, DOWN, usual, rule)

    def _panel(self, usual: tuple[Wood, str], inside: tuple[float, float], air: tuple[Climate, Seasons]) -> Panel:
        """What the lid is of; by rule, where it is boards, of the `usual` wood."""
        asked = self.table.panel or LidPanelTable()
        kind, wood, sawn = self._stuff("box.lid.panel", asked, *usual)
        longer: Literal["length", "width"] = "length" if inside[0] >= inside[1] else "width"
        grain = self._or(asked.grain, "box.lid.panel.grain", *self._usual_grain(longer))
        clearance = self._clearance(asked)
        grows, shrinks = moves_across(wood, sawn, *air)
        return Panel(kind, wood, sawn, grain, clearance, grows, shrinks, under_back=False)

    def _usual_grain(self, longer: Literal["length", "width"]) -> tuple[Literal["length", "width"], str]:
        return longer, "along the longer side"

    def _clearance(self, asked: LidPanelTable) -> float:
        return self._length(asked.clearance, "box.lid.panel.clearance", CLEARANCE, "so that it goes in")

    def _check_groove(self, box: BoxRecipe, groove: Groove, stays: Mapping[Side, float], planing: float) -> None:
        """Refuses a groove that takes too much of a board, or that the lid is too low for. `stays` is the thickness of
        each board once planed."""
        assert box.lid is not None
        self.problems += too_deep(groove, stays, planing, "box.lid.groove.depth")
        down, high = box.height - groove.top, box.height - box.lid.high
        most = high - groove.width - tol.LEAST_FEATURE
        if down <= most + tol.ROUNDING:
            return
        sizes = *(typed(down), typed(groove.width)), typed(high)
        if self.table.groove is None or self.table.groove.down is None:
            self._too_low(
                box.lid,
                message("the groove for the top, {} down and {} wide, ends below a lid that is {} high", *sizes),
                down - most,
            )
            return
        wrong = message("{} puts the groove, {} wide, below the edge of a lid that is {} high", *sizes)
        if most < tol.LEAST_FEATURE:
            ways = "take a higher lid ({}), or a narrower groove ({})"
            self._problem(DOWN, wrong, message(ways, Key("box.lid.at"), Key("box.lid.groove.width")))
        else:
            self._problem(DOWN, wrong, *no_more_than(most))

    def _too_low(self, lid: Lid, wrong: Words, short: float) -> None:
        """A lid so much too low for a groove that a rule has placed: under the key that the maker gave, with wood for
        the hinges besides."""
        table = self.table
        short += max(lid.hinge.thickness, lid.hinge.slope) if lid.hinge else 0.0
        for key, given, usual, times in (
            ("box.lid.planing", table.planing, PLANING, 1.0),
            ("box.lid.kerf", table.kerf, KERF, 2.0),
        ):
            if given is not None and given - times * short >= usual - tol.ROUNDING:
                self._problem(key, message("{}: {}", typed(given), wrong), *no_more_than(given - times * short))
                return
        ways = message("take a higher box ({}), narrower half pins ({}), or a narrower groove ({})", *LOWERS)
        if table.at is None:
            self._problem("box.height", wrong, ways)
            return
        accepted, tries = no_more_than(lid.at - short)
        told = message("{} is too high: {}", typed(table.at), wrong)
        self._problem("box.lid.at", told, message("{}; or {}", accepted, ways), tries)


def _upside_down(corner: Recipe) -> Recipe:
    """A corner as it is measured from its upper edge."""
    listed = corner.listed
    faces = tuple((corner.width - high, corner.width - low) for low, high in listed.faces[::-1])
    turned = replace(
        listed,
        half_pins=listed.half_pins[::-1],
        ratios=listed.ratios[::-1],
        faces=faces,
        edges=listed.edges[::-1],
    )
    return replace(corner, mitre=corner.mitre[::-1], listed=turned)


def lid_problems_of(corner: Recipe) -> Iterable[Problem]:
    """What a corner may not have where a lid is sawn off."""
    return tuple(_not_at_a_cut(corner))


def proud_under_hinges(corner: Recipe) -> Iterable[Problem]:
    """What a corner may not have where a lid turns about the back."""
    if corner.finish.ends == "proud":
        wrong = "stands beside a lid that is hinged: as it opens, it would turn into ends that stand proud of the back"
        return (Problem("finish.ends", wrong, leave_out_or_take("finish.ends", "flush")),)
    return ()


def _not_at_a_cut(corner: Recipe) -> Iterator[Problem]:
    if corner.finish.ends == "proud":
        wrong = "stands beside a lid that is sawn off: a gauge line and a saw follow flush faces round the box"
        yield Problem("finish.ends", wrong, leave_out_or_take("finish.ends", "flush"))
    if corner.undercut.depth:
        wrong = "hollows the floors beside the pin that the lid is sawn off through, and the saw would lay that open"
        yield Problem("undercut.depth", message("{} {}", typed(corner.undercut.depth), wrong), "take 0", ("0",))
